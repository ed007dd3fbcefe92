"""The check of a pressing plan: crossings are counted again, and nesting is tested with the cloth in place."""

from collections.abc import Iterator
from itertools import combinations
from typing import NamedTuple

from kit.checks.seams_from_outlines import STRAIGHT, Sewn, read_stitching
from kit.checks.spun_check import check_spun, find_pressed_side
from kit.errors import CheckError
from kit.model.cutting import CutList
from kit.model.patchwork import Patchwork
from kit.model.pressing import PressingPlan
from kit.model.sewing import SewingPlan, Step


class PressedEnd(NamedTuple):
    """A seam where it ends at a junction: its step, its direction, and the side of its allowances there."""

    step: int
    along: complex
    side: int | None


def check_pressing(patchwork: Patchwork, cuts: CutList, plan: SewingPlan) -> None:
    """Refuse a pressing plan with figures that differ from its steps.

    Every seam must have a side. Copies of a unit are pressed alike, or some of them the opposite way in the same seams.
    At each inner junction two seams in one line that meet across a later seam are a
    crossing; it nests if the allowances lie on opposite sides of that line. Without a wish, seams pressed to a side
    must nest wherever they cross. Seams that are spun must be those of four-patches, and of every one where the study
    asks so; see `check_spun`.

    Parameters
    ----------
    patchwork
        The design.
    cuts
        Its cut list, as `check_cut_list` accepts it.
    plan
        The sewing plan with its pressing.

    Raises
    ------
    CheckError
        Names the step and both figures.
    """
    said = plan.pressing
    if said is None:
        raise CheckError("The plan has no pressing")
    _check_presses(plan, said)
    steps = {step.number: step for step in plan.steps}
    sewn = read_stitching(patchwork, cuts, plan)
    check_spun(patchwork, plan, sewn)
    crossings = nesting = 0
    for one, two, last in _list_crossings(sewn, steps):
        sides = one.side, two.side
        nests = None not in sides and (sides[0] != sides[1]) == ((one.along * two.along.conjugate()).real > 0)
        if not nests and None not in sides and said.wish == "nest":
            raise CheckError(f"Steps {two.step} and {one.step} meet across step {last} and do not nest")
        crossings += 1
        nesting += nests
    if (crossings, nesting) != (said.crossings, said.nesting):
        raise CheckError(f"{nesting} of {crossings} crossings nest; the plan says {said.nesting} of {said.crossings}")


def _check_presses(plan: SewingPlan, said: PressingPlan) -> None:
    for step in plan.steps:
        if (step.press is None) != (step.kind == "trim"):
            raise CheckError(f"Step {step.number} ({step.kind}) has the press {step.press}")
    if said.presses != tuple((step.number, step.press) for step in plan.steps if step.press is not None):
        raise CheckError("The list of presses is not that of the steps")
    for unit in plan.units:
        ways = {step.pressed_back for step in plan.steps if step.unit == unit.name and step.pressed_back}
        if len(ways) > 1:
            raise CheckError(
                f"The {unit.count} copies of unit {unit.name} are pressed in more than two ways: copies {min(ways)} and"
                f" {max(ways)} differ from the first in different seams"
            )
    for number in said.open_steps:
        if plan.steps[number - 1].press != "open":
            raise CheckError(
                f"Step {number} is to be pressed open, and is pressed to the {plan.steps[number - 1].press} part"
            )


def _list_crossings(sewn: Sewn, steps: dict[int, Step]) -> Iterator[tuple[PressedEnd, PressedEnd, int]]:
    """Yield the two seams of each crossing, and the step sewn last there."""
    for node, found in sewn.list_junctions().items():
        last = max(stretch.step for _, stretch in found)
        for (run, one), (other, two) in combinations(found, 2):
            whole = {steps[one.step].kind, steps[two.step].kind} == {"partial", "close"}
            same = (one.step, one.copy) == (two.step, two.copy)
            if abs(run + other) < STRAIGHT and last not in (one.step, two.step) and not same and not whole:
                ends = [
                    PressedEnd(s.step, s.along, find_pressed_side(steps[s.step], s.copy, sewn.find_place(s, node, way)))
                    for way, s in ((run, one), (other, two))
                ]
                yield ends[0], ends[1], last
