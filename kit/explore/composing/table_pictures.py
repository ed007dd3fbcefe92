"""What the table shows, as the columns of its sources; and the pictures of the tray."""

from base64 import b64encode
from collections.abc import Mapping, Sequence
from html import escape
from math import atan2, degrees, hypot, radians
from typing import Any

from kit.designs.units.built_unit import BuiltUnit, Copy
from kit.explore.composing.laid import FreeEdge, LaidTable
from kit.geometry.outlines import Outline, measure_box

Columns = dict[str, list[Any]]
Shape = tuple[list[float], list[float], str]
"""Corners across and up, and the slot."""
MISSING = "#ffffff"
"""Colour of a slot without fabric."""
GROUND = "#faf8f5"
INK = "#26221f"
CHOSEN = "#c8603c"
LETTER = 6.5
"""Pixels that a letter of an edge's name takes."""
OUT = 9.0
"""Pixels between an edge and its name."""


class PatchColumns:
    """Lists the patches of what lies, and remembers those of copies that did not move."""

    def __init__(self) -> None:
        self._kept: dict[Copy, list[Shape]] = {}

    def list(self, laid: LaidTable, colours: Mapping[str, str]) -> Columns:
        """Return the columns of the patches."""
        self._kept = {copy: self._kept.get(copy) or _list_shapes(copy) for copy in laid.copies}
        shapes = [shape for copy in laid.copies for shape in self._kept[copy]]
        return {
            "xs": [across for across, _, _ in shapes],
            "ys": [up for _, up, _ in shapes],
            "fill": [colours.get(slot, MISSING) for _, _, slot in shapes],
        }


def _list_shapes(copy: Copy) -> list[Shape]:
    found = []
    for shape in copy.unit.shapes:
        outline = copy.move.lay(shape.outline)
        found.append(([round(x, 5) for x, _ in outline], [round(y, 5) for _, y in outline], shape.slot))
    return found


def list_edges(edges: Sequence[FreeEdge], said: Sequence[str], pixel: float) -> Columns:
    """Return the columns of the free edges; a name that would be longer than its edge is left out.

    Parameters
    ----------
    edges
        The free edges.
    said
        The length of each in words.
    pixel
        Inches that a pixel is.
    """
    angles = [degrees(atan2(e.end[1] - e.start[1], e.end[0] - e.start[0])) for e in edges]
    places = [_step_out(edge, OUT * pixel) for edge in edges]
    return {
        "xs": [[edge.start[0], edge.end[0]] for edge in edges],
        "ys": [[edge.start[1], edge.end[1]] for edge in edges],
        "x": [x for x, _ in places],
        "y": [y for _, y in places],
        "angle": [radians(angle + 180 if angle > 90.01 or angle < -89.99 else angle) for angle in angles],
        "text": [edge.name if len(edge.name) * LETTER * pixel <= edge.size else "" for edge in edges],
        "label": [edge.label for edge in edges],
        "size": list(said),
    }


def _step_out(edge: FreeEdge, by: float) -> tuple[float, float]:
    """Return the place in the middle of an edge, moved away from the copy that it belongs to."""
    dx, dy = edge.end[0] - edge.start[0], edge.end[1] - edge.start[1]
    length = hypot(dx, dy)
    x, y = edge.middle
    return x + by * dy / length, y - by * dx / length


def list_marks(edge: FreeEdge | None, copy: Copy | None, corner: tuple[float, float] | None, pixel: float) -> Columns:
    """Return the columns of what is chosen: a unit, an edge, a corner."""
    lines: list[tuple[Sequence[tuple[float, float]], float]] = []
    if copy is not None:
        lines.append(((*copy.outline, copy.outline[0]), 2.5))
    if edge is not None:
        lines.append(((edge.start, edge.end), 5.0))
    if corner is not None:
        (x, y), r = corner, 8 * pixel
        lines.append((((x - r, y), (x, y - r), (x + r, y), (x, y + r), (x - r, y)), 3.0))
    return {
        "xs": [[x for x, _ in points] for points, _ in lines],
        "ys": [[y for _, y in points] for points, _ in lines],
        "width": [width for _, width in lines],
    }


def list_troubles(laid: LaidTable) -> Columns:
    """Return the columns of the places at which something is wrong, each with its number among the sentences."""
    spots = [(number, trouble) for number, trouble in enumerate(laid.troubles, start=1) if trouble.place is not None]
    return {
        "x": [trouble.place[0] for _, trouble in spots if trouble.place],
        "y": [trouble.place[1] for _, trouble in spots if trouble.place],
        "number": [str(number) for number, _ in spots],
        "said": [trouble.text for _, trouble in spots],
    }


def find_box(laid: LaidTable) -> tuple[float, float, float, float]:
    """Return (left, bottom, right, top) of what lies on the table, a foot square where nothing does."""
    corners = [corner for copy in laid.copies for corner in copy.outline]
    return measure_box(corners) if corners else (0.0, 0.0, 12.0, 12.0)


def write_picture(unit: BuiltUnit | None, colours: Mapping[str, str], pixels: float) -> str:
    """Return a picture of a unit as a data address, to be the ground of its button; a plain frame for one not made."""
    shapes: Sequence[tuple[Outline, str]] = [(shape.outline, shape.slot) for shape in unit.shapes] if unit else []
    width, height = unit.size if unit else (1.0, 1.0)
    scale = (pixels - 4) / max(width, height)
    over, down = (pixels + 2 - width * scale) / 2, (pixels + 2 - height * scale) / 2
    polygons = "".join(
        f'<polygon points="{_write_points(outline, height, scale)}" fill="{escape(colours.get(slot, MISSING))}"/>'
        for outline, slot in shapes
    )
    side = f"{pixels + 2:.0f}"
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{side}" height="{side}">'
        f'<rect width="{side}" height="{side}" rx="3" fill="{GROUND}"/>'
        f'<g transform="translate({over:.1f} {down:.1f})" stroke="{INK}" stroke-width="0.7" stroke-linejoin="round">'
        f"{polygons}</g></svg>"
    )
    return f"data:image/svg+xml;base64,{b64encode(svg.encode()).decode()}"


def _write_points(outline: Outline, height: float, scale: float) -> str:
    return " ".join(f"{x * scale:.1f},{(height - y) * scale:.1f}" for x, y in outline)
