"""The picture of a unit: its patches, and the name of each edge beside it."""

from collections.abc import Mapping, Sequence
from math import hypot

from kit.geometry.outlines import Outline, Point, measure_box
from kit.output.pictures.drawing import Drawing, Line, Note, Polygon

HEIGHT = 0.05
"""Height of the names, as a part of the longer side of the unit's box."""
LETTER = 0.56
"""Width of a letter, as a part of its height."""
PARTS = (0.5, 0.7, 0.3, 0.9, 0.1)
"""Where along an edge its name may stand, the best place first."""


def draw_unit(shapes: Sequence[tuple[Outline, str]], edges: Mapping[str, tuple[Point, Point]], title: str) -> Drawing:
    """Draw a unit with the names of its edges outside it, each at the middle of its edge or as near as others allow.

    Parameters
    ----------
    shapes
        The outline of each patch, inches, and the colour that fills it.
    edges
        Each edge by its name, from its start to its end, the unit on the left.
    title
        A sentence on the unit: the alternative text.
    """
    left, bottom, right, top = measure_box([point for outline, _ in shapes for point in outline])
    height = HEIGHT * max(right - left, top - bottom)
    notes: list[Note] = []
    for name, edge in edges.items():
        places = [_write_name(name, edge, height, part) for part in PARTS]
        notes.append(next((one for one in places if not any(_overlap(one, other) for other in notes)), places[0]))
    wide = max((len(note.text) for note in notes), default=0) * LETTER * height + height
    box = (left - wide, bottom - 2 * height, right + wide, top + 2 * height)
    lines = tuple(Line(edge, 2.0) for edge in edges.values())
    return Drawing(box, title, tuple(Polygon(outline, fill) for outline, fill in shapes), lines, notes=tuple(notes))


def _write_name(name: str, edge: tuple[Point, Point], height: float, part: float) -> Note:
    """Return the name at a part of its edge, so far out that neither its height nor its width reaches the edge."""
    (ax, ay), (bx, by) = edge
    length = hypot(bx - ax, by - ay)
    out_x, out_y = (by - ay) / length, -(bx - ax) / length
    far = 0.5 * height + 0.5 * height * abs(out_y) + 0.5 * len(name) * LETTER * height * abs(out_x)
    x, y = ax + (bx - ax) * part + far * out_x, ay + (by - ay) * part + far * out_y
    return Note((x, y - 0.35 * height), name, height)  # a note stands on its line


def _overlap(one: Note, other: Note) -> bool:
    wide = (len(one.text) + len(other.text)) / 2 * LETTER * one.height
    return abs(one.at[0] - other.at[0]) < wide and abs(one.at[1] - other.at[1]) < one.height
