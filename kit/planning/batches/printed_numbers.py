"""The numbers of the printed steps: 1, 2, 3 and so on, without the seams of units that come ready whole."""

from dataclasses import replace
from itertools import count

from kit.model.making import MakingPlan
from kit.model.sewing import SewingPlan


def number_printed(plan: SewingPlan, making: MakingPlan) -> SewingPlan:
    """Return a plan whose steps know their numbers on the printed page.

    Count the steps in the order of working; leave out those of units whose every seam comes out of batches, in every
    copy: such a unit lies ready, and nobody sews its steps.

    Parameters
    ----------
    plan
        The order of sewing.
    making
        What is made in batches.
    """
    copies = {unit.name: unit.count for unit in plan.units}
    left = {step.unit for step in plan.steps if sum(making.ready.get(step.number, {}).values()) < copies[step.unit]}
    numbers = count(1)
    steps = tuple(replace(step, printed=next(numbers) if step.unit in left else 0) for step in plan.steps)
    return replace(plan, steps=steps)
