"""The check of spun seams: what is found at the centre of each four-patch, with the cloth in place."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from typing import TypeAlias

import shapely

from kit.checks.seams_from_outlines import CLOSE, STRAIGHT, Sewn, Stretch
from kit.errors import CheckError
from kit.model.patchwork import Patchwork
from kit.model.pressing import PressingPlan
from kit.model.sewing import SewingPlan, Step

GRID = 1e-7
"""Inches: the grid on which parts are laid together."""
Ends: TypeAlias = Sequence[tuple[complex, Stretch]]


def check_spun(patchwork: Patchwork, plan: SewingPlan, sewn: Sewn) -> None:
    """Refuse spun seams that do not turn round the centre of a four-patch, and four-patches that should be spun.

    At the place that a step names, four seams must meet in every copy: the step's own from both sides, and the two that
    made its halves, in line. All four must lie on the same side as seen from the centre. The four parts must be of one
    size. Where four-patches are to be spun, none may be left.

    Raises
    ------
    CheckError
        Names the step, and what is there.
    """
    said = plan.pressing
    spun = {step.number: step for step in plan.steps if step.spun_at is not None}
    if said is None or (said.centres != "spun" and not spun):
        return
    if said.centres != "spun":
        raise CheckError(f"Step {min(spun)} is spun, and four-patches are to be pressed to one side")
    steps = {step.number: step for step in plan.steps}
    makers = _find_makers(plan)
    centres: dict[int, int] = defaultdict(int)
    for node, ends in sewn.list_junctions().items():
        last = max((stretch for _, stretch in ends), key=lambda stretch: stretch.step)
        own = [(run, stretch) for run, stretch in ends if (stretch.step, stretch.copy) == (last.step, last.copy)]
        others = [(run, stretch) for run, stretch in ends if (stretch.step, stretch.copy) != (last.step, last.copy)]
        four = len(own) == len(others) == 2 and abs(others[0][0] + others[1][0]) < STRAIGHT
        four = four and abs(own[0][0] + own[1][0]) < STRAIGHT and _is_four_patch(patchwork, plan, steps, makers, ends)
        spot = _find_spot(sewn, last, node)
        step = steps[last.step]
        if step.spun_at is not None and abs(step.spun_at - spot) <= CLOSE:
            if not four:
                raise CheckError(f"Step {step.number} is spun at {spot:.4f} in, where no four equal parts meet")
            _check_turn(steps, sewn, node, ends, said)
            centres[step.number] += 1
        elif four and step.spun_at is None and not spun.keys() & {stretch.step for _, stretch in others}:
            raise CheckError(f"Step {step.number} closes a four-patch that is not spun")
    for number, step in spun.items():
        count = next(unit.count for unit in plan.units if unit.name == step.unit)
        if centres[number] != count:
            raise CheckError(
                f"Step {number} is spun {step.spun_at:.4f} in from its beginning, where in {count - centres[number]} of"
                f" {count} copies no four seams meet"
            )


def find_pressed_side(step: Step, copy: int, place: float) -> int | None:
    """Return 1 for allowances to the left of the direction of sewing at a place, -1 for the right, None for open."""
    if step.press == "open":
        return None
    left = (step.press == "first") != (copy in step.pressed_back)
    beyond = step.spun_at is not None and place > step.spun_at
    return 1 if left != beyond else -1


def _find_spot(sewn: Sewn, stretch: Stretch, node: int) -> float:
    """Return the place of a junction along a seam, inches from its beginning."""
    return sewn.find_place(stretch, node, 0j)


def _check_turn(steps: Mapping[int, Step], sewn: Sewn, node: int, ends: Ends, said: PressingPlan) -> None:
    """Refuse a centre whose seams do not all turn the way that the plan says."""
    wanted = 1 if said.spin == "counter-clockwise" else -1
    for run, stretch in ends:
        step = steps[stretch.step]
        side = find_pressed_side(step, stretch.copy, sewn.find_place(stretch, node, run))
        onward = (run * stretch.along.conjugate()).real > 0
        if side is None or (side if onward else -side) != wanted:
            last = max(other.step for _, other in ends)
            raise CheckError(
                f"Step {last} is spun {said.spin}, and the seam of step {step.number} does not turn that way round the"
                " centre"
            )


def _find_makers(plan: SewingPlan) -> dict[tuple[str, int], tuple[Step, ...]]:
    """Return for the first patch of each copy of a unit, with the number of patches, the unit's steps."""
    steps: dict[str, list[Step]] = defaultdict(list)
    for step in plan.steps:
        steps[step.unit].append(step)
    return {(min(copy), len(copy)): tuple(steps[unit.name]) for unit in plan.units for copy in unit.copies}


def _is_four_patch(
    patchwork: Patchwork,
    plan: SewingPlan,
    steps: Mapping[int, Step],
    makers: Mapping[tuple[str, int], tuple[Step, ...]],
    ends: Ends,
) -> bool:
    """Return True if the seams at a junction are the last of a unit and those that made its two equal halves."""
    last = steps[max(stretch.step for _, stretch in ends)]
    if last.kind != "join" or last.ragged or any(step.unit == last.unit for step in plan.steps[last.number :]):
        return False
    there = {stretch.step for _, stretch in ends} - {last.number}
    parts: list[tuple[str, ...]] = []
    found = set()
    for half in (last.first, last.second):
        known = makers.get((min(half), len(half)))
        made = known[-1] if known else _find_own(plan, last, half)
        if made is None or made.kind != "join" or made.ragged or not made.second:
            return False
        found.add(made.number)
        parts += [made.first, made.second]
    whole = last.unit == plan.units[-1].name and max(map(len, parts)) > 1
    return found == there and not whole and _are_equal(patchwork, parts)


def _find_own(plan: SewingPlan, last: Step, half: tuple[str, ...]) -> Step | None:
    """Return the step of the same unit that made a half."""
    mine = (step for step in plan.steps[: last.number - 1] if step.unit == last.unit)
    return next((step for step in mine if {*step.first, *step.second} == set(half)), None)


def _are_equal(patchwork: Patchwork, parts: Sequence[Sequence[str]]) -> bool:
    """Return True if parts have the same area and an outline of the same length, by a general geometry library."""
    sizes = []
    for part in parts:
        shapes = [shapely.Polygon(patchwork.by_id[patch].sewn or patchwork.by_id[patch].outline) for patch in part]
        whole = shapely.union_all(shapes, grid_size=GRID)
        sizes.append((whole.area, whole.length))
    return all(max(values) - min(values) <= CLOSE for values in zip(*sizes, strict=True))
