"""Two designs side by side: their pictures to one scale, and their figures."""

from html import escape

from kit.explore.gallery import write_small_address
from kit.explore.table_writing import write_table
from kit.model.pattern import Sketch
from kit.output import tables
from kit.output.pictures.colour_views import draw_view
from kit.pipeline import make_sketch
from kit.study import Study

PIXELS = 420.0
"""The longer side of the larger quilt; the smaller one is drawn to the same scale."""


def write_beside(one: Study, other: Study, name: str) -> str:
    """Return two quilts side by side as HTML, to one scale, with a table of what differs in figures.

    Parameters
    ----------
    one
        The quilt on the screen.
    other
        The other.
    name
        What the other is called.

    Raises
    ------
    KitError
        A quilt that cannot be built.
    """
    sketches = [make_sketch(one), make_sketch(other)]
    longest = max(side for sketch in sketches for side in sketch.patchwork.finished)
    names = [f"{one.title}: as it is now", f"{other.title}: {name}"]
    cards = [_write_card(sketch, said, PIXELS / longest) for sketch, said in zip(sketches, names, strict=True)]
    frame = tables.compare(sketches).T
    frame.columns = ["As it is now", name]
    return (
        '<div class="seamproof-beside" style="display:flex;flex-wrap:wrap;gap:18px;align-items:flex-end">'
        f"{''.join(cards)}</div>{write_table(frame, whole=True)}"
    )


def _write_card(sketch: Sketch, said: str, scale: float) -> str:
    """Return one quilt with its name below; `scale` is in pixels per inch."""
    drawing, text = draw_view(sketch, "colour"), escape(said)
    left, _, right, _ = drawing.box
    width = scale * (right - left)
    image = (
        f'<img alt="{text}" src="{write_small_address(drawing, width)}" style="max-width:100%;width:{width:.0f}px"/>'
    )
    return f'<figure style="margin:0">{image}<figcaption><b>{text}</b></figcaption></figure>'
