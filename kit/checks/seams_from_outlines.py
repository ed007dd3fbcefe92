"""What has been sewn of each side of a top, read off the design, the cut list and the written steps alone."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from kit.errors import CheckError
from kit.geometry.outlines import TOLERANCE, Outline
from kit.model.cutting import CutList
from kit.model.patchwork import Patch, Patchwork
from kit.model.sewing import Edge, SewingPlan, SewnUnit, Step

CLOSE = 20 * TOLERANCE
"""Inches: the tolerance between lengths of one seam measured in two places."""
STRAIGHT = 1e-3
"""The greatest difference of two unit directions on one line."""

Move: TypeAlias = tuple[complex, complex]


def read_stitching(patchwork: Patchwork, cuts: CutList, plan: SewingPlan) -> "Sewn":
    """Return the sewn stretches of each side of the mesh.

    Parameters
    ----------
    patchwork
        The design.
    cuts
        Its cut list, for which edge of a patch is the first of its piece; `check_cut_list` proves those turns.
    plan
        The plan.

    Raises
    ------
    CheckError
        A patch without a piece, or a step whose edges do not meet along one line.
    """
    seams = Sewn(patchwork, cuts)
    units = {unit.name: unit for unit in plan.units}
    moves = {
        unit.name: [match_copies(patchwork.by_id, unit, copy, find_whole(patchwork, unit)) for copy in unit.copies]
        for unit in plan.units
    }
    for step in plan.steps:
        if step.kind != "trim":
            seams.sew(step, units[step.unit], moves[step.unit])
    return seams


def find_whole(patchwork: Patchwork, unit: SewnUnit) -> list[bool]:
    """Return for each patch of a unit whether it is trimmed only later, with more than the unit.

    Copies of such patches are alike as they are sewn; each may be trimmed in its own way.
    """
    members = {
        trim.group: sum(patch.group[: len(trim.group)] == trim.group for patch in patchwork.patches)
        for trim in patchwork.trims
    }
    found = []
    for name in unit.copies[0]:
        group = patchwork.by_id[name].group if name in patchwork.by_id else ()
        inner = next((group[:n] for n in range(len(group), -1, -1) if group[:n] in members), None)
        found.append(inner is not None and members[inner] > len(unit.copies[0]))
    return found


def match_copies(patches: Mapping[str, Patch], unit: SewnUnit, copy: Sequence[str], whole: Sequence[bool]) -> Move:
    """Return the move (turn, shift) that best takes the middles of a unit's first copy to another's."""
    first = unit.copies[0]
    if first == copy:
        return 1 + 0j, 0j
    a = np.array([_find_middle(find_shape(patches[p], whole=w)) for p, w in zip(first, whole, strict=True)])
    b = np.array([_find_middle(find_shape(patches[q], whole=w)) for q, w in zip(copy, whole, strict=True)])
    turn = complex(np.sum(np.conj(a - a.mean()) * (b - b.mean())))
    turn = turn / abs(turn) if abs(turn) > TOLERANCE else 1 + 0j
    return turn, complex(b.mean() - turn * a.mean())


def find_shape(patch: Patch, *, whole: bool) -> Outline:
    """Return the outline by which copies are compared: as sewn where it is trimmed later."""
    return (patch.sewn or patch.outline) if whole else patch.outline


def _find_middle(outline: Outline) -> complex:
    return sum((complex(x, y) for x, y in outline), 0j) / len(outline)


@dataclass(frozen=True, slots=True)
class Stretch:
    """The stretch of one side sewn by one step in one copy: start and end along it, inches, and its direction."""

    low: float
    high: float
    step: int
    copy: int
    along: complex


class Sewn:
    """The sewn stretches of each side of the mesh, and the beginning and direction of each seam in each copy."""

    def __init__(self, patchwork: Patchwork, cuts: CutList) -> None:
        mesh = patchwork.mesh
        self.patchwork = patchwork
        self.nodes = [complex(x, y) for x, y in mesh.nodes.tolist()]
        self.start, self.end = mesh.start.tolist(), mesh.end.tolist()
        self.twin, self.face = mesh.twin.tolist(), mesh.face.tolist()
        self.ids = [patch.id for patch in patchwork.patches]
        self.trimmed = [trim.group for trim in patchwork.trims]
        self.between: dict[tuple[str, str], list[int]] = defaultdict(list)
        for side, twin in enumerate(self.twin):
            if twin >= 0:
                self.between[self.ids[self.face[side]], self.ids[self.face[twin]]].append(side)
        self.stretches: dict[int, list[Stretch]] = defaultdict(list)
        self.kinds: dict[int, str] = {}
        self.lines: dict[tuple[int, int], Move] = {}
        self.turn = {
            patch: turn for piece in cuts.pieces for patch, turn in zip(piece.patches, piece.turns, strict=True)
        }
        lost = next((patch for patch in self.ids if patch not in self.turn), None)
        if lost is not None:
            raise CheckError(f"Patch `{lost}` has no piece in the cut list")

    def sew(self, step: Step, unit: SewnUnit, moves: Sequence[Move]) -> None:
        """Note the stretches sewn by a step, in every copy."""
        self.kinds[step.number] = step.kind
        ours = list(dict.fromkeys(edge.patch for edge in step.along_first))
        theirs = list(dict.fromkeys(edge.patch for edge in step.along_second))
        if not set(ours) <= set(step.first) or not set(theirs) <= set(step.second or step.first):
            raise CheckError(f"Step {step.number} names edges of patches that are not in its parts")
        sides = [side for p in ours for q in theirs for side in self.between.get((p, q), ())]
        line = self._find_line(step, sides)
        spots = [dict(zip(unit.copies[0], copy, strict=True)) for copy in unit.copies]
        for number, (spot, (turn, shift)) in enumerate(zip(spots, moves, strict=True)):
            origin, along = turn * line[0] + shift, turn * line[1]
            self.lines[step.number, number] = origin, along
            hit = False
            for p in ours:
                for q in theirs:
                    for side in self.between.get((spot[p], spot[q]), ()):
                        hit |= self._mark(side, origin, along, step, number)
            if not hit:
                raise CheckError(f"Step {step.number} sews nothing between `{spot[ours[0]]}` and `{spot[theirs[0]]}`")

    def _find_line(self, step: Step, sides: Sequence[int]) -> Move:
        """Check that both runs lie along one line, and return the beginning of the first run, and its direction."""
        begin = self._shape(step, step.along_first[0])
        second = self._shape(step, step.along_second[0])
        for side in sides:
            a = self.nodes[self.start[side]]
            along = self.nodes[self.end[side]] - a
            along /= abs(along)
            origin = next((p for p, q in begin if _lies(p, q, a, along)), None)
            other = next((q for p, q in second if _lies(q, p, a, along)), None)
            if origin is None or other is None:
                continue
            offset = ((other - origin) * along.conjugate()).real
            if abs(offset - step.offset) <= CLOSE:
                return origin, along
        raise CheckError(
            f"Step {step.number}: the runs that begin at `{step.along_first[0].patch}` and"
            f" `{step.along_second[0].patch}` do not lie along one line, the second {step.offset:.4f} in after"
            " the first"
        )

    def _shape(self, step: Step, edge: Edge) -> list[tuple[complex, complex]]:
        """Return the possible edges for an edge of a piece, with the patch at that step: untrimmed before its trim.

        A piece that looks the same when turned may lie in several ways.
        """
        found = self.patchwork.by_id[edge.patch]
        along = [self.patchwork.by_id[e.patch].group for e in (*step.along_first, *step.along_second)]
        mine = [trim for trim in self.trimmed if found.group[: len(trim)] == trim]
        trim = max(mine, key=len, default=None)
        rough = trim is not None and all(group[: len(trim)] == trim for group in along)
        whole = [complex(x, y) for x, y in found.sewn or found.outline]
        corners = whole if rough else [complex(x, y) for x, y in found.outline]
        edges = list(zip(corners, corners[1:] + corners[:1], strict=True))
        if not 0 <= edge.edge < len(whole):
            return edges
        turn = self.turn[edge.patch]
        middle = sum(whole) / len(whole)
        alike = [k for k in range(len(whole)) if _looks_alike(whole, middle, k)]
        firsts = [(edge.edge + turn + k) % len(whole) for k in alike]
        if corners is whole or found.sewn is None:
            return [edges[k] for k in firsts]
        lines = [(whole[k], whole[(k + 1) % len(whole)] - whole[k]) for k in firsts]
        return [(p, q) for p, q in edges if any(_lies(p, q, start, run / abs(run)) for start, run in lines)]

    def _mark(self, side: int, origin: complex, along: complex, step: Step, copy: int) -> bool:
        a, b = ((self.nodes[n] - origin) * along.conjugate() for n in (self.start[side], self.end[side]))
        if max(abs(a.imag), abs(b.imag)) > CLOSE or b.real < a.real:
            return False
        low, high = max(a.real, step.sewn[0]), min(b.real, step.sewn[1])
        if high - low <= CLOSE:
            return False
        twin = self.twin[side]
        if side < twin:
            self.stretches[side].append(Stretch(low - a.real, high - a.real, step.number, copy, along))
        else:
            self.stretches[twin].append(Stretch(b.real - high, b.real - low, step.number, copy, along))
        return True

    def find_place(self, stretch: Stretch, node: int, run: complex) -> float:
        """Return the place beside a junction on a seam that leaves it one way, inches from its beginning."""
        origin, along = self.lines[stretch.step, stretch.copy]
        return float(((self.nodes[node] + 2 * CLOSE * run - origin) * along.conjugate()).real)

    def check_lengths(self) -> None:
        """Refuse sides that are sewn twice or not all along."""
        for side, twin in enumerate(self.twin):
            if twin < side:
                continue
            length = abs(self.nodes[self.end[side]] - self.nodes[self.start[side]])
            done = sorted(self.stretches.get(side, ()), key=lambda stretch: stretch.low)
            names = f"`{self.ids[self.face[side]]}` and `{self.ids[self.face[twin]]}`"
            reach = 0.0
            for stretch in done:
                if abs(stretch.low - reach) > CLOSE:
                    what = "sewn twice" if stretch.low < reach else "not sewn"
                    raise CheckError(
                        f"Step {stretch.step}: {abs(stretch.low - reach):.4f} in between {names} are {what}"
                    )
                reach = stretch.high
            if abs(reach - length) > CLOSE:
                last = f"after step {max(s.step for s in done)} " if done else ""
                raise CheckError(f"Of {length:.4f} in between {names} only {reach:.4f} in are sewn {last}".rstrip())

    def list_junctions(self) -> dict[int, list[tuple[complex, Stretch]]]:
        """Return for each inner junction the direction of each seam there, and its sewn stretch at that end.

        The two ends of a side too short to measure are one junction.
        """
        rays: dict[int, list[tuple[complex, Stretch]]] = defaultdict(list)
        outside = set()
        junction = self._join_short_sides()
        for side, twin in enumerate(self.twin):
            a, b = self.start[side], self.end[side]
            if twin < 0:
                outside |= {junction[a], junction[b]}
            elif side < twin and self.stretches[side]:
                done = sorted(self.stretches[side], key=lambda stretch: stretch.low)
                run = (self.nodes[b] - self.nodes[a]) / abs(self.nodes[b] - self.nodes[a])
                rays[junction[a]].append((run, done[0]))
                rays[junction[b]].append((-run, done[-1]))
        return {node: found for node, found in rays.items() if node not in outside}

    def _join_short_sides(self) -> list[int]:
        """Return for each node its representative: nodes joined by short sides share one."""
        stands = list(range(len(self.nodes)))
        for a, b in zip(self.start, self.end, strict=True):
            if abs(self.nodes[b] - self.nodes[a]) <= CLOSE and stands[a] != stands[b]:
                old, new = max(stands[a], stands[b]), min(stands[a], stands[b])
                stands = [new if node == old else node for node in stands]
        return stands

    def check_junctions(self) -> None:
        """Refuse seams that are called straight but are not, at the junction where they are sewn last."""
        for node, found in self.list_junctions().items():
            self._check_junction(node, [(run, stretch.step) for run, stretch in found])

    def _check_junction(self, node: int, rays: Sequence[tuple[complex, int]]) -> None:
        last = max(step for _, step in rays)
        ends = [run for run, step in rays if step == last]
        straight = len(ends) == 2 and abs(ends[0] + ends[1]) < STRAIGHT
        onward = len(ends) == 1 and any(abs(run + ends[0]) < STRAIGHT for run, _ in rays)
        kind = self.kinds[last]
        if straight or (onward and kind in ("close", "set in")) or (len(ends) == 1 and kind == "set in"):
            return
        x, y = self.nodes[node].real, self.nodes[node].imag
        raise CheckError(
            f"Step {last} is called a {kind}, but at ({x:.3f}, {y:.3f}) it is sewn last and does not run"
            " straight through"
        )


def _looks_alike(corners: Sequence[complex], middle: complex, by: int) -> bool:
    """Return True if a shape looks the same after a turn by this many corners."""
    n = len(corners)
    if not by:
        return True
    turn = (corners[by] - middle) / (corners[0] - middle)
    return all(abs((corners[(i + by) % n] - middle) - turn * (c - middle)) < CLOSE for i, c in enumerate(corners))


def _lies(p: complex, q: complex, origin: complex, along: complex) -> bool:
    """Return True if the edge from p to q lies on a line and runs along it."""
    a, b = (p - origin) * along.conjugate(), (q - origin) * along.conjugate()
    return max(abs(a.imag), abs(b.imag)) <= CLOSE and b.real > a.real
