"""Rows: units side by side and rows one below the other, with spacers where they are asked for and sizes differ."""

from collections.abc import Callable, Iterator, Sequence

from kit.designs.blocks import BlockPatch
from kit.designs.keys import refuse_keys
from kit.designs.units.built_unit import BuiltUnit
from kit.designs.units.edge_names import is_upright, name_edges
from kit.designs.units.unit_keys import RowKeys
from kit.designs.units.unit_words import UnitWord, read_words, write_both
from kit.geometry.outlines import TOLERANCE, make_rectangle, measure_box
from kit.geometry.rigid_move import RigidMove, make_turn
from kit.lengths import write_length
from kit.model.patchwork import check_count

Size = tuple[float, float]
PlacedUnits = list[tuple[BuiltUnit, RigidMove]]
Make = Callable[[str], BuiltUnit]


def count_rows(keys: RowKeys, key: str, count: Callable[[str], int]) -> int:
    """Return how many patches rows have, counted without laying them; spacers are left out."""
    rows = [read_words(row, key) for row in keys.rows]
    held = []
    for words in rows:
        per = sum(word.count for word in words)
        each = sum(word.count * count(word.name) for word in words)
        full, rest = divmod(keys.across or per, per)
        held.append(full * each + _count_first(words, rest, count))
    down = keys.down or len(rows)
    full, rest = divmod(down, len(rows))
    return full * sum(held) + sum(held[:rest])


def _count_first(words: Sequence[UnitWord], rest: int, count: Callable[[str], int]) -> int:
    total = 0
    for word in words:
        take = min(rest, word.count)
        total, rest = total + take * count(word.name), rest - take
    return total


def read_pattern(keys: RowKeys, key: str) -> list[list[UnitWord]]:
    """Return every unit of every row, one word a copy, once `count_rows` has found them few enough."""
    rows = []
    for text in keys.rows:
        words = read_words(text, key)
        check_count(sum(word.count for word in words))
        each = [word for word in words for _ in range(word.count)]
        rows.append([each[i % len(each)] for i in range(keys.across or len(each))])
    return [rows[i % len(rows)] for i in range(keys.down or len(rows))]


def lay_rows(name: str, keys: RowKeys, make: Make, allowance: float) -> PlacedUnits:
    """Return the units of the rows in their places, row by row from the top.

    Raises
    ------
    PatchworkError
        Units that are not rectangles, rows that are not equally high throughout or equally long, where no spacer is
        asked for or the spacer would be too narrow to be sewn.
    """
    key = f"unit.{name}.rows"
    rows = read_pattern(keys, key)
    spacer = Spacers(keys.spacer_slot, name, allowance)
    laid: list[tuple[PlacedUnits, Size]] = []
    for number, words in enumerate(rows, start=1):
        laid.append(_lay_row(number, words, make, spacer, key))
    widest = max(laid, key=lambda row: row[1][0])
    long = laid.index(widest) + 1
    placed: PlacedUnits = []
    top = 0.0
    for number, (row, (width, height)) in enumerate(laid, start=1):
        top -= height
        if widest[1][0] - width > TOLERANCE:
            what = f"`{key}`: row {number} is {{}} long and row {long} is {{}}"
            before, after = spacer.split(width, widest[1][0], what)
        else:
            before = after = 0.0
        placed += spacer.fill(0.0, top, before, height)
        placed += [(unit, move.then(RigidMove(shift=complex(before, top)))) for unit, move in row]
        placed += spacer.fill(before + width, top, after, height)
    return placed


def _lay_row(
    number: int, words: Sequence[UnitWord], make: Make, spacer: "Spacers", key: str
) -> tuple[PlacedUnits, Size]:
    """Return a row with its lower left corner at (0, 0), and its size."""
    turned = [turn_upright(make(word.name), word, key) for word in words]
    high = max(size[1] for _, _, size in turned)
    tallest = next(unit.name for unit, _, size in turned if size[1] == high)
    row: PlacedUnits = []
    x = 0.0
    for unit, move, (width, height) in turned:
        below, above = 0.0, 0.0
        if high - height > TOLERANCE:
            what = f"`{key}`: in row {number} `{unit.name}` is {{}} high and `{tallest}` is {{}}"
            below, above = spacer.split(height, high, what)
        row += spacer.fill(x, below + height, width, above)
        row.append((unit, move.then(RigidMove(shift=complex(x, below)))))
        row += spacer.fill(x, 0.0, width, below)
        x += width
    return row, (x, high)


def turn_upright(unit: BuiltUnit, word: UnitWord, key: str) -> tuple[BuiltUnit, RigidMove, Size]:
    """Return a unit turned as its word says, the move that brings its lower left corner to (0, 0), and its size then.

    Raises
    ------
    PatchworkError
        Where it is not an upright rectangle then.
    """
    move = make_turn(word.angle, mirrored=word.mirrored)
    outline = move.lay(unit.outline)
    if not is_upright(outline):
        turned = f" turned by {word.angle:g}°" if word.angle else ""
        raise refuse_keys(
            f"`{key}` holds `{unit.name}`{turned}, which is not a rectangle with level edges",
            "rectangles side by side",
            "turn it by 0, 90, 180 or 270, or put it together with `join`",
        )
    left, bottom, right, top = measure_box(outline)
    return unit, move.then(RigidMove(shift=complex(-left, -bottom))), (right - left, top - bottom)


class Spacers:
    """Plain strips that bring a unit or a row to a wanted size."""

    def __init__(self, slot: str | None, unit: str, allowance: float) -> None:
        self.slot, self.unit, self.allowance = slot, unit, allowance

    def split(self, have: float, want: float, what: str) -> tuple[float, float]:
        """Return the widths of the strips before and after: halves, or one where halves could not be sewn.

        Raises
        ------
        PatchworkError
            Where no spacer is asked for, or what is missing is too narrow to be sewn.
        """
        rest, least = want - have, 2 * self.allowance
        said = what.format(*write_both(have, want))
        if self.slot is None:
            raise refuse_keys(
                said,
                "one size",
                f'change one of them, or let spacers fill the rest: spacer_slot = "sash" below [unit.{self.unit}]',
            )
        if rest < least - TOLERANCE:
            raise refuse_keys(
                f"{said}: a spacer of {write_length(rest)} is left",
                f"at least two allowances ({write_length(least)}), or it cannot be sewn",
                "bring them to one size, or further apart",
            )
        return (rest / 2, rest / 2) if rest / 2 >= least - TOLERANCE else (0.0, rest)

    def fill(self, x: float, y: float, width: float, height: float) -> Iterator[tuple[BuiltUnit, RigidMove]]:
        """Yield a strip in its place, none where it would have no width."""
        if min(width, height) > TOLERANCE:
            outline = make_rectangle(0, 0, width, height)
            grain = 90.0 if height > width else 0.0
            shape = BlockPatch("", outline, self.slot or "spacer", "spacer", grain)
            unit = BuiltUnit("spacer", (shape,), outline, name_edges(outline), is_patch=True)
            yield unit, RigidMove(shift=complex(x, y))
