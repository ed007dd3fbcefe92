"""Whether a sewing plan makes its top: accepted or refused without any of the planner's work."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from kit.errors import CheckError
from kit.geometry.outlines import TOLERANCE, Outline
from kit.model.patchwork import Patch, Patchwork
from kit.model.sewing import SewingPlan, Step, Unit

CLOSE = 20 * TOLERANCE
"""Inches by which lengths of one seam may differ when they are measured in two places."""

Move = tuple[complex, complex]


def check_sewing_plan(patchwork: Patchwork, plan: SewingPlan) -> None:
    """Refuse a sewing plan that does not make the top from the patches.

    Units' copies must be turned copies of the first, of the same slots. The steps are done in order with sets of patches:
    each takes whole parts that exist, and all patches end in one. Each side where two patches of the mesh meet
    must be sewn exactly once, over its whole length. At every inner junction the seam sewn last must run straight through,
    finish a partial seam, or be called set in; and the counts must be those of the steps.

    Parameters
    ----------
    patchwork
        The design.
    plan
        The plan.

    Raises
    ------
    CheckError
        Names the step or unit, and both figures.

    Notes
    -----
    Edges' numbers on the cut pieces are left to the rehearsal. O(n log n) beyond the length of the plan.
    """
    known = patchwork.by_id
    for unit in plan.units:
        _check_unit(known, unit)
    _follow_steps(patchwork, plan)
    seams = read_stitching(patchwork, plan)
    seams.check_lengths()
    seams.check_junctions()
    _check_counts(plan)


def read_stitching(patchwork: Patchwork, plan: SewingPlan) -> "Sewn":
    """Return what is sewn of each side of the mesh.

    Raises
    ------
    CheckError
        A step whose edges do not meet along one line.
    """
    seams = Sewn(patchwork)
    units = {unit.name: unit for unit in plan.units}
    moves = {unit.name: [_match(patchwork.by_id, unit.copies[0], copy) for copy in unit.copies] for unit in plan.units}
    for step in plan.steps:
        if step.kind != "trim":
            seams.sew(step, units[step.unit], moves[step.unit])
    return seams


# ---- units ---------------------------------------------------------------------------------------------------------


def _check_unit(patches: Mapping[str, Patch], unit: Unit) -> None:
    """Refuse a unit whose copies are not turned copies of the first."""
    first = unit.copies[0]
    for number, copy in enumerate(unit.copies, start=1):
        missing = next((patch for patch in copy if patch not in patches), None)
        if missing is not None:
            raise CheckError(f"Unit {unit.name}, copy {number} holds patch `{missing}`, which the design does not have")
        if len(copy) != len(first) or len(set(copy)) != len(copy):
            raise CheckError(
                f"Unit {unit.name}, copy {number} has {len(set(copy))} patches, the first has {len(first)}"
            )
        if number == 1:
            continue
        turn, shift = _match(patches, first, copy)
        for p, q in zip(first, copy, strict=True):
            if patches[p].slot != patches[q].slot:
                raise CheckError(
                    f"Unit {unit.name}, copy {number} has patch `{q}` of slot `{patches[q].slot}` where the first has"
                    f" `{patches[p].slot}`"
                )
            off = _measure_misfit(patches[p].outline, patches[q].outline, turn, shift)
            if off > CLOSE:
                raise CheckError(
                    f"Unit {unit.name}, copy {number}: patch `{q}` lies {off:.4f} in from where it lies in the first"
                    " (0 in is wanted); a mirror image is no copy"
                )


def _match(patches: Mapping[str, Patch], first: Sequence[str], copy: Sequence[str]) -> Move:
    """Return the move (turn, shift) that takes the first copy's middles best to another's."""
    if first == copy:
        return 1 + 0j, 0j
    a = np.array([_find_middle(patches[p].outline) for p in first])
    b = np.array([_find_middle(patches[q].outline) for q in copy])
    turn = complex(np.sum(np.conj(a - a.mean()) * (b - b.mean())))
    turn = turn / abs(turn) if abs(turn) > TOLERANCE else 1 + 0j
    return turn, complex(b.mean() - turn * a.mean())


def _find_middle(outline: Outline) -> complex:
    return sum((complex(x, y) for x, y in outline), 0j) / len(outline)


def _measure_misfit(ours: Outline, theirs: Outline, turn: complex, shift: complex) -> float:
    """Return how far the corners of an outline, moved, lie from those of another."""
    goal = [complex(x, y) for x, y in theirs]
    moved = [turn * complex(x, y) + shift for x, y in ours]
    return max(min(abs(p - q) for q in goal) for p in moved) if len(moved) == len(goal) else float("inf")


# ---- parts ---------------------------------------------------------------------------------------------------------


def _follow_steps(patchwork: Patchwork, plan: SewingPlan) -> None:
    """Do the steps with sets of patches."""
    units = {unit.name: unit for unit in plan.units}
    if len(units) != len(plan.units) or plan.units[-1].count != 1:
        raise CheckError(f"The plan has {len(plan.units)} units with {len(units)} names; the last must be made once")
    part = {patch.id: frozenset([patch.id]) for patch in patchwork.patches}
    left: dict[str, int] = defaultdict(int)
    for step in plan.steps:
        left[step.unit] += 1
    groups = {
        frozenset(patch.id for patch in patchwork.patches if patch.group[: len(trim.group)] == trim.group)
        for trim in patchwork.trims
    }
    trimmed: set[frozenset[str]] = set()
    for place, step in enumerate(plan.steps, start=1):
        if step.number != place or step.unit not in units:
            raise CheckError(f"Step {step.number} of unit {step.unit} stands in place {place}")
        unit = units[step.unit]
        done = _do(step, part, set(unit.copies[0]))
        if step.kind == "trim":
            _trim(step, unit, done, groups, trimmed)
        left[step.unit] -= 1
        if not left[step.unit]:
            _make_copies(unit, step, part)
    whole = part[patchwork.patches[0].id]
    if len(whole) != len(patchwork.patches):
        lost = min(set(part) - whole)
        raise CheckError(
            f"At the end {len(whole)} of {len(patchwork.patches)} patches are in one part; patch `{lost}` is not"
        )
    if trimmed != groups:
        raise CheckError(f"{len(trimmed)} of {len(groups)} parts are trimmed")


def _trim(
    step: Step, unit: Unit, done: frozenset[str], groups: set[frozenset[str]], trimmed: set[frozenset[str]]
) -> None:
    """Note which parts a step trims, in every copy."""
    for copy in unit.copies:
        spots = dict(zip(unit.copies[0], copy, strict=True))
        there = frozenset(spots[patch] for patch in done)
        if there not in groups or there in trimmed:
            raise CheckError(f"Step {step.number} trims {len(there)} patches that are no part to be trimmed once")
        trimmed.add(there)


def _do(step: Step, part: dict[str, frozenset[str]], within: set[str]) -> frozenset[str]:
    """Do one step; return the part that comes of it."""
    taken = []
    for patches in (step.first, step.second) if step.second else (step.first,):
        have = part.get(patches[0], frozenset())
        if len(patches) != len(have) or not have.issuperset(patches):
            odd = min(set(patches) ^ have)
            raise CheckError(
                f"Step {step.number} takes {len(patches)} patches from `{patches[0]}` on; the part there has {len(have)}"
                f" (look at `{odd}`)"
            )
        if not within.issuperset(patches):
            raise CheckError(f"Step {step.number} takes a part that is not within unit {step.unit}")
        taken.append(have)
    if len(taken) == 1:
        if step.kind in ("join", "partial"):
            raise CheckError(f"Step {step.number} is a {step.kind} with one part; two are needed")
        return taken[0]
    if taken[0] & taken[1]:
        raise CheckError(f"Step {step.number} joins the part of `{step.first[0]}` to itself")
    whole = taken[0] | taken[1]
    for patch in whole:
        part[patch] = whole
    return whole


def _make_copies(unit: Unit, step: Step, part: dict[str, frozenset[str]]) -> None:
    for number, copy in enumerate(unit.copies, start=1):
        whole = frozenset(copy)
        if number == 1:
            if part[copy[0]] != whole:
                raise CheckError(
                    f"Unit {unit.name} has {len(part[copy[0]])} patches after its last step {step.number}; {len(copy)}"
                    " are wanted"
                )
            continue
        for patch in copy:
            if not part[patch] <= whole:
                raise CheckError(f"Unit {unit.name}, copy {number}: patch `{patch}` is sewn into another part already")
        for patch in copy:
            part[patch] = whole


# ---- sides ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Stretch:
    """What one step sews of one side in one copy: from where to where along it, inches, and its direction."""

    low: float
    high: float
    step: int
    copy: int
    along: complex


class Sewn:
    """What is sewn of each side of the mesh."""

    def __init__(self, patchwork: Patchwork) -> None:
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

    def sew(self, step: Step, unit: Unit, moves: Sequence[Move]) -> None:
        """Note what a step sews, in every copy."""
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
            hit = False
            for p in ours:
                for q in theirs:
                    for side in self.between.get((spot[p], spot[q]), ()):
                        hit |= self._mark(side, origin, along, step, number)
            if not hit:
                raise CheckError(f"Step {step.number} sews nothing between `{spot[ours[0]]}` and `{spot[theirs[0]]}`")

    def _find_line(self, step: Step, sides: Sequence[int]) -> Move:
        """Return where the first run begins, and its direction, once both runs are seen to lie along one line."""
        begin = self._shape(step, step.along_first[0].patch)
        second = self._shape(step, step.along_second[0].patch)
        for side in sides:
            a = self.nodes[self.start[side]]
            along = self.nodes[self.end[side]] - a
            along /= abs(along)
            origin = next((p for p, q in begin if _lies(p, q, a, along)), None)
            other = next((q for p, q in second if _lies(q, p, a, along)), None)
            if origin is None or other is None:
                continue
            offset = ((other - origin) * along.conjugate()).real
            if abs(offset - step.offset) > CLOSE:
                continue
            return origin, along
        raise CheckError(
            f"Step {step.number}: the runs that begin at `{step.along_first[0].patch}` and `{step.along_second[0].patch}`"
            f" do not lie along one line, the second {step.offset:.4f} in after the first"
        )

    def _shape(self, step: Step, patch: str) -> list[tuple[complex, complex]]:
        """Return the edges of a patch as it is when the step is done: before a trim it is as sewn."""
        found = self.patchwork.by_id[patch]
        rough = any(
            all(
                self.patchwork.by_id[p].group[: len(group)] == group
                for p in (step.first[0], (step.second or step.first)[0])
            )
            for group in self.trimmed
        )
        outline = found.sewn if rough and found.sewn else found.outline
        corners = [complex(x, y) for x, y in outline]
        return list(zip(corners, corners[1:] + corners[:1], strict=True))

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
        """Return for each inner junction the direction of each seam there, and what is sewn of it at that end."""
        rays: dict[int, list[tuple[complex, Stretch]]] = defaultdict(list)
        outside = set()
        for side, twin in enumerate(self.twin):
            a, b = self.start[side], self.end[side]
            if twin < 0:
                outside |= {a, b}
            elif side < twin:
                done = sorted(self.stretches[side], key=lambda stretch: stretch.low)
                run = (self.nodes[b] - self.nodes[a]) / abs(self.nodes[b] - self.nodes[a])
                rays[a].append((run, done[0]))
                rays[b].append((-run, done[-1]))
        return {node: found for node, found in rays.items() if node not in outside}

    def check_junctions(self) -> None:
        """Refuse seams that are called straight and are not, at the junction that they are sewn last at."""
        for node, found in self.list_junctions().items():
            self._check_junction(node, [(run, stretch.step) for run, stretch in found])

    def _check_junction(self, node: int, rays: Sequence[tuple[complex, int]]) -> None:
        last = max(step for _, step in rays)
        ends = [run for run, step in rays if step == last]
        straight = len(ends) == 2 and abs(ends[0] + ends[1]) < 1e-3
        onward = len(ends) == 1 and any(abs(run + ends[0]) < 1e-3 for run, _ in rays)
        kind = self.kinds[last]
        if straight or (onward and kind in ("close", "set in")) or (len(ends) == 1 and kind == "set in"):
            return
        x, y = self.nodes[node].real, self.nodes[node].imag
        raise CheckError(
            f"Step {last} is called a {kind}, but at ({x:.3f}, {y:.3f}) it is sewn last and does not run straight through"
        )


def _lies(p: complex, q: complex, origin: complex, along: complex) -> bool:
    """Tell whether the edge from p to q lies on a line and runs along it."""
    a, b = (p - origin) * along.conjugate(), (q - origin) * along.conjugate()
    return max(abs(a.imag), abs(b.imag)) <= CLOSE and b.real > a.real


def _check_counts(plan: SewingPlan) -> None:
    made = {unit.name: unit.count for unit in plan.units}
    for kind, said, bound in (
        ("close", plan.partial_seams, plan.partial_bound),
        ("set in", plan.set_in_seams, plan.set_in_bound),
    ):
        found = sum(made[step.unit] for step in plan.steps if step.kind == kind)
        name = "partial" if kind == "close" else kind
        if found != said:
            raise CheckError(f"The steps make {found} {name} seams, the plan says {said}")
        if bound > said:
            raise CheckError(f"The plan says {said} {name} seams, under the bound of {bound} that it gives itself")
