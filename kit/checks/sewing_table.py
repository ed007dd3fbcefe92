"""A sewing table: the parts of one unit where they lie in its pictures, sewn along the edges that the words name."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import atan2, cos, degrees, pi, radians, sin

from kit.checks.sewing_grammar import SeamOrder
from kit.errors import CheckError
from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import Outline, measure_area, tidy_outline
from kit.model.sewing import StepKind
from kit.rehearsal.cut_cloth import CannotSewError, CutPiece, along, as_points, move_in, trim_cloth

NEAR = 0.005
"""Inches: what is drawn and what is cut may differ by this; drawings in a study are rounded to less."""
SIDES = ("right", "upper right", "top", "upper left", "left", "lower left", "bottom", "lower right")
ONE = 0.6
"""Degrees: turns are told to whole degrees."""
FINE = 0.02
"""Grid of the lines on which edges are looked for: inches, and hundredths of a radian."""

LaidEdge = tuple[int, int]
"""A patch of the table and the label of its edge."""


@dataclass
class LaidCloth:
    """A piece of cloth on the table: z·p + w brings its own frame to that of the unit's pictures."""

    piece: str
    cloth: CutPiece
    z: complex
    w: complex

    def outline(self) -> list[complex]:
        """Return its finished corners on the table."""
        return [self.z * corner + self.w for corner in self.cloth.corners]


@dataclass
class LaidStep:
    """A step as it was read, by patches of the table; lengths as in `Step`."""

    number: int
    kind: StepKind
    first: list[int]
    second: list[int]
    along_first: list[LaidEdge] = field(default_factory=list)
    along_second: list[LaidEdge] = field(default_factory=list)
    offset: float = 0.0
    sewn: tuple[float, float] = (0.0, 0.0)
    ragged: bool = False
    stops: tuple[float, ...] = ()
    press: str = ""
    trim: tuple[complex, ...] = ()


@dataclass(frozen=True)
class TakenPart:
    """A piece, or a copy of a unit, that a unit takes: its name, where it is laid, and its patches there."""

    name: str
    is_unit: bool
    z: complex
    w: complex
    patches: list[int]


@dataclass
class DoneUnit:
    """A finished unit: its patches, the outside, what it takes, and its steps."""

    name: str
    count: int
    patches: list[LaidCloth]
    loops: list[list[complex]]
    taken: list[TakenPart]
    steps: list[LaidStep]
    parts: tuple[tuple[str, int], ...] = ()


class SewingTable:
    """One unit while it is sewn.

    Parameters
    ----------
    name, count
        Of the unit.
    """

    def __init__(self, name: str, count: int) -> None:
        self.name, self.count = name, count
        self.patches: list[LaidCloth] = []
        self.taken: list[TakenPart] = []
        self.steps: list[LaidStep] = []
        self.ready: list[set[int]] = []
        self._parts: list[list[int]] = []
        self._part_of: list[int] = []
        self._edges: dict[tuple[int, int], set[LaidEdge]] = defaultdict(set)

    # ---- laying ------------------------------------------------------------------------------------------------------

    def lay_piece(self, piece: str, cloth: CutPiece, loop: Sequence[complex], place: str) -> list[int]:
        """Lay one piece where the picture shows it; return the part."""
        for z, w in fit_loop(cloth.corners, loop):
            return self._lay(piece, z, w, [LaidCloth(piece, cloth, z, w)], is_unit=False)
        raise CheckError(f"{place}: piece {piece} does not have the shape that the picture shows")

    def lay_unit(self, unit: DoneUnit, loop: Sequence[complex], turn: float, place: str) -> list[int]:
        """Lay a copy of a unit where the picture shows it, turned as the words say; return the part."""
        ways = list(fit_loop(max(unit.loops, key=_measure), loop))
        if not ways:
            raise CheckError(f"{place}: {unit.name} does not have the shape that the picture shows")
        aim = complex(cos(radians(turn)), sin(radians(turn)))
        z, w = min(ways, key=lambda way: abs(way[0] - aim))
        if abs(z - aim) > radians(ONE):
            shown = degrees(atan2(z.imag, z.real))
            raise CheckError(
                f"{place}: {unit.name} is turned by {shown:.0f}° in the picture, by {turn:.0f}° in the words"
            )
        moved = [LaidCloth(one.piece, one.cloth, z * one.z, z * one.w + w) for one in unit.patches]
        return self._lay(unit.name, z, w, moved, is_unit=True)

    def _lay(self, name: str, z: complex, w: complex, laid: Sequence[LaidCloth], *, is_unit: bool) -> list[int]:
        base, part = len(self.patches), len(self._parts)
        members = list(range(base, base + len(laid)))
        self.patches += laid
        self.taken.append(TakenPart(name, is_unit, z, w, members))
        self._parts.append(members)
        self._part_of += [part] * len(laid)
        for k in members:
            self._note_edges(k)
        return members

    def _note_edges(self, k: int) -> None:
        corners = self.patches[k].outline()
        for label, a, b in zip(self.patches[k].cloth.labels, corners, (*corners[1:], corners[0]), strict=True):
            self._edges[_find_line(a, b)].add((k, label))

    def find_part(self, k: int) -> list[int]:
        """Return the part of a patch."""
        return self._parts[self._part_of[k]]

    def note_ready(self, step: LaidStep) -> None:
        """Note that the patches of a step come sewn together, with those of earlier such steps that they meet."""
        came = {*step.first, *step.second}
        met = [part for part in self.ready if part & came]
        self.ready = [part for part in self.ready if part not in met] + [came.union(*met)]

    def is_whole(self) -> bool:
        """Return True if everything on the table is one part."""
        return len(self._parts[self._part_of[0]]) == len(self.patches)

    def find_edge(self, k: int, label: int) -> tuple[complex, complex]:
        """Return both ends of an edge of a patch as it is cut by now."""
        patch = self.patches[k]
        a, b = patch.cloth.ends[label]
        return patch.z * a + patch.w, patch.z * b + patch.w

    # ---- sewing ------------------------------------------------------------------------------------------------------

    def sew(self, order: SeamOrder, ends: tuple[complex, complex], first: list[int], second: list[int]) -> LaidStep:
        """Sew between two points: find the edges of both parts there and note the step, the first part to the left.

        Raises
        ------
        CheckError
            Edges that do not reach from one point to the other, on one side or the other.
        """
        ours, theirs = set(first), set(second)
        start, stop = ends
        left, right = self._find_edges(start, stop)
        if second and (any(k in theirs for k, *_ in left) or any(k in ours for k, *_ in right)):
            start, stop = stop, start
            left, right = self._find_edges(start, stop)
        if second:
            left = [edge for edge in left if edge[0] in ours]
            right = [edge for edge in right if edge[0] in theirs]
        length = abs(stop - start)
        for edges, what in ((left, "the part that lies there"), (right, "the added part")):
            reach = _cover([(low, high) for _, _, low, high in edges], length)
            if reach < length - NEAR:
                raise CheckError(
                    f"{order.place}: the edge of {what} takes {reach:.4f} of the {length:.4f} in of the seam"
                )
        begin, other = left[0][2], right[0][2]
        found = LaidStep(
            order.number, order.kind, list(first), list(second),
            [edge[:2] for edge in left], [edge[:2] for edge in right],
            other - begin, (-begin, length - begin), order.ragged,
        )  # fmt: skip
        self.steps.append(found)
        if second:
            self._join(first[0], second[0])
        return found

    def _join(self, one: int, other: int) -> None:
        small, big = sorted((self._part_of[one], self._part_of[other]), key=lambda part: len(self._parts[part]))
        for k in self._parts[small]:
            self._part_of[k] = big
        self._parts[big] = self._parts[big] + self._parts[small]

    def _find_edges(self, start: complex, stop: complex) -> tuple[list[tuple[int, int, float, float]], ...]:
        """Return the edges along a line to its left and to its right, with their beginning and end, in order."""
        way = (stop - start) / abs(stop - start)
        left: list[tuple[int, int, float, float]] = []
        right: list[tuple[int, int, float, float]] = []
        for k, label, a, b in self._list_near(start, stop):
            off = max(abs(((p - start) * way.conjugate()).imag) for p in (a, b))
            low, high = along(a, start, way), along(b, start, way)
            if off > NEAR or min(max(low, high), abs(stop - start)) - max(min(low, high), 0.0) < NEAR:
                continue
            (left if high > low else right).append((k, label, min(low, high), max(low, high)))
        return sorted(left, key=lambda edge: edge[2]), sorted(right, key=lambda edge: edge[2])

    def _list_near(self, start: complex, stop: complex) -> Iterator[tuple[int, int, complex, complex]]:
        """Yield the edges that may lie on a line, as they are cut by now."""
        for k, label in sorted(self._list_cells(start, stop)):
            if label in self.patches[k].cloth.ends:
                yield k, label, *self.find_edge(k, label)

    def _list_cells(self, start: complex, stop: complex) -> set[LaidEdge]:
        found: set[LaidEdge] = set()
        turn, off = _find_line(start, stop)
        turns = round(pi / FINE * 100)
        for i in (-1, 0, 1):
            other = (turn + i) % turns
            sign = 1 if 0 <= turn + i < turns else -1
            for j in (-2, -1, 0, 1, 2):
                found |= self._edges.get((other, sign * off + j), set())
        return found

    def trim(self, order: SeamOrder, corners: Sequence[complex], part: list[int], allowance: float) -> LaidStep:
        """Cut a part down to an outline, allowance included, and note the step."""
        if measure_area(tuple((p.real, p.imag) for p in corners)) < 0:
            raise CheckError(f"{order.place}: its corners are not told in their order around")
        lead = self.patches[part[0]]
        try:
            seams = move_in(corners, allowance)
            for k in part:
                patch = self.patches[k]
                kept = trim_cloth(patch.cloth, [(p - patch.w) / patch.z for p in seams])
                if kept is None:
                    raise CheckError(f"{order.place}: the trim cuts off the whole of a piece {patch.piece}")
                if kept is not patch.cloth:
                    patch.cloth = kept
                    self._note_edges(k)
        except CannotSewError as error:
            raise CheckError(f"{order.place}: {error}") from None
        outline = tuple((p - lead.w) / lead.z for p in corners)
        found = LaidStep(order.number, "trim", list(part), [], trim=outline)
        self.steps.append(found)
        return found

    def finish(self) -> DoneUnit:
        """Return the unit, all of it in one part."""
        return DoneUnit(self.name, self.count, self.patches, trace(self.patches), self.taken, self.steps)


def _find_line(a: complex, b: complex) -> tuple[int, int]:
    """Return the cell of the line through two points: its direction, and its distance from the origin to the left."""
    way = (b - a) / abs(b - a)
    turn = atan2(way.imag, way.real) % pi
    cell = round(turn / FINE * 100) % round(pi / FINE * 100)
    angle = cell * FINE / 100
    # the distance is taken across the cell's own direction at the middle of the edge, so that near lines are near cells
    off = (a * complex(cos(angle), -sin(angle))).imag
    return cell, round(off / FINE)


def _cover(spans: Sequence[tuple[float, float]], length: float) -> float:
    """Return how much of a stretch is covered from its beginning on without a gap."""
    reach = 0.0
    for low, high in spans:
        if low > reach + NEAR:
            break
        reach = max(reach, min(high, length))
    return reach


def fit_loop(own: Sequence[complex], seen: Sequence[complex]) -> Iterator[tuple[complex, complex]]:
    """Yield the turns and moves that lay one outline on another, corner on corner."""
    n = len(own)
    if n != len(seen):
        return
    run = own[1] - own[0]
    for k in range(n):
        z = (seen[(k + 1) % n] - seen[k]) / run
        if abs(abs(z) - 1) * abs(run) > NEAR:
            continue
        z /= abs(z)
        w = sum(seen) / n - z * sum(own) / n
        if max(abs(z * p + w - seen[(k + i) % n]) for i, p in enumerate(own)) < NEAR:
            yield z, w


def trace(patches: Sequence[LaidCloth]) -> list[list[complex]]:
    """Return the outsides of some patches, without corners in straight edges."""
    outlines: list[Outline] = [tuple((p.real, p.imag) for p in patch.outline()) for patch in patches]
    loops = outlines if len(outlines) == 1 else build_mesh(outlines).trace_outside()
    return [as_points(tidy_outline(loop)) for loop in loops]


def _measure(loop: Sequence[complex]) -> float:
    return abs(measure_area(tuple((p.real, p.imag) for p in loop)))


def find_side(loop: Sequence[complex], side: str) -> list[tuple[complex, complex]]:
    """Return the edges of an outline that face a side, as the picture is printed."""
    edges = zip(loop, (*loop[1:], loop[0]), strict=True)
    return [(a, b) for a, b in edges if name_facing((b - a) * -1j) == side]


def name_facing(way: complex) -> str:
    """Return the side to which something points in a picture."""
    return SIDES[round(degrees(atan2(way.imag, way.real)) / 45) % 8]
