"""The picture of a quilt in words, for whoever does not see it: what quilt, its size, its patches and their colours."""

from collections import Counter
from colorsys import rgb_to_hls

import ipywidgets as widgets

from kit.lengths import write_nearest
from kit.model.pattern import Sketch

HUES = (
    (15, "red"), (40, "orange"), (65, "yellow"), (90, "yellow-green"), (160, "green"), (195, "turquoise"),
    (255, "blue"), (290, "violet"), (335, "pink"), (360, "red"),
)  # fmt: skip
"""Up to which angle of the colour circle a hue has its name; own judgement, no source."""
MOST = 24
"""Fabrics that are named."""


def name_colour(colour: str) -> str:
    """Return a colour in plain words.

    Parameters
    ----------
    colour
        As #rrggbb.

    Examples
    --------
    >>> [name_colour(one) for one in ("#ffffff", "#22364d", "#e0b04f", "#c8603c", "#777777")]
    ['white', 'dark blue', 'yellow', 'orange', 'grey']
    """
    red, green, blue = (int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5))
    hue, light, strong = rgb_to_hls(red, green, blue)
    if light > 0.95 or light < 0.06:
        return "white" if light > 0.5 else "black"
    tone = "dark " if light < 0.33 else "light " if light > 0.72 else ""
    if strong < 0.12:
        return f"{tone}grey"
    name = next(name for end, name in HUES if hue * 360 <= end)
    if name == "orange" and light < 0.55 and strong < 0.5:
        name = "brown"
    return f"{tone}{name}"


def describe_quilt(sketch: Sketch) -> str:
    """Return what the picture of a quilt shows: its title, family, size, patches, and each fabric with its colour."""
    study, patches = sketch.study, sketch.patchwork.patches
    system = study.measures.system
    width, height = (write_nearest(side, system) for side in sketch.patchwork.finished)
    counts = Counter(sketch.colouring.assignment[patch.id] for patch in patches)
    colours = {fabric.name: fabric.colour for fabric in study.fabrics}
    told = [
        f"{name}, {name_colour(colours[name])}, {count} {'patch' if count == 1 else 'patches'}"
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
