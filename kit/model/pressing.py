"""Pressing plans: the side for the allowances of each seam, and the thickness where seams meet."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

Press: TypeAlias = Literal["first", "second", "open"]
PressingWish: TypeAlias = Literal["nest", "dark", "sashing", "open"]
Centres: TypeAlias = Literal["to one side", "spun"]
"""How the centres of four-patches are pressed: the last seam to one side, or spun, to both."""
Spin: TypeAlias = Literal["clockwise", "counter-clockwise"]


@dataclass(frozen=True)
class PressingPlan:
    """The pressing of every seam.

    Attributes
    ----------
    wish
        The wish of the study.
    presses
        Step number -> the part on the side of its pressed seam, or "open".
    crossings
        Places where two seams in one line meet across a third.
    nesting
        The crossings with the two seams pressed to opposite sides, so that they nest.
    open_steps
        Steps pressed open because they could not nest everywhere when pressed to a side.
    odd_cycles
        The steps of each odd cycle found: around it no choice of sides nests everywhere.
    half_turned
        Units whose every second copy is pressed the opposite way and is, with that pressing, the first one given a
        half turn: all are made alike.
    centres
        Whether four-patches are spun; the steps say where.
    spin
        The way in which spun seams turn round their centres, as seen on the right side of the top.
    layers
        The most layers of cloth at a junction.
    thickest
        The place of that junction, inches from the top's lower left.
    """

    wish: PressingWish
    presses: tuple[tuple[int, Press], ...]
    crossings: int
    nesting: int
    open_steps: tuple[int, ...]
    odd_cycles: tuple[tuple[int, ...], ...]
    layers: int
    thickest: tuple[float, float]
    half_turned: tuple[str, ...] = ()
    centres: Centres = "to one side"
    spin: Spin = "clockwise"
