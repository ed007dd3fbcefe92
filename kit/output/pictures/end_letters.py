"""The letters at the ends of seams."""

from dataclasses import replace
from math import cos, dist, radians, sin

from kit.geometry.outlines import Point
from kit.output.pictures.drawing import BLACK, Dot, Drawing, Note

RIM = 0.85
"""Radius of the white disc under a letter, in heights of the letter."""
DROP = 0.36
"""A letter's foot lies so much of its height below the middle of its disc."""
HIGHER = 1.15
"""Height of the letter of an end, in least heights of a letter."""
POINT = 0.16
"""Radius of the dot at a lettered end, in heights of its letter."""
SAME = 1e-3
"""Inches: a dot so near to an end marks it already."""
AROUND = (0.0, 40.0, -40.0, 80.0, -80.0, 130.0, -130.0, 180.0)
"""Ways to stand from an end, degrees from straight on, the best first."""


def letter_ends(drawing: Drawing, least: float) -> Drawing:
    """Return a drawing with the letters of its seams' ends, each beside a small dot, and with room for them.

    A letter stands beyond the end of its seam; where another stands there already, beside it.

    Parameters
    ----------
    drawing
        With `ends`.
    least
        The least height of letters, inches of the drawing.
    """
    height = HIGHER * least
    left, bottom, right, top = drawing.box
    taken = [note.at for note in drawing.notes]
    marked = [dot.at for dot in drawing.dots if dot.fill != "#ffffff"]
    dots, discs, notes = [], [], []
    spots: list[Point] = []
    for end in drawing.ends:
        choices = [step_off(end.at, end.way + turn, height) for turn in AROUND]
        spot = max(choices, key=lambda at: min([1.7 * height, *(dist(at, other) for other in (*spots, *taken))]))
        spots.append(spot)
        discs.append(Dot(spot, RIM * height, "#ffffff"))
        if all(dist(end.at, at) > SAME for at in marked):
            dots.append(Dot(end.at, POINT * height, BLACK))
        notes.append(Note((spot[0], spot[1] - DROP * height), end.letter, height))
        left, bottom = min(left, spot[0] - height), min(bottom, spot[1] - height)
        right, top = max(right, spot[0] + height), max(top, spot[1] + height)
    return replace(
        drawing, box=(left, bottom, right, top), dots=(*drawing.dots, *dots, *discs), notes=(*drawing.notes, *notes),
        ends=(),
    )  # fmt: skip


def count_crowded(drawing: Drawing, least: float) -> int:
    """Return how many letters of ends would stand on one another, at a least height in inches of the drawing."""
    spots = [note.at for note in letter_ends(drawing, least).notes[len(drawing.notes) :]]
    near = 2 * RIM * HIGHER * least
    return sum(any(dist(at, other) < near for other in spots[:i]) for i, at in enumerate(spots))


def step_off(at: Point, way: float, far: float) -> Point:
    """Return the point some way off another, degrees from the right, counter-clockwise."""
    return at[0] + far * cos(radians(way)), at[1] + far * sin(radians(way))
