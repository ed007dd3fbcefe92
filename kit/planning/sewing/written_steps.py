"""Written steps: the seams of a unit put together as a maker is told them.

A seam that turns at a set-in corner is one with its legs. Seams that go on in the same way are one list: a row that
grows at its end, a pattern that repeats (left, right, left, right), or parts that go round what is there.
"""

from collections.abc import Mapping, Sequence
from itertools import groupby, pairwise
from math import atan2, degrees
from typing import TypeAlias

from kit.geometry.outlines import TOLERANCE, Outline, Point, measure_box
from kit.model.sewing import Step

Stitched: TypeAlias = tuple[Step, ...]
"""One seam: its step and the legs that follow."""

ROW, LONG_ROW = 2, 4
"""The least number of seams in a row; a long row is told by itself even among parts that go round."""
AROUND, SHOWN = 5, 2
"""The least number of seams that go round, after those shown one by one."""
MOST = 14
"""The most parts in one list that go round: more cannot be numbered in one picture."""
PERIODS = (2, 3, 4)
"""How many seams may make one repeat of a list that repeats."""
REPEATS = 2
"""The least number of whole repeats."""
TURN = 30.0
"""The greatest bend of a row, degrees."""


def group_steps(steps: Sequence[Step], shapes: Mapping[str, Outline]) -> tuple[tuple[int, ...], ...]:
    """Return the numbers of the steps in order, those of one written step together.

    Each seam of a list but the first adds a part to everything made so far, so a picture with a number on every part
    says everything. Partial seams, their closings and trims stand alone, and a list never holds more than one unit.

    Parameters
    ----------
    steps
        The steps of a plan, or of one unit.
    shapes
        Patch id -> finished outline.

    Notes
    -----
    O(n) beside measuring the parts.
    """
    written: list[tuple[int, ...]] = []
    for _, found in groupby(steps, key=lambda step: step.unit):
        seams = _gather_legs(list(found))
        lists = _List(seams, shapes).share_out()
        written += [tuple(step.number for seam in found for step in seam) for found in lists]
    return tuple(written)


def _gather_legs(steps: Sequence[Step]) -> list[Stitched]:
    """Return the seams; a leg of a set-in seam goes with the seam before it."""
    seams: list[list[Step]] = []
    for step in steps:
        if step.kind == "set in" and not step.second and seams and _is_plain(seams[-1][0]):
            seams[-1].append(step)
        else:
            seams.append([step])
    return [tuple(seam) for seam in seams]


def _is_plain(step: Step) -> bool:
    return step.kind in ("join", "set in")


class _List:
    """Puts the seams of one unit into lists."""

    def __init__(self, seams: Sequence[Stitched], shapes: Mapping[str, Outline]) -> None:
        self.seams, self.shapes = seams, shapes
        self._goes_on = [False, *(self._follows(a[0], b[0]) for a, b in pairwise(seams))]
        self._middles = [_find_middle([shapes[p] for p in seam[0].second]) for seam in seams]

    def share_out(self) -> list[Sequence[Stitched]]:
        """Return the seams list by list."""
        lists: list[Sequence[Stitched]] = []
        place = 0
        while place < len(self.seams):
            count = self._count_next(place)
            if count < 0:
                lists += [[seam] for seam in self.seams[place : place + SHOWN]]
                lists += _divide(self.seams[place + SHOWN : place - count])
            else:
                lists.append(self.seams[place : place + count])
            place += abs(count)
        return lists

    def _count_next(self, place: int) -> int:
        """Return the number of seams of the list that begins at a place; negative if they go round."""
        row = self._follow_row(place)
        if row >= LONG_ROW:
            return row
        repeating = max(self._follow_repeat(place, period) for period in PERIODS)
        around = self._follow_around(place)
        if repeating >= max(row, 2) and repeating >= min(around, MOST):
            return repeating
        if around >= AROUND + SHOWN:
            return -around
        return max(row if row >= ROW else 1, repeating)

    @staticmethod
    def _follows(before: Step, step: Step) -> bool:
        """Return True if a seam adds to everything made by the one before."""
        plain = _is_plain(before) and _is_plain(step) and step.ragged == before.ragged
        return plain and set(step.first) == {*before.first, *before.second}

    def _follow_around(self, place: int) -> int:
        """Return the number of seams from a place on that each add to what is there, up to a long row."""
        count = 1
        while place + count < len(self.seams) and self._goes_on[place + count]:
            if self._follow_row(place + count) >= LONG_ROW:
                break
            count += 1
        return count

    def _follow_row(self, place: int) -> int:
        """Return the number of seams from a place on that lengthen a row at its end."""
        first = self.seams[place][0]
        if first.kind != "join" or not first.second:
            return 0
        end = first.second
        way = _point(_find_middle([self.shapes[p] for p in first.first]), self._middles[place])
        count = 1
        while place + count < len(self.seams) and self._goes_on[place + count]:
            seam = self.seams[place + count]
            met = {edge.patch for step in seam for edge in step.along_first}
            if count == 1 and met <= set(first.first):
                end, way = first.first, way + 180
            here = _point(_find_middle([self.shapes[p] for p in end]), self._middles[place + count])
            if seam[0].kind != "join" or not met <= set(end) or abs((here - way + 180) % 360 - 180) > TURN:
                break
            end, way, count = seam[0].second, here, count + 1
        return count

    def _follow_repeat(self, place: int, period: int) -> int:
        """Return the number of seams from a place on that repeat, moved by the same distance after each repeat."""
        last = place
        while last + 1 < len(self.seams) and self._goes_on[last + 1]:
            last += 1
        shift: Point | None = None
        count = 0
        for k in range(place + period, last + 1):
            (ax, ay), (bx, by) = self._middles[k - period], self._middles[k]
            shift = shift or (bx - ax, by - ay)
            near = max(abs(bx - ax - shift[0]), abs(by - ay - shift[1])) < 8 * TOLERANCE
            if not near or len(self.seams[k]) != len(self.seams[k - period]):
                break
            count = k + 1 - place
        return count if count >= REPEATS * period else 0


def _divide(seams: Sequence[Stitched]) -> list[Sequence[Stitched]]:
    """Return seams in lists of similar length that can each be numbered in one picture."""
    lists = -(-len(seams) // MOST)
    most = -(-len(seams) // lists) if lists else 1
    return [seams[place : place + most] for place in range(0, len(seams), most)]


def _find_middle(outlines: Sequence[Outline]) -> Point:
    if not outlines:
        return 0.0, 0.0
    left, bottom, right, top = measure_box([point for outline in outlines for point in outline])
    return (left + right) / 2, (bottom + top) / 2


def _point(start: Point, end: Point) -> float:
    return degrees(atan2(end[1] - start[1], end[0] - start[0]))
