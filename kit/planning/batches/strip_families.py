"""Families of rows: strips in one order that give many rows, as they lie or as a loop opened at another seam."""

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

from kit.planning.batches.rows_of_strips import StripRow

SetStrip: TypeAlias = tuple[str, float]
"""The fabric of a strip and its finished width, inches."""
SetStrips: TypeAlias = tuple[SetStrip, ...]

MOST_KEYS = 24
"""The number of different rows of the same fabrics that are tried as strip sets, the most frequent first."""
SHARE = 0.5
"""A row takes at least this share of the strips of a loop."""
SLIP = 1e-5


@dataclass(frozen=True, slots=True)
class RowMatch:
    """How a row comes out of a strip set: the numbers of `SetSegment`, and whether it is read from its other end."""

    start: int
    strips: int
    foot: float
    head: float
    added: bool
    back: bool


@dataclass(frozen=True)
class StripFamily:
    """SetStrips sewn side by side, as a loop or not, and the rows that come out of them."""

    strips: SetStrips
    loop: bool
    rows: tuple[tuple[StripRow, RowMatch], ...]

    @property
    def plain(self) -> bool:
        """Whether every row is a whole segment of one width."""
        return not self.loop and len({row.height for row, _ in self.rows}) == 1


def list_families(rows: Sequence[StripRow]) -> Iterator[StripFamily]:
    """Yield the families that rows of one choice of fabrics allow, each with every row that it gives.

    A candidate is a row as it lies, the same as a loop, and the loop of the period with which its strips repeat.
    """
    for fabrics in dict.fromkeys(frozenset(row.fabrics) for row in rows):
        mine = [row for row in rows if frozenset(row.fabrics) <= fabrics]
        keys = Counter(tuple(zip(row.fabrics, row.widths, strict=True)) for row in mine)
        seen: set[tuple[SetStrips, bool]] = set()
        for key, _ in keys.most_common(MOST_KEYS):
            if {fabric for fabric, _ in key} != fabrics:
                continue
            for strips, loop in _list_sets(key):
                name = (_settle(strips) if loop else min(strips, strips[::-1]), loop)
                if name in seen:
                    continue
                seen.add(name)
                matches = {other: match_row(other, strips, loop=loop) for other in keys}
                found = [(row, match) for row in mine
                         if (match := matches[tuple(zip(row.fabrics, row.widths, strict=True))])]  # fmt: skip
                if len(found) > 1:
                    yield _turn_to_first(StripFamily(strips, loop, tuple(found)))


def _turn_to_first(family: StripFamily) -> StripFamily:
    """Return a loop that begins, foot up, as the row with the first patch lies."""
    if not family.loop:
        return family
    m = len(family.strips)
    _, first = min(family.rows, key=lambda found: min(found[0].patches))
    strips = family.strips[first.start :] + family.strips[: first.start]
    rows = tuple((row, replace(match, start=(match.start - first.start) % m)) for row, match in family.rows)
    if first.back:
        strips = strips[: first.strips][::-1] + strips[first.strips :][::-1]
        rows = tuple((row, _turn_over(match, first.strips, m)) for row, match in rows)
    return StripFamily(strips, family.loop, rows)


def _turn_over(match: RowMatch, reach: int, m: int) -> RowMatch:
    """Return a match in the loop turned end for end."""
    last = match.start + match.strips + match.added - 1
    start = (reach - 1 - last) % m
    return RowMatch(start, match.strips, match.head, match.foot, added=match.added, back=not match.back)


def _list_sets(key: SetStrips) -> Iterator[tuple[SetStrips, bool]]:
    yield key, False
    if len(key) < 3:
        return
    yield key, True
    for run, longest in ((key, len(key)), (key[1:-1], len(key) - 1)):
        period = _find_period(run)
        if period is not None:
            for most in (longest, len(key)):
                yield run[:period] * -(-most // period), True


def _find_period(run: SetStrips) -> int | None:
    """Return the shortest period of at least two strips that is seen to repeat, or None."""
    for period in range(2, len(run)):
        if all(_is_like(run[i], run[i + period]) for i in range(len(run) - period)):
            return period
    return None


def _settle(strips: SetStrips) -> SetStrips:
    """Return a loop from its least beginning, in the direction that is less."""
    return min(way[i:] + way[:i] for way in (strips, strips[::-1]) for i in range(len(strips)))


def _is_like(one: SetStrip, other: SetStrip) -> bool:
    return one[0] == other[0] and abs(one[1] - other[1]) < SLIP


def match_row(row: SetStrips, strips: SetStrips, *, loop: bool) -> RowMatch | None:
    """Return how a row comes out of a strip set, with as little cutting down as possible; None if it does not."""
    found = [match for match in _list_matches(row, strips, loop=loop) if match]
    return min(found, key=lambda match: (match.added, bool(match.foot) + bool(match.head), match.back), default=None)


def _list_matches(row: SetStrips, strips: SetStrips, *, loop: bool) -> Iterable[RowMatch]:
    m, k = len(strips), len(row)
    for back in (False, True):
        way = row[::-1] if back else row
        if not loop:
            if k == m and all(_is_like(a, b) for a, b in zip(way, strips, strict=True)):
                yield RowMatch(0, k, 0.0, 0.0, added=False, back=back)
            continue
        if not max(2, SHARE * m) <= k <= m + 1:
            continue
        for start in range(m):
            inner = all(_is_like(way[i], strips[(start + i) % m]) for i in range(1, k - 1))
            ends = (way[0], strips[start]), (way[-1], strips[(start + k - 1) % m])
            if inner and all(a[0] == b[0] and a[1] < b[1] + SLIP for a, b in ends):
                foot, head = (0.0 if _is_like(a, b) else a[1] for a, b in ends)
                yield RowMatch(start, min(k, m), foot, head, added=k > m, back=back)
