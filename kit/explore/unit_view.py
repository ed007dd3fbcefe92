"""Still pictures of a study's units, with the names of their edges."""

from difflib import get_close_matches
from html import escape

from IPython.display import HTML

from kit.designs import Units
from kit.designs.units.edge_names import name_edges
from kit.errors import KitError
from kit.geometry.joined_outline import trace_together
from kit.geometry.outlines import TOLERANCE, Outline, Point
from kit.lengths import write_length
from kit.model.units import TOP
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.svg import write_image
from kit.output.pictures.unit_picture import draw_unit
from kit.study import Study

CARD = "margin:0 18px 16px 0;text-align:center;font-size:13px;line-height:1.35"
FEW = 4
"""Edges of which each is told its length, though all are alike."""
PLAIN = "#dfe3e2"
"""Fill of a patch whose slot has no fabric."""

Edges = dict[str, tuple[Point, Point]]
Shapes = list[tuple[Outline, str]]


def show_unit(study: Study, *names: str, pixels: float = 300.0) -> HTML:
    """Return still pictures of units: each with its fabrics, the names of its edges, and their finished lengths below.

    A unit that the study file names lies as it was made; any other lies as its first copy does in the top.

    Parameters
    ----------
    study
        Of any family.
    names
        Of its units; left out, all of them.
    pixels
        Largest width and height of a picture, pixels.

    Raises
    ------
    KitError
        A name that no unit has, with the nearest that one has.
    """
    patchwork = study.make_patchwork()
    tree = {unit.name: unit for unit in patchwork.units.list_all()}
    written = list(study.design.units) if isinstance(study.design, Units) else []
    known = list(dict.fromkeys([*written, *(name for name in tree if not written or name != TOP)]))
    colours: dict[str, str] = {}
    for fabric in study.fabrics:
        colours.setdefault(fabric.slot, fabric.colour)
    cards = []
    for name in names or known:
        if name not in known:
            near = get_close_matches(name, known, n=1)
            raise KitError(
                f"`{study.title}` has no unit `{name:.60}`",
                needed=", ".join(known[:12]),
                do=f"write `{near[0]}`" if near else "name one of these",
            )
        if isinstance(study.design, Units) and name in written:
            made = study.design.make_unit(name, study.measures.seam_allowance)
            shapes, edges = [(shape.outline, shape.slot) for shape in made.shapes], dict(made.edges)
        else:
            held = [patchwork.by_id[patch] for patch in tree[name].patches[0]]
            shapes = [(patch.outline, patch.slot) for patch in held]
            edges = name_edges(trace_together([patch.outline for patch in held]))
        cards.append(_make_card(study, name, [(o, colours.get(slot, PLAIN)) for o, slot in shapes], edges, pixels))
    return HTML(f'<div style="display:flex;flex-wrap:wrap;align-items:flex-end">{"".join(cards)}</div>')


def _make_card(study: Study, name: str, shapes: Shapes, edges: Edges, pixels: float) -> str:
    system = study.measures.system
    lengths = {edge: abs(complex(*b) - complex(*a)) for edge, (a, b) in edges.items()}
    said = "; ".join(f"{edge} {write_length(length, system)}" for edge, length in lengths.items())
    if len(edges) > FEW and max(lengths.values()) - min(lengths.values()) < TOLERANCE:
        said = f"each of {len(edges)} edges {write_length(min(lengths.values()), system)}"
    count = f"{len(shapes)} patches" if len(shapes) > 1 else "one patch"
    drawing = draw_unit(shapes, edges, f"The unit {name} of {study.title}: {count}. Its edges: {said}.")
    return (
        f'<div style="{CARD}">{_draw(drawing, pixels)}<div><b>{escape(name)}</b>, {count}</div>'
        f'<div style="color:#555;max-width:{pixels:.0f}px">{escape(said)}</div></div>'
    )


def _draw(drawing: Drawing, pixels: float) -> str:
    left, bottom, right, top = drawing.box
    return write_image(drawing, width=pixels * min(1.0, (right - left) / (top - bottom)))
