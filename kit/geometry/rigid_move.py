"""Rigid moves of the plane: an outline is mirrored or not, turned by any angle, and moved."""

from cmath import phase
from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, degrees, pi, radians, sin

from kit.geometry.outlines import TOLERANCE, Outline, Point

CLOSE = 1e-12
"""How far the parts of a turn may lie from those of a quarter turn to be taken for one."""
QUARTERS = {0.0: 1 + 0j, 90.0: 1j, 180.0: -1 + 0j, 270.0: -1j}


@dataclass(frozen=True, slots=True)
class RigidMove:
    """What becomes of a point z: turn · z + shift, or turn · (mirror image of z in the upright axis) + shift.

    Attributes
    ----------
    turn
        Of length 1: the cosine and the sine of the angle.
    shift
        Inches to the right and up, as x + iy.
    mirrored
        Whether the plane is mirrored before it is turned.
    """

    turn: complex = 1 + 0j
    shift: complex = 0j
    mirrored: bool = False

    @property
    def degrees(self) -> float:
        """Angle of the turn, counter-clockwise, 0 to 360."""
        return round(degrees(phase(self.turn)), 9) % 360

    def place(self, point: Point) -> Point:
        """Return where a point comes."""
        x, y = point
        z = self.turn * complex(-x if self.mirrored else x, y) + self.shift
        return z.real, z.imag

    def lay(self, outline: Sequence[Point]) -> Outline:
        """Return where an outline comes, counter-clockwise again.

        Examples
        --------
        >>> RigidMove(mirrored=True).lay([(0, 0), (2, 0), (2, 1)])
        ((-2.0, 1.0), (-2.0, 0.0), (0.0, 0.0))
        """
        c, s = self.turn.real, self.turn.imag
        dx, dy = self.shift.real, self.shift.imag
        if self.mirrored:
            return tuple((dx - c * x - s * y, dy - s * x + c * y) for x, y in reversed(outline))
        return tuple((dx + c * x - s * y, dy + s * x + c * y) for x, y in outline)

    def lay_edge(self, edge: tuple[Point, Point]) -> tuple[Point, Point]:
        """Return where a directed edge of an outline comes; mirrored, it runs the other way to have the same side."""
        start, end = self.place(edge[0]), self.place(edge[1])
        return (end, start) if self.mirrored else (start, end)

    def turn_grain(self, grain: float) -> float:
        """Return the direction that a direction in degrees becomes."""
        return round((-grain if self.mirrored else grain) + self.degrees, 9) % 360

    def then(self, second: "RigidMove") -> "RigidMove":
        """Return the move that this one and a second after it make."""
        turn, shift = self.turn, self.shift
        if second.mirrored:
            turn, shift = turn.conjugate(), -shift.conjugate()
        return RigidMove(
            tidy_turn(second.turn * turn), second.turn * shift + second.shift, self.mirrored != second.mirrored
        )


def tidy_turn(turn: complex) -> complex:
    """Return a turn of length 1, a quarter turn exactly where it is one."""
    for quarter in QUARTERS.values():
        if abs(turn - quarter) < CLOSE:
            return quarter
    return turn / abs(turn)


def make_turn(angle: float, about: Point = (0.0, 0.0), *, mirrored: bool = False) -> RigidMove:
    """Return the move that mirrors, if so told, in the upright line through a point, and then turns about it.

    Parameters
    ----------
    angle
        Degrees counter-clockwise; quarter turns are exact.
    about
        The point that stays.
    mirrored
        Whether to mirror first.
    """
    turn = QUARTERS.get(angle % 360, complex(cos(radians(angle)), sin(radians(angle))))
    middle = complex(*about)
    image = complex(-about[0], about[1]) if mirrored else middle
    return RigidMove(turn, middle - turn * image, mirrored)


def mirror_in_line(start: Point, end: Point) -> RigidMove:
    """Return the move that mirrors in the line through two points."""
    p, run = complex(*start), complex(*end) - complex(*start)
    double = tidy_turn((run / abs(run)) ** 2)
    return RigidMove(-double, p - double * p.conjugate(), mirrored=True)


def lay_against(edge: tuple[Point, Point], other: tuple[Point, Point], along: float, *, mirrored: bool) -> RigidMove:
    """Return the move that lays an edge against another, running the other way.

    Parameters
    ----------
    edge
        Of what is moved, as it lies before; its outline lies to the left.
    other
        Of what stays.
    along
        Inches from the start of `other` to where the end of `edge` comes.
    mirrored
        Whether what is moved is mirrored.

    Examples
    --------
    >>> move = lay_against(((0, 0), (2, 0)), ((0, 0), (3, 0)), 1, mirrored=False)
    >>> move.lay([(0, 0), (2, 0), (2, 2)])
    ((3.0, 0.0), (1.0, 0.0), (1.0, -2.0))
    """
    flip = RigidMove(mirrored=mirrored)
    a, b = (complex(*point) for point in flip.lay_edge(edge))
    p, q = (complex(*point) for point in other)
    forth, back = (q - p) / abs(q - p), (b - a) / abs(b - a)
    turn = tidy_turn(-forth / back)
    return RigidMove(turn, p + along * forth - turn * b, mirrored)


def match_outlines(one: Sequence[Point], two: Sequence[Point], tolerance: float = TOLERANCE) -> bool:
    """Return True if two outlines have the same corners in the same order, wherever they begin."""
    n = len(one)
    if n != len(two):
        return False
    return any(
        all(abs(complex(*one[i]) - complex(*two[(i + k) % n])) <= 4 * tolerance for i in range(n)) for k in range(n)
    )


def find_direction(start: Point, end: Point) -> float:
    """Return the direction from one point to another in degrees, 0 to 360."""
    return phase(complex(*end) - complex(*start)) * 180 / pi % 360
