"""The pieces that are neither squares nor rectangles, each drawn with its cut measures, its seam line and its grain."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from math import copysign, cos, dist, hypot, radians, sin

from kit.geometry.closing import find_inside
from kit.geometry.outlines import (
    Outline,
    Point,
    measure_angles,
    measure_box,
    measure_directions,
    measure_edges,
    offset_outline,
    turn_outline,
)
from kit.lengths import System, write_decimal, write_length
from kit.model.blunt_points import BluntCut
from kit.model.cutting import Piece
from kit.model.pattern import Sketch
from kit.output.pictures.drawing import BLACK, Arrow, Drawing, Line, Note, Polygon
from kit.output.pictures.picture_sizes import STANDARD, Room, Rooms, find_scale
from kit.output.pictures.templates import find_grain
from kit.output.words.piece_words import describe_shape, head_shape
from kit.output.words.sizes import HALF, QUARTER, RECTANGLE
from kit.output.words.strings import say

PAPER = "#ffffff"
ACROSS, MANY = 3, 7
"""Pieces side by side in the standard edition; of so many shapes or more one more stands in a row."""
GAP, HIGH = 6.0, 34.0
"""Millimetres between two pieces, and the height of a picture."""
NEAR = 1e-4
"""Inches: lengths that are closer are one."""
GRAIN = 0.28
"""Length of the grain's arrow, as a part of the piece's smaller side."""
BESIDE, BELOW = 2.4, 1.5
"""How far the line of a measure stands off beside and below a piece, in heights of letters: clear of the angles."""
WIDER = 1.05
"""Room for words in a picture that has a margin besides."""
LETTER = 0.56
"""Width of a letter, in heights of letters."""


@dataclass(frozen=True, slots=True)
class PieceDrawing:
    """The picture of one cut shape.

    Attributes
    ----------
    pieces
        Ids of the pieces that have it, alike in size and hand.
    heading, line
        Their names, and how the shape is cut, in words.
    drawing
        The picture.
    room
        Its width and height on paper, millimetres.
    """

    pieces: tuple[str, ...]
    heading: str
    line: str
    drawing: Drawing
    room: Room


@dataclass(frozen=True, slots=True)
class _Measure:
    """A measure from one point to another, beside the piece.

    `away` points out of the piece; `off` is how far its line stands off, in heights of letters: zero along an edge.
    """

    ends: tuple[Point, Point]
    away: Point
    text: str
    off: float = 0.0

    def stand_off(self, height: float) -> tuple[Point, Point]:
        """Return the ends of its line, for words of a height."""
        (ax, ay), (bx, by) = self.ends
        dx, dy = (self.off * height * one for one in self.away)
        return (ax + dx, ay + dy), (bx + dx, by + dy)


def draw_pieces(sketch: Sketch, rooms: Rooms = STANDARD) -> tuple[PieceDrawing, ...]:
    """Draw every shaped piece of a sketch, those of one shape, size and hand once.

    A piece lies right side up, a longest edge at the bottom, or the edge that lies along its strip. Solid is the cut
    edge, dashed the seam line; the arrow is the straight grain. With a blunt ruler the point that it leaves out is
    dotted.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    rooms
        The room for the pictures.
    """
    blunt = {one.piece: one for one in sketch.making.blunt}
    alike: dict[object, list[Piece]] = {}
    for piece in sketch.making.pieces:
        if is_shaped(piece):
            size = tuple((name, round(inches, 4)) for name, inches in piece.rounded.items())
            form = tuple((round(x, 3), round(y, 3)) for x, y in piece.outline)
            key = piece.kind, piece.hand, size, form, piece.id in blunt, round(_find_grain(sketch, piece) or 0.0, 1)
            alike.setdefault(key, []).append(piece)
    across = ACROSS + (len(alike) >= MANY)
    room = rooms.step if rooms.always else ((rooms.run[0] - (across - 1) * GAP) / across, HIGH)
    return tuple(_draw(sketch, pieces, room, rooms.letter, blunt.get(pieces[0].id)) for pieces in alike.values())


def is_shaped(piece: Piece) -> bool:
    """Return True for a piece that is neither a square nor a rectangle."""
    return piece.kind not in ("square", "rectangle")


def _find_grain(sketch: Sketch, piece: Piece) -> float | None:
    """Return the way of the straight grain in the frame of a piece, degrees from 0 to 90; None if it has no patch."""
    return find_grain(sketch, piece) % 90 if piece.patches else None


def _draw(sketch: Sketch, pieces: Sequence[Piece], room: Room, letter: float, blunt: BluntCut | None) -> PieceDrawing:
    piece, system = pieces[0], sketch.study.measures.system
    angle = -measure_directions(piece.outline)[blunt.base if blunt else _find_foot(piece)]
    outline = turn_outline(piece.outline, angle)
    seam = offset_outline(outline, -sketch.cut_list.allowance)
    measures = list(_list_measures(piece, outline, system, blunt))
    corners = list(_list_corners(outline))
    scale, box = _fit(outline, measures, max((len(text) for *_, text in corners), default=0), room, letter)
    height = letter / find_scale(box, room)
    notes = [_place(one, height) for one in measures]
    for (x, y), (dx, dy), text in corners:
        half = 0.5 * LETTER * len(text)
        spots = [
            Note(
                (x + (0.35 + half + more) * height * dx, y + (0.75 + more) * height * dy - 0.36 * height), text, height
            )
            for more in (0.0, 0.5, 1.0, 1.5)
        ]
        side = copysign(
            (0.6 + half) * height, dx
        )  # level with the corner, where the words of an edge take the room above
        spots.append(Note((x + side, y + 0.1 * height), text, height))
        notes.append(next((spot for spot in spots if all(_is_clear(spot, other) for other in notes)), spots[0]))
    left, bottom, right, top = measure_box(outline)
    lines = [Line((*outline, outline[0]), 2.5), Line((*seam, seam[0]), 1.5, (1.2 / scale, 1.0 / scale))]
    lines += [line for one in measures if one.off for line in _draw_measure(one, height)]
    if blunt:
        lines.append(Line(_cross(outline, bottom + blunt.rounded), 2.5))
    grain = _find_grain(sketch, piece)
    arrows = (_point_grain(seam, grain + angle, (right - left, top - bottom), height),) if grain is not None else ()
    how = describe_shape(piece, system, blunt)
    ids = tuple(one.id for one in pieces)
    return PieceDrawing(
        ids,
        head_shape(pieces),
        how,
        Drawing(
            box, say("shape_alt", pieces=", ".join(ids), how=how), (Polygon(outline, PAPER, piece.id),), tuple(lines),
            edge=BLACK, arrows=arrows, notes=tuple(notes),
        ),
        room,
    )  # fmt: skip


def _is_clear(one: Note, other: Note) -> bool:
    """Return True if two words of one height do not lie over one another."""
    wide = 0.5 * LETTER * (len(one.text) + len(other.text)) * one.height
    return abs(one.at[0] - other.at[0]) > wide or abs(one.at[1] - other.at[1]) > one.height


def _find_foot(piece: Piece) -> int:
    """Return the edge to lie at the bottom: the one along the strip, if the piece is cut from one."""
    high = piece.cut.get("strip")
    if high is None:
        return 0
    turned = [turn_outline(piece.outline, -way) for way in measure_directions(piece.outline)]
    heights = [top - bottom for _, bottom, _, top in map(measure_box, turned)]
    return next((i for i, found in enumerate(heights) if abs(found - high) < NEAR), 0)


def _list_measures(piece: Piece, outline: Outline, system: System, blunt: BluntCut | None) -> Iterator[_Measure]:
    """Yield the measures that are read off the ruler, each where it is measured."""
    said = {name: write_length(inches, system) for name, inches in piece.rounded.items()}
    left, bottom, right, top = measure_box(outline)
    side = (right, bottom), (right, top)
    if blunt:
        side = side[0], (right, bottom + blunt.rounded)
        yield _Measure(side, (1.0, 0.0), write_length(blunt.rounded, system), BESIDE)
        return
    if "strip" in said:
        yield _Measure(side, (1.0, 0.0), said["strip"], BESIDE)
    if piece.kind == "template":
        yield _Measure(side, (1.0, 0.0), said["height"], BESIDE)
        yield _Measure(((left, bottom), (right, bottom)), (0.0, -1.0), said["width"], BELOW)
        return
    for i, name in _name_edges(piece, outline).items():
        a, b = outline[i], outline[(i + 1) % len(outline)]
        long = dist(a, b)
        yield _Measure((a, b), ((b[1] - a[1]) / long, (a[0] - b[0]) / long), said[name])


def _name_edges(piece: Piece, outline: Outline) -> Mapping[int, str]:
    """Return which edges carry which measure."""
    edges = measure_edges(outline)
    order = sorted(range(len(edges)), key=lambda i: (edges[i], i))
    if piece.kind == HALF:
        return {order[0]: "square", order[1]: "square"}
    if piece.kind == QUARTER:
        return {order[-1]: "square"}
    if piece.kind == RECTANGLE:
        return {order[0]: "short leg", order[1]: "long leg"}
    ways = measure_directions(outline)
    foot, head = (min(range(len(ways)), key=lambda i: abs((ways[i] - way + 180) % 360 - 180)) for way in (0, 180))
    if piece.kind == "trapezoid":
        return {foot: "long side", head: "short side"} if edges[foot] > edges[head] else {
            foot: "short side", head: "long side"
        }  # fmt: skip
    return {foot: "step" if piece.kind == "parallelogram" else "side"}


def _list_corners(outline: Outline) -> Iterator[tuple[Point, Point, str]]:
    """Yield each corner that is not a right angle: its place, the way out of the piece, and its angle in words."""
    for i, angle in enumerate(measure_angles(outline)):
        if abs(angle - 90) < 0.01:
            continue
        (px, py), (x, y), (qx, qy) = outline[i - 1], outline[i], outline[(i + 1) % len(outline)]
        before, after = hypot(px - x, py - y), hypot(qx - x, qy - y)
        dx, dy = -(px - x) / before - (qx - x) / after, -(py - y) / before - (qy - y) / after
        long = hypot(dx, dy)
        if long > NEAR:
            yield (x, y), (1.3 * dx / long, dy / long), write_decimal(f"{angle:.1f}".removesuffix(".0")) + "°"


def _draw_measure(one: _Measure, height: float) -> list[Line]:
    """Return the line of a measure with a tick at both ends."""
    ends = one.stand_off(height)
    dx, dy = (0.3 * height * part for part in one.away)
    return [Line(ends, 1.0), *(Line(((x - dx, y - dy), (x + dx, y + dy)), 1.0) for x, y in ends)]


def _place(one: _Measure, height: float) -> Note:
    """Return the words of a measure beside its middle, clear of the line."""
    (ax, ay), (bx, by) = one.stand_off(height)
    far = 0.75 * height + abs(one.away[0]) * 0.5 * LETTER * len(one.text) * height
    return Note(
        ((ax + bx) / 2 + far * one.away[0], (ay + by) / 2 + far * one.away[1] - 0.36 * height), one.text, height
    )


def _fit(
    outline: Outline, measures: Sequence[_Measure], longest: int, room: Room, letter: float
) -> tuple[float, tuple[float, float, float, float]]:
    """Return the millimetres for an inch, and the box of the room about the piece, so that every word has its place."""
    left, bottom, right, top = measure_box(outline)
    letter *= WIDER
    least = 0.6 + LETTER * longest  # for the words of an angle
    plain = letter * max([least, *(LETTER * len(one.text) + 0.8 for one in measures if one.away[0] < -NEAR)])
    aside = letter * max([least, *(one.off + LETTER * len(one.text) + 0.8 for one in measures if one.away[0] > NEAR)])
    above, below = 1.4 * letter, letter * max([1.4, *(one.off + 1.4 for one in measures if one.away[1] < -NEAR)])
    scale = min((room[0] - plain - aside) / (right - left), (room[1] - above - below) / (top - bottom))
    wide, high = room[0] / scale, room[1] / scale
    x = (left + right - (plain - aside) / scale - wide) / 2
    y = (bottom + top + (above - below) / scale - high) / 2
    return scale, (x, y, x + wide, y + high)


def _cross(outline: Outline, level: float) -> tuple[Point, ...]:
    """Return the stretch of a level line within an outline."""
    found = []
    for i, (bx, by) in enumerate(outline):
        ax, ay = outline[i - 1]
        if min(ay, by) <= level <= max(ay, by) and ay != by:
            found.append((ax + (bx - ax) * (level - ay) / (by - ay), level))
    return tuple(sorted(found))


def _point_grain(seam: Outline, way: float, sides: Point, height: float) -> Arrow:
    """Return the arrow of the straight grain about a point well within the piece."""
    x, y = find_inside(seam)
    half = GRAIN * min(sides)
    dx, dy = half * cos(radians(way)), half * sin(radians(way))
    return Arrow(((x - dx, y - dy), (x + dx, y + dy)), min(0.6 * height, 0.6 * half), BLACK, both=True)
