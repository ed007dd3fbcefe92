"""Pictures of the finishing: the backing with its seams, the binding with its joins."""

from collections.abc import Sequence

from kit.geometry.outlines import Point, make_rectangle, measure_area, measure_box, move_outline
from kit.lengths import write_length, write_nearest
from kit.model.finishing import FinishingPlan
from kit.model.finishing_parts import Backing
from kit.output.pictures.drawing import Dot, Drawing, Line, Note, Polygon
from kit.output.pictures.picture_sizes import Rooms, find_scale
from kit.output.words.strings import say_finishing, say_name

CLOTH = ("#dfe6ea", "#c9d5dc")
TOP = "#f4efe6"
MARK = "#b3401f"
DASH = (1.0, 0.8)
WIDE = 0.62
"""Width of a letter, in heights of the type."""


def draw_backing(plan: FinishingPlan, way: Backing | None = None, rooms: Rooms | None = None) -> Drawing:
    """Draw the backing: panels, seams, and the edge of the top dashed within it.

    Parameters
    ----------
    plan
        The finishing plan.
    way
        One of `plan.backing.ranked`; None for the one that is taken.
    rooms
        What room the picture has on paper; None on screen.
    """
    way = way or plan.backing.chosen
    system = plan.top.system
    wide, high = plan.backing.needed
    sides, ends = plan.backing.overhang
    height = _choose_height((0.0, 0.0, wide, high), rooms, 0.03 * max(wide, high))
    least = 0.8 * height if rooms else 0.0
    polygons, notes = [], []
    for number, panel in enumerate(way.panels, start=1):
        named = say_finishing("backing_panel", number=number)
        polygons.append(Polygon(panel.outline, CLOTH[number % 2], named))
        left, bottom, right, top = measure_box(panel.outline)
        at = (sum(x for x, _ in panel.outline) / len(panel.outline), (bottom + top) / 2)
        sizes = " × ".join(write_length(side, system, step=plan.top.step) for side in panel.cut)
        cut = say_finishing("backing_cut", size=sizes)
        small = min(height, 0.9 * measure_area(panel.outline) / (top - bottom) / (WIDE * len(cut)))
        if right - left > 8 * height and way.way != "diagonal" and small >= least:
            notes.append(Note((at[0], at[1] + 0.2 * small), named, small))
            notes.append(Note((at[0], at[1] - 1.2 * small), cut, small))
        else:
            notes.append(Note(at, f"{number}", height))
    edge = make_rectangle(sides, ends, plan.width, plan.height)
    key = "none" if not way.seams else "count_one" if way.seams == 1 else "count"
    seams = say_finishing(f"backing_seam_{key}", count=way.seams)
    facts = {"width": write_length(wide, system), "height": write_length(high, system)}
    notes.append(Note((wide / 2, ends + height / 2), say_finishing("backing_top_edge"), 0.8 * height))
    title = say_finishing("backing_alt", way=say_name(way.way), seams=seams, **facts)
    return Drawing(
        (0.0, 0.0, wide, high), title, tuple(polygons), (Line((*edge, edge[0]), 2.0, DASH),), notes=tuple(notes)
    )


def draw_binding(plan: FinishingPlan, rooms: Rooms | None = None) -> Drawing:
    """Draw where the joins of the binding lie, the closing one ringed, with the distance of each along its side.

    Parameters
    ----------
    plan
        The finishing plan.
    rooms
        What room the picture has on paper; None on screen.
    """
    system = plan.top.system
    part = plan.binding
    b = part.finished
    outside = move_outline(make_rectangle(0, 0, plan.width + 2 * b, plan.height + 2 * b), -b, -b)
    inside = make_rectangle(0, 0, plan.width, plan.height)
    size = max(plan.width, plan.height)
    margin = 0.02 * size
    box = (-b - margin, -b - margin, plan.width + b + margin, plan.height + b + margin)
    height = _choose_height(box, rooms, 0.028 * size)
    inward = {"bottom": (0, 1), "top": (0, -1), "left": (1, 0), "right": (-1, 0)}
    dots: list[Dot] = []
    notes: list[Note] = []
    rings: list[Line] = []
    for join in part.joins:
        x, y = join.at
        dx, dy = inward[join.side]
        dots.append(Dot(join.at, 0.008 * size, MARK))
        along = write_nearest(join.along, system)
        word = say_finishing("binding_closing", along=along) if join.closing else along
        reach = (0.08 if dx else 0.03 if join.closing else 0.06) * size
        at = (x + dx * reach, y + dy * reach - height / 3)
        if rooms:
            half = 0.5 * WIDE * len(word) * height
            level = x + dx * (half + 0.8 * height) if dx else min(max(x, half), plan.width - half)
            up = dy or (1 if 2 * y < plan.height else -1)
            at = _stand_clear((level, y + 1.2 * dy * height - height / 3), 1.3 * up * height, half, notes)
        notes.append(Note(at, word, height))
        if join.closing:
            rings.append(Line(tuple(move_outline(_ring(0.016 * size), x, y)), 1.5, (), MARK))
    title = say_finishing(
        "binding_alt", width=write_length(plan.width, system), height=write_length(plan.height, system),
        count=len(part.joins), clear=write_nearest(part.clear, system),
    )  # fmt: skip
    polygons = (Polygon(outside, CLOTH[1], "binding"), Polygon(inside, TOP, "top"))
    return Drawing(box, title, polygons, tuple(rings), dots=tuple(dots), notes=tuple(notes))


def _choose_height(box: tuple[float, float, float, float], rooms: Rooms | None, on_screen: float) -> float:
    """Return how high words are, inches: on paper by the rooms."""
    return rooms.words * rooms.letter / find_scale(box, rooms.bound) if rooms else on_screen


def _stand_clear(at: Point, step: float, half: float, notes: Sequence[Note]) -> Point:
    """Return the first place, going up or down by steps, where words of a half width stand over no other words."""
    x, y = at
    near = [note for note in notes if abs(x - note.at[0]) < half + 0.5 * WIDE * len(note.text) * note.height]
    while any(abs(y - note.at[1]) < 0.99 * abs(step) for note in near):
        y += step
    return x, y


def _ring(radius: float) -> tuple[tuple[float, float], ...]:
    """Return a square on point round the origin, closed."""
    return ((radius, 0.0), (0.0, radius), (-radius, 0.0), (0.0, -radius), (radius, 0.0))
