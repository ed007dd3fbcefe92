"""The words for a seam: which edge of the added part, or from which letter of the picture to which, and where to stop.

The seams of one card share their letters: each end that the words name has one, a, b, c and so on in the order of the
words. A seam along one whole edge of the added part is named by the side where that edge lies in the picture.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product
from math import atan2, degrees, dist
from typing import Literal, TypeAlias

from kit.geometry.outlines import Outline, Point
from kit.lengths import System, write_nearest
from kit.model.sewing import Step
from kit.output.words.seam_places import NEAR, SeamPlaces, name_side
from kit.output.words.strings import say

Where: TypeAlias = Literal["along", "row"]
"""In a sentence, or in a row of a list."""
LETTERS = "abcdefghjkmnpqrstuvwxyz"
"""Letters of ends: without those that look like figures."""
QUARTER = 90.0
"""A picture that lies on its side is turned by a quarter to the right, degrees."""
OVER = 1 / 64
"""Inches: a part that reaches no farther beyond an end is level with it."""


@dataclass(frozen=True, slots=True)
class LetteredEnd:
    """The end of a seam in the top, its letter, and the way from the seam toward its letter, degrees."""

    letter: str
    at: Point
    way: float


class CardSeams:
    """The seams of one card in words, with the letters of their ends.

    Parameters
    ----------
    places
        Finds the plan's seams.
    steps
        The steps of the card, in order.
    turned
        Whether its picture lies on its side.
    """

    def __init__(self, places: SeamPlaces, steps: Sequence[Step], *, turned: bool = False) -> None:
        self.places, self.turned = places, turned
        self.system: System = places.sketch.study.measures.system
        self.ends: list[LetteredEnd] = []
        self._pairs: dict[int, tuple[str, str]] = {}
        self._names = (first + last for first, last in product(("", *LETTERS), LETTERS))
        self._corners: tuple[str, ...] = ()
        for step in steps:
            if step.kind == "trim":
                outline = places.place_trim(step)
                middle = _find_middle(outline)
                self._corners = tuple(self._letter(corner, middle) for corner in outline)
            elif places.find(step) is not None and places.find_facing(step) is None:
                begin, end = order_ends(places, step)
                self._pairs[step.number] = self._letter(begin, end), self._letter(end, begin)

    def _letter(self, at: Point, away_from: Point) -> str:
        """Return the letter of an end; a new one unless a seam of the card ends there already."""
        known = next((end.letter for end in self.ends if dist(end.at, at) < NEAR), None)
        if known:
            return known
        way = degrees(atan2(at[1] - away_from[1], at[0] - away_from[0]))
        self.ends.append(LetteredEnd(next(self._names), at, way))
        return self.ends[-1].letter

    def is_lettered(self, step: Step) -> bool:
        """Return True if the words name the ends of a step's seam by their letters."""
        return step.number in self._pairs

    def say_along(self, step: Step, where: Where = "along") -> str:
        """Return the edge of the added part, or both ends of the seam; empty if nothing is sewn."""
        if step.number in self._pairs:
            begin, end = self._pairs[step.number]
            over = [
                say("along_over", amount=write_nearest(amount, self.system), end=letter)
                for letter, amount in zip((begin, end), self._measure_over(step), strict=True)
                if amount > OVER
            ]
            return ", ".join([say(f"{where}_ends", begin=begin, end=end), *over])
        facing = self.places.find_facing(step) if step.second else None
        if facing is None:
            return ""
        return say(f"{where}_side", side=_say_side(facing - QUARTER if self.turned else facing))

    def say_stops(self, step: Step) -> str:
        """Return the letters of the ends where the stitching begins or stops on the seam line; empty without."""
        stops = self._list_stops(step)
        return say("stops_and").join(stops)

    def name_ends(self, step: Step) -> tuple[str, str]:
        """Return the letters of the seam of a step, from where to where."""
        return self._pairs[step.number]

    def name_corners(self) -> str:
        """Return the letters of the corners of a trim, one after another."""
        return say("corners_to").join(self._corners)

    def say_way(self, step: Step, where: str = "press", *, back: bool = False) -> str:
        """Return the side in the picture to which the allowances of a seam are pressed that adds no part."""
        seam = self.places.find(step)
        if seam is None:
            return ""
        sign = 1.0 if (step.press == "first") != back else -1.0
        way = degrees(atan2(sign * seam.toward_first[1], sign * seam.toward_first[0]))
        return say(f"{where}_way", side=_say_side(way - QUARTER if self.turned else way))

    def _list_stops(self, step: Step) -> list[str]:
        seam = self.places.find(step)
        if seam is None or step.number not in self._pairs:
            return []
        stops = [*seam.stops, *([seam.inner] if step.kind == "partial" else [])]
        letters = [end.letter for end in self.ends if any(dist(end.at, stop) < NEAR for stop in stops)]
        return [letter for letter in self._pairs[step.number] if letter in letters]

    def _measure_over(self, step: Step) -> tuple[float, float]:
        """Return how far the added part reaches beyond both ends of its seam, inches; zero where it is level."""
        if not step.ragged or not step.second:
            return 0.0, 0.0
        begin, end = order_ends(self.places, step)
        low, high = self.places.measure_reach(step, begin, end)
        return -low, 0.0 if step.kind == "partial" else high - dist(begin, end)


def _say_side(way: float) -> str:
    """Return a side in words, by the way that it faces."""
    return say(f"side_{name_side(way).replace(' ', '_')}")


def order_ends(places: SeamPlaces, step: Step) -> tuple[Point, Point]:
    """Return both ends of the stretch sewn in a step, in the order in which they are told.

    A partial seam goes from its outer end to the place to stop, the legs of a set-in seam from where the leg before
    ended; any other seam has the added part on its right.

    Parameters
    ----------
    places
        Finds the plan's seams.
    step
        A step that sews.
    """
    seam = places.find(step)
    if seam is None:
        raise ValueError(step)
    ends = seam.begin, seam.stop
    if step.kind == "partial":
        return (ends[1], ends[0]) if seam.inner == seam.begin else ends
    before, after = places.find_leg(step, -1), places.find_leg(step, 1)
    for leg, at_end in ((before, False), (after, True)):
        met = [end for end in ends if leg and min(dist(end, leg.begin), dist(end, leg.stop)) < NEAR]
        if len(met) == 1:
            other = ends[1] if met[0] == ends[0] else ends[0]
            return (other, met[0]) if at_end else (met[0], other)
    (ax, ay), (bx, by) = ends
    left = (bx - ax) * seam.toward_first[1] - (by - ay) * seam.toward_first[0]
    return ends if left > 0 else (ends[1], ends[0])


def _find_middle(outline: Outline) -> Point:
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)
