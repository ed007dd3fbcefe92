"""The picture of a quilt in words, for whoever does not see it: what quilt, its size, its patches and their colours."""

from collections import Counter

import ipywidgets as widgets

from kit.lengths import write_nearest
from kit.model.pattern import Sketch
from kit.output.words.colour_words import say_toned

MOST = 24
"""Fabrics that are named."""


def describe_quilt(sketch: Sketch) -> str:
    """Return what the picture of a quilt shows: its title, family, size, patches, and each fabric with its colour."""
    study, patches = sketch.study, sketch.patchwork.patches
    system = study.measures.system
    width, height = (write_nearest(side, system) for side in sketch.patchwork.finished)
    counts = Counter(sketch.colouring.assignment[patch.id] for patch in patches)
    colours = {fabric.name: fabric.colour for fabric in study.fabrics}
    told = [
        f"{name}, {say_toned(colours[name])}, {count} {'patch' if count == 1 else 'patches'}"
        for name, count in counts.most_common(MOST)
        if name in colours
    ]
    more = f"; and {len(counts) - MOST} more fabrics" if len(counts) > MOST else ""
    family = getattr(getattr(study, "design", None), "family", "")
    kinds = {"units": "composed of units", "lines": "drawn in lines", "outlines": "of drawn patches"}
    kind = kinds.get(family, f"of the family {family}")
    cloth = f"{len(counts)} {'fabric' if len(counts) == 1 else 'fabrics'}"
    return (
        f"Picture of {study.title}, a quilt {kind}, finished {width} by {height}: {len(patches):,} patches in {cloth}."
        f" {'; '.join(told)}{more}."
    )


def make_said() -> widgets.HTML:
    """Return the hidden words beside a picture."""
    said = widgets.HTML()
    said.add_class("seamproof-said")
    said.add_class("seamproof-hidden")
    return said
