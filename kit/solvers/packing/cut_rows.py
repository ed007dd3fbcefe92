"""Rows: strips whose pieces are cut off one after another, and whose end is cut into narrower strips.

A row holds pieces as high as itself; behind them its end may be divided along into lower strips, each with pieces as
high as that strip. Whoever knows the row's height and the numbers knows every cut, without a drawing. Lengths are whole
numbers of one unit.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple, TypeAlias

from kit.solvers.packing.strip_packing import Placed, RectangleKind, StripLayout, StripPattern

Held: TypeAlias = tuple[tuple[int, int], ...]
"""Kinds with their numbers, in the order of cutting."""


class ClothRow(NamedTuple):
    """A strip: the pieces cut off it one after another, and the lower strips along its end.

    Attributes
    ----------
    height
        Its height.
    full
        The pieces as high as the row.
    ends
        For each lower strip of the end its height and its pieces, the highest first.
    """

    height: int
    full: Held
    ends: tuple[tuple[int, Held], ...] = ()

    def uses(self) -> dict[int, int]:
        """Return the number of each kind in it."""
        found: dict[int, int] = {}
        for held in (self.full, *(held for _, held in self.ends)):
            for i, number in held:
                found[i] = found.get(i, 0) + number
        return found


RowLayout: TypeAlias = list[tuple[ClothRow, int]]
"""Rows and the number of times to cut each."""


class RowTable:
    """The kinds by the height of the row that they may lie in.

    A kind wider than the cloth lies along it, in a row at least as high as it is long, and is cut to its length there.
    Rows are no higher than `most`, the longest ruler, unless a kind has no lower side.

    Parameters
    ----------
    kinds
        The kinds; each fits the width.
    width
        Usable width.
    most
        The greatest height of a row; None without a limit.
    """

    def __init__(self, kinds: Sequence[RectangleKind], width: int, most: int | None = None) -> None:
        self.kinds, self.width = kinds, width
        self.long = [kind.width > width and not kind.run for kind in kinds]
        self.members: dict[int, list[tuple[int, int]]] = {}
        for i, kind in enumerate(kinds):
            faces = [(kind.width, kind.height)] if not self.long[i] else []
            if kind.turn and kind.width != kind.height and kind.height <= width:
                faces.append((kind.height, kind.width))
            low = [face for face in faces if most is None or face[1] <= most]
            for wide, high in low or [min(faces, key=lambda face: face[1])]:
                self.members.setdefault(high, []).append((i, wide))
        lengths = sorted(high for high, held in self.members.items() if any(self.long[i] for i, _ in held))
        for high in lengths:
            for lower in lengths:
                if lower < high:
                    self.members[high] += [entry for entry in self.members[lower] if self.long[entry[0]]]
        self.heights = sorted(self.members, reverse=True)

    def measure(self, i: int, height: int, number: int = 1) -> int:
        """Return the width that a number of a kind takes in a row of a height."""
        kind = self.kinds[i]
        if kind.run:
            return kind.run[number - 1]
        return number * (kind.width if kind.height == height and not self.long[i] else kind.height)

    def most_of(self, i: int, height: int, room: int) -> int:
        """Return the greatest number of a kind in so much of a row."""
        kind = self.kinds[i]
        if kind.run:
            return sum(1 for size in kind.run if size <= room)
        return room // self.measure(i, height)

    def area(self, row: ClothRow) -> int:
        """Return the area of the pieces of a row."""
        return sum(self.kinds[i].area * number for i, number in row.uses().items())

    def place(self, row: ClothRow) -> StripPattern:
        """Return the strip of a row: full pieces from the left, the widest first, then the end, the highest lowest."""
        placed: list[Placed] = []
        x = self._set(placed, row.full, row.height, 0, 0)
        y = 0
        for height, held in row.ends:
            self._set(placed, held, height, x, y)
            y += height
        return StripPattern(row.height, tuple(placed))

    def _set(self, placed: list[Placed], held: Held, height: int, x: int, y: int) -> int:
        for i, number in held:
            kind = self.kinds[i]
            high = kind.width if self.long[i] else kind.height if kind.run else height
            if kind.run:
                placed.append(Placed(i, x, y, kind.run[number - 1], high, number))
                x += kind.run[number - 1]
                continue
            wide = self.measure(i, height)
            placed.extend(Placed(i, x + k * wide, y, wide, high) for k in range(number))
            x += number * wide
        return x

    def order(self, height: int, held: Mapping[int, int]) -> Held:
        """Return kinds with their numbers, the widest first."""
        ranked = sorted(held.items(), key=lambda entry: (-self.measure(entry[0], height), entry[0]))
        return tuple((i, number) for i, number in ranked if number)

    def keep(self, row: ClothRow, left: Sequence[int]) -> list[ClothRow]:
        """Return a row without pieces beyond the numbers left; without full pieces its lower strips are rows."""
        open_now = list(left)

        def take(held: Held) -> Held:
            kept = []
            for i, wanted in held:
                number = min(wanted, open_now[i])
                open_now[i] -= number
                if number:
                    kept.append((i, number))
            return tuple(kept)

        full = take(row.full)
        ends = tuple((height, held) for height, pieces in row.ends if (held := take(pieces)))
        return [ClothRow(row.height, full, ends)] if full else [ClothRow(height, held) for height, held in ends]


def fill_first(table: RowTable, height: int, left: Sequence[int]) -> ClothRow | None:
    """Fill one row without a search: the widest first, then its end, the highest first.

    Returns None where no piece as high as the row is left.
    """
    open_now = list(left)
    x, full = _take(table, height, table.width, open_now)
    if not full:
        return None
    ends: list[tuple[int, Held]] = []
    y, room = 0, table.width - x
    for lower in table.heights:
        while lower < height and y + lower <= height:
            _, held = _take(table, lower, room, open_now, runs=False)
            if not held:
                break
            ends.append((lower, held))
            y += lower
    return ClothRow(height, full, tuple(ends))


def _take(table: RowTable, height: int, room: int, left: list[int], *, runs: bool = True) -> tuple[int, Held]:
    """Take pieces of a height into so much of a row, the widest first; return the width taken, and the pieces."""
    held: dict[int, int] = {}
    x = 0
    for i, wide in sorted(table.members[height], key=lambda entry: (-entry[1], entry[0])):
        if left[i] <= 0 or wide > room - x or (table.kinds[i].run and not runs):
            continue
        number = min(left[i], table.most_of(i, height, room - x))
        if number:
            held[i] = number
            left[i] -= number
            x += table.measure(i, height, number)
    return x, table.order(height, held)


def fill_all(table: RowTable, fill: "RowFill", left: Sequence[int]) -> RowLayout:
    """Return rows for every piece, each time the highest that is needed, as often as it can be repeated."""
    open_now = list(left)
    layout: RowLayout = []
    for i in _rank(table):
        while open_now[i] > 0:
            rows = [row for height in _heights_of(table, i) if (row := fill(height, open_now)) and i in row.uses()]
            rows = rows or [
                ClothRow(height, ((i, min(open_now[i], table.most_of(i, height, table.width))),))
                for height in _heights_of(table, i)
            ]
            row = max(rows, key=lambda one: (table.area(one) / one.height, -one.height))
            uses = row.uses()
            times = min(open_now[k] // number for k, number in uses.items())
            layout.append((row, times))
            spend(row, open_now, times)
    return layout


def spend(row: ClothRow, left: list[int], times: int = 1) -> None:
    """Take the pieces of a row off the numbers left."""
    for i, number in row.uses().items():
        left[i] -= number * times


class RowFill:
    """How one row of a height is filled from the numbers left: `fill_first`, or a search at given prices."""

    def __init__(self, table: RowTable) -> None:
        self.table = table

    def __call__(self, height: int, left: Sequence[int]) -> ClothRow | None:
        """Return a row, None where no piece of its height is left."""
        return fill_first(self.table, height, left)


def _rank(table: RowTable) -> list[int]:
    """Return the kinds, those that need the highest rows first."""
    least = [min(_heights_of(table, i)) for i in range(len(table.kinds))]
    return sorted(range(len(table.kinds)), key=lambda i: (-least[i], -table.kinds[i].area, i))


def _heights_of(table: RowTable, i: int) -> list[int]:
    """Return the heights of the rows of one kind; of one that lies along the cloth, its own length."""
    found = [height for height in table.heights if any(i == k for k, _ in table.members[height])]
    return [min(found)] if table.long[i] else found


def place_rows(table: RowTable, layout: RowLayout) -> StripLayout:
    """Return the strips of rows, equal ones together, the highest first."""
    found: dict[StripPattern, int] = {}
    for row, times in layout:
        pattern = table.place(row)
        found[pattern] = found.get(pattern, 0) + times
    return sorted(found.items(), key=lambda entry: (-entry[0].height, -entry[1], entry[0].placed))


def list_single(table: RowTable) -> Iterator[ClothRow]:
    """Yield for each kind its full rows of one kind, in every direction."""
    for height in table.heights:
        for i, _ in table.members[height]:
            number = min(table.kinds[i].count, table.most_of(i, height, table.width))
            if number and height in _heights_of(table, i):
                yield ClothRow(height, ((i, number),))
