"""Classes of outlines of the same shape: turned copies together, mirror images apart."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from kit.geometry.outlines import TOLERANCE, Outline, measure_angles, measure_edges

Hand: TypeAlias = Literal["left", "right"]

ANGLE_TOLERANCE = 0.005
"""Degrees: the turn of a half-inch edge by the tolerance, with room for both its ends."""


@dataclass(frozen=True)
class Likeness:
    """The class of one outline.

    Attributes
    ----------
    shape
        Number of its class; outlines of one class can be turned onto one another.
    first
        The corner from which its edges follow the order of the class; the first edge is a longest one.
    hand
        "left" or "right" for shapes that differ from their mirror image, None otherwise. Laid with a longest
        edge at the bottom, right side up, a left-handed outline has its sharper end at the left.
    period
        The number of edges after which the reading of the class repeats: 1 for a regular outline, all edges for most.
    """

    shape: int
    first: int
    hand: Hand | None
    period: int


def compare_outlines(outlines: Sequence[Outline]) -> list[Likeness]:
    """Sort outlines into classes of equal shape.

    Outlines that are mere translations of one another are found by their rounded corners, so that each group
    needs only one careful comparison.

    Notes
    -----
    O(n) for outlines that repeat; about 40 us for each distinct one.

    Examples
    --------
    >>> a = ((0, 0), (3, 0), (2, 1), (0, 1))
    >>> b = ((0, 0), (3, 0), (3, 1), (1, 1))
    >>> [(like.shape, like.hand) for like in compare_outlines([a, b, a])]
    [(0, 'right'), (1, 'left'), (0, 'right')]
    """
    keys: dict[tuple[int, ...], int] = {}
    pick = []
    samples: list[Outline] = []
    for outline in outlines:
        x0, y0 = outline[0]
        key = tuple([round((x - x0) * 1e6) for x, _ in outline] + [round((y - y0) * 1e6) for _, y in outline])
        place = keys.setdefault(key, len(samples))
        if place == len(samples):
            samples.append(outline)
        pick.append(place)
    likes = _compare_samples(samples)
    return [likes[i] for i in pick]


def _compare_samples(samples: Sequence[Outline]) -> list[Likeness]:
    lengths = [measure_edges(outline) for outline in samples]
    angles = [measure_angles(outline) for outline in samples]
    length_name = _name_values([v for row in lengths for v in row], 4 * TOLERANCE)
    angle_name = _name_values([v for row in angles for v in row], ANGLE_TOLERANCE)
    classes: dict[tuple[tuple[int, int], ...], int] = {}
    likes = []
    for row, turn in zip(lengths, angles, strict=True):
        sides = [length_name[v] for v in row]
        corners = [angle_name[v] for v in turn]
        (word, first), (mirror, _) = _first_word(sides, corners), _first_word(*_mirror(sides, corners))
        shape = classes.setdefault(word, len(classes))
        hand: Hand | None = None if word == mirror else ("left" if word < mirror else "right")
        period = next(p for p in range(1, len(word) + 1) if word[p:] + word[:p] == word)
        likes.append(Likeness(shape, first, hand, period))
    return likes


def _name_values(values: Sequence[float], tolerance: float) -> dict[float, int]:
    """Give the values numbers in rising order; neighbours within the tolerance share a number."""
    names: dict[float, int] = {}
    number, last = -1, float("-inf")
    for value in sorted(values):
        number += value - last > tolerance
        names[value] = number
        last = value
    return names


def _first_word(sides: Sequence[int], corners: Sequence[int]) -> tuple[tuple[tuple[int, int], ...], int]:
    """Return the least reading of (corner, side) around the outline that begins at a longest side."""
    n = len(sides)
    longest = max(sides)
    readings = [
        (tuple((corners[(i + k) % n], sides[(i + k) % n]) for k in range(n)), i)
        for i in range(n)
        if sides[i] == longest
    ]
    return min(readings)


def _mirror(sides: Sequence[int], corners: Sequence[int]) -> tuple[list[int], list[int]]:
    """Return the sides and corners of the mirror image."""
    back = list(reversed(corners))
    return list(reversed(sides)), back[-1:] + back[:-1]
