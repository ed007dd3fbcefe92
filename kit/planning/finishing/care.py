"""Bed sizes, losses in quilting and washing, and the care card."""

from kit.errors import KitError
from kit.lengths import Length, number_refused, take_length, write_refused
from kit.model.finishing import DRAW_IN, FinishingWishes, TopFacts
from kit.model.finishing_figures import CareCard


def spread_bed(
    mattress: tuple[float, float], drop: float, *, foot: float | None = None, tuck: float = 0.0
) -> tuple[float, float]:
    """Return the finished size of a quilt on a bed: a drop at both sides and the foot, a tuck under the pillow.

    Parameters
    ----------
    mattress
        (width, length), inches.
    drop, foot, tuck
        The drop at the sides, at the foot (None: as at the sides), and the tuck, inches.

    Examples
    --------
    >>> spread_bed((60, 80), 14), spread_bed((60, 80), 21, tuck=12)
    ((88.0, 94.0), (102.0, 113.0))
    """
    foot = drop if foot is None else foot
    if min(mattress) <= 0 or min(drop, foot, tuck) < 0:
        raise KitError(
            f"a mattress of {write_refused(*mattress, joint=' by ')} with drops of {number_refused(drop)} and"
            f" {number_refused(foot)}, tuck {number_refused(tuck)}",
            needed="a mattress above zero, drops and tuck of zero or more",
            do="measure the bed as it is made up",
        )
    return float(mattress[0] + 2 * drop), float(mattress[1] + foot + tuck)


def enlarge_for_loss(target: Length, *losses: float) -> float:
    """Return the size of a top that measures the target after each loss: target / ((1 - a)(1 - b) ...).

    Parameters
    ----------
    target
        What is wanted in the end, inches or a text with its unit.
    losses
        Parts lost in quilting and in washing, 0.05 for five in a hundred.

    Examples
    --------
    >>> round(enlarge_for_loss(90, 0.05), 2)
    94.74
    """
    inches = take_length(target, "target")
    for loss in losses:
        if not 0 <= loss < 1:
            raise KitError(
                f"a loss of {loss:g}", needed="a part from zero to one", do="write 0.05 for five in a hundred"
            )
        inches /= 1 - loss
    return inches


def find_draw_in(wishes: FinishingWishes, top: TopFacts) -> tuple[float, float]:
    """Return the parts of width and height lost in quilting.

    The maker's figure if given; otherwise the estimate of the quilting plan, but at least the usual part.

    Examples
    --------
    >>> find_draw_in(FinishingWishes(), TopFacts(draw_in=(0.035, 0.004)))
    (0.035, 0.02)
    >>> find_draw_in(FinishingWishes(draw_in=0.03), TopFacts(draw_in=(0.035, 0.004)))
    (0.03, 0.03)
    """
    if wishes.draw_in is not None:
        return wishes.draw_in, wishes.draw_in
    across, along = top.draw_in or (0.0, 0.0)
    return max(DRAW_IN, across), max(DRAW_IN, along)


def plan_care(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> CareCard:
    """Return the expected losses in quilting and washing, with the fibre and the fabrics that bled."""
    drawn = find_draw_in(wishes, top)
    quilted = (width * (1 - drawn[0]), height * (1 - drawn[1]))
    shrinkage = (wishes.wash_width, wishes.wash_height)
    washed = (quilted[0] * (1 - shrinkage[0]), quilted[1] * (1 - shrinkage[1]))
    return CareCard(wishes.fibre, shrinkage, quilted, washed, wishes.bleeding)
