"""Where a unit is trimmed, seen from nearby: the points, the line to cut, and how far it lies outside them."""

from math import dist, hypot

from kit.geometry.closing import find_holder
from kit.geometry.outlines import Outline, Point, measure_edges, offset_outline, turn_outline
from kit.geometry.paths import clip_line_to_box, clip_outline_to_box
from kit.lengths import write_faithful
from kit.model.pattern import Sketch
from kit.model.sewing import Step
from kit.output.pictures.drawing import BLACK, Arrow, Dot, Drawing, Line, Note, Polygon
from kit.output.pictures.letters import make_pale
from kit.output.pictures.picture_sizes import Room, find_scale
from kit.output.pictures.step_picture import SEAM
from kit.output.words.seam_places import NEAR, SeamPlaces
from kit.output.words.strings import say

REACH = 4.5
"""From the point shown to the side of the picture, in allowances."""
BEYOND = 1.6
"""Cloth so many allowances outside the points is cut off for certain."""
BARE = "#ffffff"


def draw_trim(
    sketch: Sketch, step: Step, places: SeamPlaces, room: Room, letter: float, *, turned: bool = False
) -> Drawing:
    """Draw one place of a trim from nearby, allowances included.

    Shown are the cloth with its allowances, the patches as they are finished, the line of the points that the ruler is
    laid on (dashed), the cut (heavy) and the distance between them.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    step
        The trim.
    places
        Where its seams lie.
    room, letter
        The room of the picture on paper and the least height of letters, millimetres.
    turned
        Whether the picture of the step lies on its side.
    """
    allowance = sketch.cut_list.allowance
    angle = -90.0 if turned else 0.0
    cut = turn_outline(places.place_trim(step), angle)
    seam = offset_outline(cut, -allowance)
    known = sketch.patchwork.by_id
    shapes = {
        name: turn_outline(outline, angle) for name, outline in places.list_shapes(step.first, step.number).items()
    }
    finished = [turn_outline(known[name].outline, angle) for name in step.first]
    raw = {name: offset_outline(outline, allowance) for name, outline in shapes.items()}
    (x, y), (ox, oy) = _choose_place(seam, finished, list(raw.values()), allowance)
    fabrics = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    fills = {name: make_pale(fabrics[sketch.colouring.assignment[name]]) for name in shapes}
    high = REACH * allowance
    wide = high * room[0] / room[1]
    box = (x - wide, y - high, x + wide, y + high)
    polygons = [
        Polygon(seen, fill, name)
        for fill_of, outlines in ((lambda _: BARE, raw), (fills.__getitem__, shapes))
        for name, outline in outlines.items()
        for fill in (fill_of(name),)
        for seen in clip_outline_to_box(outline, box)
    ]
    lines = [
        Line(seen, width, dash, colour)
        for outline, width, dash, colour in (
            (seam, 2.0, (0.3 * allowance, 0.2 * allowance), BLACK), (cut, 4.5, (), SEAM),
        )
        for ends in zip(outline, (*outline[1:], outline[0]), strict=True)
        if (seen := clip_line_to_box(ends, box))
    ]  # fmt: skip
    points = {
        (round(px, 4), round(py, 4))
        for outline in finished
        for px, py in outline
        if box[0] < px < box[2] and box[1] < py < box[3] and _is_along((px, py), seam)
    }
    height = letter / find_scale(box, room)
    said = write_faithful(allowance, sketch.study.measures.system)
    tx, ty = -oy, ox  # along the cut: the arrow stands beside the point
    ax, ay = x + 1.2 * allowance * tx, y + 1.2 * allowance * ty
    arrow = Arrow(((ax, ay), (ax + allowance * ox, ay + allowance * oy)), 0.3 * allowance, BLACK, both=True)
    half = 0.3 * height * len(said)
    nx, ny = ax + (allowance + 0.8 * height + half * abs(ox)) * ox, ay + (allowance + 0.8 * height) * oy
    return Drawing(
        box, say("trim_alt", allowance=said), tuple(polygons), tuple(lines), edge=BLACK,
        dots=(
            *(Dot(at, 0.2 * allowance, BLACK) for at in sorted(points)),
            Dot((nx, ny), half, BARE),
        ),
        arrows=(arrow,), notes=(Note((nx, ny - 0.36 * height), said, height),),
    )  # fmt: skip


def _is_along(point: Point, outline: Outline) -> bool:
    return any(
        abs(dist(point, a) + dist(point, b) - dist(a, b)) < NEAR
        for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)
    )


def _choose_place(seam: Outline, finished: list[Outline], raw: list[Outline], allowance: float) -> tuple[Point, Point]:
    """Return the place to show, and the way out of the unit there.

    Of the points on the trimmed edge the one is taken that has cloth to cut off beyond it and lies nearest the middle
    of its edge; without points, the middle of the longest edge.
    """
    found: list[tuple[bool, float, Point, Point]] = []
    longest = max(measure_edges(seam))
    for i, a in enumerate(seam):
        b = seam[(i + 1) % len(seam)]
        long = hypot(b[0] - a[0], b[1] - a[1])
        out = (b[1] - a[1]) / long, (a[0] - b[0]) / long
        middle = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        on = {
            (round(x, 4), round(y, 4)) for outline in finished for x, y in outline
            for near, far in (sorted((dist((x, y), a), dist((x, y), b))),)
            if near + far < long + NEAR and near > allowance
        }  # fmt: skip
        for at in sorted(on) or [middle]:
            beyond = BEYOND * allowance
            holder = find_holder(raw, [(at[0] + beyond * out[0], at[1] + beyond * out[1])])[0]
            found.append((holder is None, dist(at, middle) + (0.0 if on else longest), at, out))
    _, _, at, out = min(found)
    return at, out
