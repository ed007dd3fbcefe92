"""From which width an amount of cloth is enough."""

from dataclasses import dataclass


@dataclass(frozen=True)
class EnoughFrom:
    """The widths of cloth on which an amount is enough.

    Attributes
    ----------
    width
        The least usable width, before washing, on which the amount bought is enough, inches.
    narrower
        A narrower width that was tried.
    buy
        The inches needed on that width, as `ClothPlan.as_bought`.
    """

    width: float
    narrower: float
    buy: float
