"""One point of a sweep: its pattern is made in full, and what is kept of it."""

from collections.abc import Mapping
from typing import Any

from kit.errors import KitError
from kit.model.cutting import ClothPlan
from kit.model.pattern import Pattern
from kit.pipeline import make_pattern
from kit.sharing.versions import hash_versions
from kit.study import study_from_keys

Figures = dict[str, float | int | str]
FIGURES = (
    "width", "length", "pieces", "kinds", "seams", "partial_seams", "set_in_seams", "cloth", "cost", "hours", "short",
)  # fmt: skip
"""What is kept of a point that can be made; lengths in inches, cloth in square inches."""
PLACE = "this point"


def measure_point(keys: Mapping[str, Any]) -> Figures:
    """Make the pattern of a point and return its figures, or the sentence that says why there is none.

    Everything that goes in and comes out is plain data, so that any executor can carry it to another process.

    Parameters
    ----------
    keys
        The keys of its study.

    Returns
    -------
    dict
        The `FIGURES`, or "error" alone. An error that is no `KitError` is a fault of the kit: it is told as such under
        "fault", so that one point does not take the others with it, and it is not remembered.
    """
    try:
        return list_point_figures(make_pattern(study_from_keys(keys, place=PLACE)))
    except KitError as error:
        return {"error": str(error)}
    except Exception as error:  # noqa: BLE001  the last fence before hundreds of other points
        return {"fault": f"The kit failed ({type(error).__name__}: {error}). Report this point."}


def measure_there(keys: Mapping[str, Any]) -> tuple[str, Figures]:
    """Measure a point in a process of an executor; return with it the fingerprint of the versions that made it."""
    return hash_versions(), measure_point(keys)


def list_point_figures(pattern: Pattern) -> Figures:
    """Return what a sweep keeps of a pattern."""
    width, length = pattern.patchwork.finished
    return {
        "width": width,
        "length": length,
        "pieces": pattern.cut_list.count,
        "kinds": len(pattern.cut_list.pieces),
        "seams": pattern.finishing.top.seams,
        "partial_seams": pattern.sewing.partial_seams,
        "set_in_seams": pattern.sewing.set_in_seams,
        "cloth": sum(measure_cloth(plan) for plan in pattern.cutting.cloths),
        "cost": pattern.finishing.cost.total,
        "hours": pattern.finishing.hours,
        "short": sum(sum(plan.short.values()) for plan in pattern.cutting.cloths),
    }


def measure_cloth(plan: ClothPlan) -> float:
    """Return the square inches of cloth that a plan takes: lengths over the whole width, and whole pre-cuts.

    Offcuts count as taken: strips are counted, never the area of pieces.
    """
    if plan.supply.form == "yardage":
        return plan.as_bought * plan.supply.width
    return sum(strip.height * strip.length for strip in plan.strips)
