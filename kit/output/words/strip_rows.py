"""Strips read as rows: pieces cut off one after another, then an end divided along into lower strips.

The rows are read off the places of the cuts, whoever laid them. A strip that is not made of rows needs its drawing.
"""

from collections.abc import Callable, Hashable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from kit.geometry.outlines import TOLERANCE, measure_directions, measure_edges
from kit.model.cutting import Cut, Piece, Strip
from kit.output.words.sizes import HALF, QUARTER, RECTANGLE

SLIP = 1e-4
"""Inches: the tolerance between two places."""


@dataclass(frozen=True)
class ReadRow:
    """One strip of cloth, or a lower strip of its end.

    Attributes
    ----------
    height, length
        Its size, inches.
    full
        The cuts across it, one after another.
    ends
        The lower strips of what is left behind them, the widest first.
    """

    height: float
    length: float
    full: tuple[Cut, ...]
    ends: tuple["ReadRow", ...] = ()

    @property
    def kinds(self) -> tuple[str, ...]:
        """The pieces cut across it, each once."""
        return tuple(dict.fromkeys(cut.piece for cut in self.full))


def read_strip(strip: Strip) -> tuple[ReadRow, ...] | None:
    """Return the rows of a strip, one for yardage and one or several for a pre-cut; None if it is not made of rows."""
    if strip.lengthwise:
        row = _read_one(strip.cuts, (0.0, 0.0, strip.length, strip.height), trimmed=True)
        return None if row is None else (row,)
    whole = _read_one(strip.cuts, (0.0, 0.0, strip.length, strip.height))
    if whole is not None and whole.full:
        return (whole,)
    found = []
    for bottom, top, cuts in _part(strip.cuts, across=False):
        row = _read_one(cuts, (0.0, bottom, strip.length, top - bottom))
        if row is None or not row.full:
            return None
        found.append(row)
    return tuple(sorted(found, key=lambda row: -row.height))


def _read_one(cuts: Sequence[Cut], box: tuple[float, float, float, float], *, trimmed: bool = False) -> ReadRow | None:
    """Read a row in a box (left, bottom, length, height); None if it is more than one row and its end."""
    _, bottom, length, height = box
    full = [cut for cut in cuts if abs(cut.y - bottom) < SLIP and abs(cut.height - height) < SLIP]
    rest = [cut for cut in cuts if cut not in full]
    if trimmed:
        long = [cut for cut in rest if abs(cut.y - bottom) < SLIP and cut.height > length - SLIP]
        full += [cut for cut in long if not any(_shares(cut, other) for other in rest if other is not cut)]
        rest = [cut for cut in rest if cut not in full]
    if not rest:
        return ReadRow(height, length, tuple(full))
    sections = list(_part([*full, *rest], across=True))
    open_now = [any(cut in rest for cut in held) for _, _, held in sections]
    mixed = [cut for _, _, held in sections for cut in held if any(one in rest for one in held)]
    runs = sum(here and not before for before, here in pairwise([False, *open_now]))
    if runs != 1 or any(cut in full for cut in mixed):
        return None
    room = length - sum(cut.width for cut in full)
    ends = []
    for low, high, held in _part(mixed, across=False):
        if any(abs(cut.y - low) > SLIP or abs(cut.height - (high - low)) > SLIP for cut in held):
            return None
        ends.append(ReadRow(high - low, room, tuple(sorted(held, key=lambda cut: cut.x))))
    return ReadRow(height, length, tuple(full), tuple(sorted(ends, key=lambda row: -row.height)))


def _shares(cut: Cut, other: Cut) -> bool:
    """Return True if two cuts share a part of the strip's length."""
    return cut.x < other.x + other.width - SLIP and other.x < cut.x + cut.width - SLIP


def _part(cuts: Sequence[Cut], *, across: bool) -> Iterable[tuple[float, float, list[Cut]]]:
    """Yield (start, end, cuts) of the parts that straight cuts across, or along, leave."""

    def ends(cut: Cut) -> tuple[float, float]:
        return (cut.x, cut.x + cut.width) if across else (cut.y, cut.y + cut.height)

    held: list[Cut] = []
    low = high = 0.0
    for cut in sorted(cuts, key=ends):
        start, end = ends(cut)
        if held and start > high - SLIP:
            yield low, high, held
            held = []
        low, high = (low, max(high, end)) if held else (start, end)
        held.append(cut)
    if held:
        yield low, high, held


def sign_row(row: ReadRow, name: Callable[[Cut], Hashable]) -> tuple[object, ...]:
    """Return what makes two rows the same to cut: sizes, and cuts by their `name`, the order apart."""
    held: dict[Hashable, int] = {}
    for cut in row.full:
        key = (name(cut), round(cut.width, 4), cut.count)
        held[key] = held.get(key, 0) + 1
    ends = tuple(sign_row(end, name) for end in row.ends)
    return (round(row.height, 4), round(row.length, 4) if not row.ends else 0.0, frozenset(held.items()), ends)


def find_pile(cut: Cut, piece: Piece, *, nap: bool) -> tuple[str, str]:
    """Return how the triangles of a one-way print lie in their square, and which one is kept; empty for other pieces.

    "rising" or "falling" for the diagonal as one reads it from left to right; "level" or "upright" for the long sides
    of quarter-square triangles. Of cloth with a nap only one triangle of a square is right: where it lies comes second.
    """
    if not cut.shapes or piece.kind not in (HALF, RECTANGLE, QUARTER):
        return "", ""
    outline = cut.shapes[0].outline
    edges = measure_edges(outline)
    angle = measure_directions(outline)[edges.index(max(edges))] % 180
    off = [sum(corner[k] for corner in outline) / 3 - side / 2 for k, side in enumerate((cut.width, cut.height))]
    across, up = ("left" if off[0] < 0 else "right"), ("lower" if off[1] < 0 else "upper")
    if piece.kind == QUARTER:
        level = min(angle, 180 - angle) < 45
        return "level" if level else "upright", (up if level else across) if nap else ""
    return "rising" if TOLERANCE < angle < 90 else "falling", f"{up} {across}" if nap else ""
