"""Counts of columns and rows that bring a quilt closest to a wanted finished size."""

from typing import Any

from kit.designs.braid import Braid
from kit.model.pattern import Sketch
from kit.study import Study


def fit_counts(keys: dict[str, Any], study: Study, sketch: Sketch, wanted: tuple[float, float]) -> None:
    """Set the counts in the study's keys so that the finished size comes closest to the wanted one.

    A braid's columns are made exactly as long as wanted, pointed ones to the nearest pair; everything else keeps its
    block and changes its counts.

    Parameters
    ----------
    keys
        Keys of a study file, changed in place.
    study, sketch
        The present quilt.
    wanted
        Finished (width, length) in inches.
    """
    design = study.design
    block = design.make_block(sketch.patchwork.allowance)
    sash = design.sashing.finished if design.sashing else 0.0
    have = sketch.patchwork.finished
    keys["design"]["columns"] = max(1, design.columns + round((wanted[0] - have[0]) / (block.width + sash)))
    if isinstance(design, Braid) and design.ends == "pointed":
        rise = 2**0.5 * (design.strip_cut - 2 * sketch.patchwork.allowance)
        keys["design"]["pairs"] = max(1, design.pairs + round((wanted[1] - have[1]) / rise))
        keys["design"]["columns"] = 1
    elif design.family == "braid":
        keys["design"].pop("pairs", None)
        keys["design"]["length_finished"] = f"{block.height + wanted[1] - have[1]:.6g} in"
    else:
        keys["design"]["rows"] = max(1, design.rows + round((wanted[1] - have[1]) / (block.height + sash)))
