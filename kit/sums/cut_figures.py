"""Cut pieces and cloth for a sum, from the kit's own cut list and cutting plan; and plain pictures of shapes."""

from collections.abc import Sequence
from dataclasses import replace

from kit.errors import KitError
from kit.geometry.outlines import Outline, make_rectangle, measure_box, move_outline
from kit.lengths import CM
from kit.model.cutting import ClothPlan, CutList, Piece
from kit.model.fabrics import Supply
from kit.model.patchwork import patchwork_from_outlines
from kit.output.pictures.drawing import Drawing, Line, Note, Polygon
from kit.planning.cutting.cutting_plan import count_yield, cutting_plan
from kit.planning.pieces.cut_list import cut_list
from kit.solvers.packing.search_state import Effort
from kit.sums.sum_terms import SumTerms

FILLS = ("#b9cbd6", "#e8d9bd", "#c9d8c0", "#e3c4b8", "#d7cfe2", "#f4efe6")
FINE = {"inch": 1 / 64, "metric": 0.05 * CM}
"""Inches: cut sizes that are given are kept to this mark, whatever the ruler."""
PLAIN = ("left over", "squaring up", "bought and not cut")
"""Names of cloth beside the pieces."""
TRIES = 6
"""Counts above the plain grid that are tried, when rectangles may lie both ways."""
MANY = 4000
"""Pieces of one kind that are laid out one by one for a picture."""


def list_pieces(outlines: Sequence[Outline], terms: SumTerms, slots: Sequence[str] | None = None) -> CutList:
    """Return the cut list of finished outlines that touch one another as in a top.

    Raises
    ------
    KitError
        Outlines that cannot be sewn with the allowance.
    """
    return cut_list(patchwork_from_outlines(outlines, slots, allowance=terms.allowance), terms.step)


def cut_alone(outline: Outline, terms: SumTerms) -> Piece:
    """Return the cut piece of one finished outline."""
    return list_pieces([outline], terms).pieces[0]


def cut_rectangle(width: float, height: float, count: int, terms: SumTerms) -> CutList:
    """Return a cut list of rectangles of a given cut size, kept as it is.

    Raises
    ------
    KitError
        A cut size that leaves nothing between its seams.
    """
    a = terms.allowance
    if min(width, height) <= 2 * a + 1e-6:
        raise KitError(
            f"a piece cut {terms.say_size((width, height))} has nothing left between two allowances of {terms.say(a)}",
            needed=f"more than {terms.say(2 * a)}",
            do="give the cut size, allowances included, or a narrower allowance",
        )
    made = cut_list(
        patchwork_from_outlines([make_rectangle(0, 0, width - 2 * a, height - 2 * a)], allowance=a), FINE[terms.system]
    )
    (piece,) = made.pieces
    exact = {name: round(size, 9) for name, size in piece.cut.items()}
    return replace(made, pieces=(replace(piece, count=count, rounded=exact, headings=(), patches=(), turns=()),))


def plan_yardage(cuts: CutList, terms: SumTerms, effort: Effort = "quick", *, squaring: float = 0.0) -> ClothPlan:
    """Return the plan of the pieces from yardage, bought as needed."""
    slot = cuts.pieces[0].slot
    return cutting_plan(cuts, [Supply(slot, "yardage", terms.usable, squaring=squaring)], effort=effort).cloths[0]


def count_from(cuts: CutList, width: float, length: float) -> int:
    """Return how many pieces of the first kind a piece of cloth gives: counted in rows each way, then tried for more.

    Notes
    -----
    A square is exact; for a rectangle the count can be cut, and a still better layout is not excluded.
    """
    piece = cuts.pieces[0]
    supply = Supply(piece.slot, "remnant", width, length, 1)
    turned = Supply(piece.slot, "remnant", length, width, 1)
    fits = max(count_yield(cuts, supply) or 0, count_yield(cuts, turned) or 0)
    sides = sorted(piece.cut.values())
    if piece.kind == "rectangle" and fits < 200:
        most = int(width * length / (sides[0] * sides[-1]) + 1e-9)
        while fits < most and not _is_short(cuts, supply, fits + 1):
            fits += 1
    return fits


def _is_short(cuts: CutList, supply: Supply, count: int) -> bool:
    asked = replace(cuts, pieces=(replace(cuts.pieces[0], count=count),))
    return bool(cutting_plan(asked, [supply], effort="steady").short)


def plan_remnant(cuts: CutList, width: float, length: float, count: int) -> ClothPlan:
    """Return the plan of a number of pieces from a piece of cloth."""
    piece = replace(cuts.pieces[0], count=count)
    supply = Supply(piece.slot, "remnant", width, length, 1)
    return cutting_plan(replace(cuts, pieces=(piece,)), [supply], effort="quick").cloths[0]


def draw_shapes(
    shapes: Sequence[tuple[Outline, str]], title: str, *, notes: Sequence[Note] = (), dashed: Sequence[Outline] = ()
) -> Drawing:
    """Draw filled outlines, dashed ones over them, and words.

    Parameters
    ----------
    shapes
        (outline, word) of each; fills go round by the word.
    title
        What is seen, in one sentence.
    notes, dashed
        Words at their places; seam lines.
    """
    words = list(dict.fromkeys(word for _, word in shapes))
    filled = tuple(Polygon(outline, FILLS[words.index(word) % len(FILLS)], word) for outline, word in shapes)
    points = [point for outline, _ in shapes for point in outline]
    points += [point for outline in dashed for point in outline]
    left, bottom, right, top = measure_box(points)
    reach = 0.02 * max(right - left, top - bottom)
    for note in notes:
        half = 0.3 * len(note.text) * note.height
        left, right = min(left, note.at[0] - half), max(right, note.at[0] + half)
        bottom, top = min(bottom, note.at[1] - 0.3 * note.height), max(top, note.at[1] + note.height)
    seam = tuple(Line((*outline, outline[0]), 2.0, (2 * reach, 1.5 * reach)) for outline in dashed)
    return Drawing((left, bottom, right, top), title, filled, seam, notes=tuple(notes))


def name_readably(drawing: Drawing, said: str) -> Drawing:
    """Write the names in a picture of cloth large enough to read in a small picture, and leave out what has no room.

    Parameters
    ----------
    drawing
        Of `draw_cloth`, with pieces of one kind.
    said
        What stands in the first of them in place of its letter: its cut size.
    """
    left, bottom, right, top = drawing.box
    high = 0.045 * max(right - left, 0.6 * (top - bottom))
    shapes, notes = [], []
    first = True
    for polygon in drawing.polygons:
        word = polygon.word
        if word and word in PLAIN:
            text = word
        else:
            text, first = (said, False) if word and first else ("", first)
        x0, y0, x1, y1 = measure_box(polygon.points)
        if text and 0.58 * high * len(text) <= x1 - x0 and 1.1 * high <= y1 - y0:
            notes.append(Note(((x0 + x1) / 2, (y0 + y1) / 2 - 0.35 * high), text, high))
        shapes.append(replace(polygon, word=""))
    return replace(drawing, polygons=tuple(shapes), notes=tuple(notes))


def draw_bars(bars: Sequence[tuple[str, float, str]], title: str) -> Drawing | None:
    """Draw amounts as bars under one another, each with its name before it and its figure behind it.

    Parameters
    ----------
    bars
        (name, amount, amount in words) of each.
    title
        What is seen, in one sentence.

    Returns
    -------
    Drawing or None
        None where no amount is above zero.
    """
    most = max((amount for _, amount, _ in bars), default=0.0)
    if most <= 0:
        return None
    high = 0.6
    named = 0.6 * high * max(len(name) for name, _, _ in bars)
    shapes, notes = [], []
    for row, (name, amount, said) in enumerate(bars):
        y, long = -1.25 * row, max(0.02, 7.0 * amount / most)
        shapes.append((make_rectangle(0, y, long, 0.85), name))
        notes.append(Note((-0.3 * high * len(name) - 0.2, y + 0.22), name, high))
        notes.append(Note((long + 0.32 * high * len(said) + 0.2, y + 0.22), said, high))
    notes.append(Note((-named / 2 - 0.3, 0.9), "", high))
    return draw_shapes(shapes, title, notes=notes)


def draw_cut(piece: Piece, finished: Outline | None, terms: SumTerms, label: str) -> Drawing:
    """Draw a cut piece with its measures below, and its seam line dashed where the finished outline is given."""
    left, bottom, right, top = measure_box(piece.outline)
    high = 0.06 * max(right - left, top - bottom)
    said = ", ".join(f"{name} {terms.say(size)}" for name, size in piece.rounded.items())
    note = Note(((left + right) / 2, bottom - 1.6 * high), said, high)
    dashed = [] if finished is None else [move_outline(finished, *_shift(piece.outline, finished))]
    return draw_shapes([(piece.outline, label)], f"{label}: {said}", notes=[note], dashed=dashed)


def _shift(outer: Outline, inner: Outline) -> tuple[float, float]:
    a, b = measure_box(outer), measure_box(inner)
    return (a[0] + a[2] - b[0] - b[2]) / 2, (a[1] + a[3] - b[1] - b[3]) / 2


def stack_up(drawings: Sequence[tuple[Sequence[tuple[Outline, str]], str]], title: str) -> Drawing:
    """Draw groups of shapes side by side, each with its words below."""
    shapes: list[tuple[Outline, str]] = []
    notes: list[Note] = []
    x, tall = 0.0, 0.0
    boxes = [measure_box(point for outline, _ in group for point in outline) for group, _ in drawings]
    tall = max(box[3] - box[1] for box in boxes)
    height = 0.075 * max(tall, sum(box[2] - box[0] for box in boxes) / 2)
    for (group, said), (left, bottom, right, _) in zip(drawings, boxes, strict=True):
        wide = max(right - left, 0.56 * height * len(said))
        shift = x + (wide - (right - left)) / 2 - left
        shapes += [(move_outline(outline, shift, -bottom), word) for outline, word in group]
        notes.append(Note((x + wide / 2, -1.8 * height), said, height))
        x += wide + 2 * height
    return draw_shapes(shapes, title, notes=notes)
