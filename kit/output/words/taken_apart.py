"""Which tops are shown taken apart, and into what."""

from kit.model.sewing import SewingPlan, Step

FEWEST, MOST = 3, 40
"""Tops of fewer or more parts are not: nothing is to be learnt from the picture, or nothing can be read in it."""


def list_adding(plan: SewingPlan) -> list[Step]:
    """Return the steps of the top that sew a part on.

    Parameters
    ----------
    plan
        The steps.
    """
    return [step for step in plan.steps if step.unit == plan.units[-1].name and step.second]


def is_taken_apart(plan: SewingPlan) -> bool:
    """Return True if the top has neither too few nor too many parts for such a picture.

    Parameters
    ----------
    plan
        The steps.
    """
    return FEWEST <= len(list_adding(plan)) + 1 <= MOST
