"""Bed sizes, what quilting and washing take, the label and the care card."""

from kit.errors import KitError
from kit.lengths import Length, System, take_length, write_nearest
from kit.model.finishing import DRAW_IN, FinishingWishes, TopFacts
from kit.model.finishing_figures import CareCard
from kit.model.finishing_parts import Label


def spread_bed(
    mattress: tuple[float, float], drop: float, *, foot: float | None = None, tuck: float = 0.0
) -> tuple[float, float]:
    """Return the finished size of a quilt on a bed: a drop at both sides and the foot, a tuck under the pillow.

    Parameters
    ----------
    mattress
        (width, length), inches.
    drop, foot, tuck
        How far it hangs at the sides, at the foot (None: as at the sides), and what is tucked in, inches.

    Examples
    --------
    >>> spread_bed((60, 80), 14), spread_bed((60, 80), 21, tuck=12)
    ((88.0, 94.0), (102.0, 113.0))
    """
    foot = drop if foot is None else foot
    if min(mattress) <= 0 or min(drop, foot, tuck) < 0:
        raise KitError(
            f"a mattress of {mattress[0]:g} by {mattress[1]:g} in with drops of {drop:g} and {foot:g}, tuck {tuck:g}",
            needed="a mattress above nought, drops and tuck of nought or more",
            do="measure the bed as it is made up",
        )
    return float(mattress[0] + 2 * drop), float(mattress[1] + foot + tuck)


def enlarge_for_loss(target: Length, *losses: float) -> float:
    """Return how large a top must be to measure the target after each loss: target / ((1 - a)(1 - b) ...).

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
                f"a loss of {loss:g}", needed="a part from nought to one", do="write 0.05 for five in a hundred"
            )
        inches /= 1 - loss
    return inches


def find_draw_in(wishes: FinishingWishes, top: TopFacts) -> tuple[float, float]:
    """Return the parts of width and height that quilting takes.

    Hers where she gives one; otherwise the estimate of the quilting plan, but no less than is usual.

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


def write_care(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> CareCard:
    """Return what is expected of the quilt in quilting and washing, and the sentences of its card."""
    drawn = find_draw_in(wishes, top)
    quilted = (width * (1 - drawn[0]), height * (1 - drawn[1]))
    shrinkage = (wishes.wash_width, wishes.wash_height)
    washed = (quilted[0] * (1 - shrinkage[0]), quilted[1] * (1 - shrinkage[1]))
    lines = [
        f"Fibre: {wishes.fibre}.",
        f"Expected to lose {100 * shrinkage[0]:g} % of its width and {100 * shrinkage[1]:g} % of its height in the"
        f" first wash: from {_write_size(quilted, top.system)} to {_write_size(washed, top.system)}.",
    ]
    if wishes.bleeding:
        lines.append(
            f"Bled in a test: {', '.join(wishes.bleeding)}. Wash these by themselves until the water stays clear, and"
            " the quilt only with like colours."
        )
    else:
        lines.append(
            "No fabric is noted as bleeding. Test each strong colour: lay a damp white scrap on it and press; what"
            " marks the scrap will mark the quilt."
        )
    return CareCard(wishes.fibre, shrinkage, quilted, washed, wishes.bleeding, tuple(lines))


def write_label(width: float, height: float, wishes: FinishingWishes, top: TopFacts) -> Label:
    """Return what is written on the back; the maker's line is left for her hand."""
    size = _write_size((width, height), top.system)
    return Label(
        (
            top.title,
            f"Finished size before washing: {size}",
            "Made by: ____________________",
            f"Date: {wishes.date or '____________________'}",
            f"Care: {wishes.fibre}; see the care card",
        )
    )


def _write_size(size: tuple[float, float], system: System) -> str:
    return f"{write_nearest(size[0], system)} × {write_nearest(size[1], system)}"
