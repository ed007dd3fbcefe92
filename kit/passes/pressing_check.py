"""Whether a pressing plan is what it says: crossings counted anew, and nesting looked at with the cloth in place."""

from kit.errors import CheckError
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan, Step
from kit.passes.sewing_check import Stretch, read_stitching


def check_pressing(patchwork: Patchwork, plan: SewingPlan) -> None:
    """Refuse a pressing plan whose figures are not those of its steps.

    Every seam must have a side; a closing must follow its partial seam. At each inner junction the seams in one line that
    meet across a later one are a crossing; it nests when the allowances lie on opposite sides of that line. A seam that
    is pressed to a side must nest wherever nothing was wished.

    Raises
    ------
    CheckError
        Names the step and both figures.
    """
    said = plan.pressing
    if said is None:
        raise CheckError("The plan has no pressing")
    steps = {step.number: step for step in plan.steps}
    for step in plan.steps:
        if (step.press is None) != (step.kind == "trim"):
            raise CheckError(f"Step {step.number} ({step.kind}) has the press {step.press}")
    if said.presses != tuple((step.number, step.press) for step in plan.steps if step.press is not None):
        raise CheckError("The list of presses is not that of the steps")
    crossings = nesting = 0
    for found in read_stitching(patchwork, plan).list_junctions().values():
        last = max(stretch.step for _, stretch in found)
        for i, (run, one) in enumerate(found):
            for other, two in found[:i]:
                if abs(run + other) > 1e-3 or one.step == last or (one.step, one.copy) == (two.step, two.copy):
                    continue
                if {steps[one.step].kind, steps[two.step].kind} == {"partial", "close"}:
                    continue
                crossings += 1
                sides = _find_side(steps[one.step], one), _find_side(steps[two.step], two)
                nests = None not in sides and _oppose(sides, one.along, two.along)
                nesting += nests
                if not nests and None not in sides and said.wish == "nest":
                    raise CheckError(f"Steps {two.step} and {one.step} meet across step {last} and do not nest")
    if (crossings, nesting) != (said.crossings, said.nesting):
        raise CheckError(
            f"{nesting} of {crossings} crossings nest; the plan says {said.nesting} of {said.crossings}"
        )
    for number in said.open_steps:
        if steps[number].press != "open":
            raise CheckError(f"Step {number} is to be pressed open, and is pressed to the {steps[number].press} part")


def _find_side(step: Step, stretch: Stretch) -> int | None:
    """Return 1 for allowances to the left of the direction of sewing, -1 for the right, None for open."""
    if step.press == "open":
        return None
    left = step.press == "first"
    return 1 if left != (stretch.copy in step.pressed_back) else -1


def _oppose(sides: tuple[int | None, int | None], one: complex, two: complex) -> bool:
    """Tell whether two sides of seams in one line are opposite."""
    same_way = (one * two.conjugate()).real > 0
    return (sides[0] != sides[1]) == same_way
