"""The check of a sewing plan: accepted or refused without any of the planner's work."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from collections.abc import Set as AbstractSet

from kit.checks.seams_from_outlines import CLOSE, find_shape, find_whole, match_copies, read_stitching
from kit.errors import CheckError
from kit.geometry.outlines import Outline
from kit.model.cutting import CutList
from kit.model.patchwork import Patch, Patchwork
from kit.model.sewing import SewingPlan, SewnUnit, Step


def check_sewing_plan(patchwork: Patchwork, cuts: CutList, plan: SewingPlan) -> None:
    """Refuse a sewing plan that does not make the top from the patches.

    Units' copies must be turned copies of the first, with the same slots. The steps are done in order with sets of
    patches: each takes whole existing parts, one of them what the step before made, the other a piece or a finished
    unit, and all patches end in one part. A seam that turns must touch the part just added. Written steps hold every
    step once, in order, each of one unit. Each side between two patches of the mesh
    must be sewn exactly once, over its whole length. At every inner junction the seam sewn last must run straight
    through, finish a partial seam, or be called set in; and the counts must be those of the steps.

    Parameters
    ----------
    patchwork
        The design.
    cuts
        Its cut list, as `check_cut_list` accepts it; says which edge of a patch is the first of its piece.
    plan
        The plan.

    Raises
    ------
    CheckError
        Names the step or unit, and both figures.

    Notes
    -----
    The rehearsal decides between the edges of a symmetric piece. O(n log n) beyond the length of the plan.
    """
    known = patchwork.by_id
    for unit in plan.units:
        _check_unit(known, unit, find_whole(patchwork, unit))
    _follow_steps(patchwork, plan)
    seams = read_stitching(patchwork, cuts, plan)
    seams.check_lengths()
    seams.check_junctions()
    _check_counts(plan)
    _check_written(plan)


def _check_unit(patches: Mapping[str, Patch], unit: SewnUnit, whole: Sequence[bool]) -> None:
    """Refuse a unit with copies that are not turned copies of the first."""
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
        turn, shift = match_copies(patches, unit, copy, whole)
        for p, q, later in zip(first, copy, whole, strict=True):
            if patches[p].slot != patches[q].slot:
                raise CheckError(
                    f"Unit {unit.name}, copy {number} has patch `{q}` of slot `{patches[q].slot}` where the first has"
                    f" `{patches[p].slot}`"
                )
            ours, theirs = (find_shape(patches[name], whole=later) for name in (p, q))
            off = _measure_misfit(ours, theirs, turn, shift)
            if off > CLOSE:
                raise CheckError(
                    f"Unit {unit.name}, copy {number}: patch `{q}` is {off:.4f} in from its place in the first"
                    " (0 in is wanted); a mirror image is not a copy"
                )


def _measure_misfit(ours: Outline, theirs: Outline, turn: complex, shift: complex) -> float:
    """Return the distance of the corners of a moved outline from those of another."""
    goal = [complex(x, y) for x, y in theirs]
    moved = [turn * complex(x, y) + shift for x, y in ours]
    return max(min(abs(p - q) for q in goal) for p in moved) if len(moved) == len(goal) else float("inf")


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
    bench = _Bench({frozenset(copy) for unit in plan.units for copy in unit.copies})
    for place, step in enumerate(plan.steps, start=1):
        if step.number != place or step.unit not in units:
            raise CheckError(f"Step {step.number} of unit {step.unit} stands in place {place}")
        unit = units[step.unit]
        bench.take_up(step)
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


class _Bench:
    """What lies on the bench: the part that the last step of a unit made, and the part that was added last."""

    def __init__(self, finished: AbstractSet[frozenset[str]]) -> None:
        self.finished = finished
        self.unit, self.made, self.added = "", frozenset[str](), frozenset[str]()

    def take_up(self, step: Step) -> None:
        """Refuse a step that goes on with something other than what was just made, or sews a seam away from it."""
        first, second = frozenset(step.first), frozenset(step.second)
        begins = step.unit != self.unit
        for part in (first, second) if step.second else (first,):
            if len(part) > 1 and part not in self.finished and (begins or part != self.made):
                raise CheckError(
                    f"Step {step.number} takes up {len(part)} patches from `{min(part)}` on, which were put aside; a"
                    " step goes on with what the step before made, a piece or a finished unit"
                )
        if not begins and step.second and self.made not in (first, second):
            raise CheckError(f"Step {step.number} puts aside the {len(self.made)} patches that the step before made")
        if step.second:
            self.added = first | second if begins else second if first == self.made else first
        elif step.kind != "trim":
            touched = {edge.patch for edge in (*step.along_first, *step.along_second)}
            if step.kind == "set in" and not touched & self.added:
                raise CheckError(
                    f"Step {step.number} sews a seam along `{min(touched)}`, which does not touch the part added last"
                )
        self.unit, self.made = step.unit, first | second


def _check_written(plan: SewingPlan) -> None:
    """Refuse written steps that leave out a step, repeat one, or mix units."""
    unit = {step.number: step.unit for step in plan.steps}
    numbers = [number for group in plan.written for number in group]
    if numbers != sorted(unit):
        raise CheckError(f"The written steps hold {len(numbers)} steps, the plan has {len(unit)}, in their order")
    mixed = next((group for group in plan.written if len({unit[number] for number in group}) > 1), None)
    if mixed:
        raise CheckError(f"The written step from step {mixed[0]} on holds steps of more than one unit")
    if plan.written_bound > len(plan.written):
        raise CheckError(f"The plan has {len(plan.written)} written steps, under its own bound of {plan.written_bound}")


def _trim(
    step: Step, unit: SewnUnit, done: frozenset[str], groups: set[frozenset[str]], trimmed: set[frozenset[str]]
) -> None:
    """Note the parts trimmed by a step, in every copy."""
    for copy in unit.copies:
        spots = dict(zip(unit.copies[0], copy, strict=True))
        there = frozenset(spots[patch] for patch in done)
        if there not in groups or there in trimmed:
            raise CheckError(f"Step {step.number} trims {len(there)} patches that are not a part to be trimmed once")
        trimmed.add(there)


def _do(step: Step, part: dict[str, frozenset[str]], within: set[str]) -> frozenset[str]:
    """Do one step; return the resulting part."""
    taken = []
    for patches in (step.first, step.second) if step.second else (step.first,):
        have = part.get(patches[0], frozenset())
        if len(patches) != len(have) or not have.issuperset(patches):
            odd = min(set(patches) ^ have)
            raise CheckError(
                f"Step {step.number} takes {len(patches)} patches from `{patches[0]}` on; the part there has"
                f" {len(have)} (look at `{odd}`)"
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


def _make_copies(unit: SewnUnit, step: Step, part: dict[str, frozenset[str]]) -> None:
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
                raise CheckError(f"Unit {unit.name}, copy {number}: patch `{patch}` is already sewn into another part")
        for patch in copy:
            part[patch] = whole


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
            raise CheckError(f"The plan says {said} {name} seams, under its own bound of {bound}")
