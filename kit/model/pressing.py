"""Pressing plans: to which side the allowances of each seam go, and how thick it gets where seams meet."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

Press: TypeAlias = Literal["first", "second", "open"]
PressingWish: TypeAlias = Literal["nest", "dark", "sashing", "open"]


@dataclass(frozen=True)
class PressingPlan:
    """How every seam is pressed.

    Attributes
    ----------
    wish
        What was asked for.
    presses
        Step number -> the part to whose side its seam is pressed, or "open".
    crossings
        Places where two seams in one line meet across a third.
    nesting
        Those where the two are pressed to opposite sides, so that they nest.
    open_steps
        Steps pressed open because, pressed to a side, they could not nest everywhere.
    odd_cycles
        The steps of each odd cycle that was found: around it no choice of sides nests everywhere.
    layers
        The most layers of cloth at a junction.
    thickest
        Where that is, inches from the top's lower left.
    """

    wish: PressingWish
    presses: tuple[tuple[int, Press], ...]
    crossings: int
    nesting: int
    open_steps: tuple[int, ...]
    odd_cycles: tuple[tuple[int, ...], ...]
    layers: int
    thickest: tuple[float, float]
