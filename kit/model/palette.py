"""The fabrics of a study seen together: value words, differences, and prints too near a background."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from kit.model.colour import ValueWord, find_lightness, measure_difference, name_values
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patchwork
from kit.model.pictures import BUSY

TOO_NEAR = 12.0
"""CIEDE2000: a print nearer to a background is lost beside it (common practice, no source)."""


@dataclass(frozen=True)
class Swatch:
    """A fabric among the others.

    Attributes
    ----------
    fabric
        Its name.
    lightness
        CIE L*, 0 to 100.
    value
        "light", "medium" or "dark" relative to the set.
    busy
        Whether the print is busy; None where it has no picture.
    nearest
        The most similar fabric, with `difference` (CIEDE2000).
    """

    fabric: str
    lightness: float
    value: ValueWord
    busy: bool | None
    nearest: str
    difference: float


@dataclass(frozen=True)
class Proposal:
    """A print to set aside: it is nearer to a background than the threshold. The maker decides."""

    fabric: str
    background: str
    difference: float
    threshold: float


def describe_palette(fabrics: Sequence[Fabric]) -> tuple[Swatch, ...]:
    """Return the standing of each fabric among the others, in the given order."""
    values = name_values([fabric.colour for fabric in fabrics])
    swatches = []
    for fabric, value in zip(fabrics, values, strict=True):
        others = [(measure_difference(fabric.colour, o.colour), o.name) for o in fabrics if o.name != fabric.name]
        difference, nearest = min(others, default=(0.0, ""))
        busy = None if fabric.spread is None else fabric.spread >= BUSY
        swatches.append(Swatch(fabric.name, find_lightness(fabric.colour), value, busy, nearest, difference))
    return tuple(swatches)


def propose_aside(patchwork: Patchwork, fabrics: Sequence[Fabric], threshold: float = TOO_NEAR) -> tuple[Proposal, ...]:
    """Propose prints for another project: prints too near a background next to them.

    A background is the only fabric of its slot; prints share a slot. A print is proposed with its nearest
    background.

    Parameters
    ----------
    patchwork, fabrics
        The top and its cloth.
    threshold
        The least CIEDE2000 between a print and a background.
    """
    count = Counter(fabric.slot for fabric in fabrics)
    slots = [patch.slot for patch in patchwork.patches]
    meet = {frozenset((slots[a], slots[b])) for a, b in patchwork.mesh.neighbours.tolist()}
    backgrounds = [fabric for fabric in fabrics if count[fabric.slot] == 1]
    found = []
    for print_ in (fabric for fabric in fabrics if count[fabric.slot] > 1):
        near = [g for g in backgrounds if frozenset((g.slot, print_.slot)) in meet]
        figures = [(measure_difference(print_.colour, ground.colour), ground.name) for ground in near]
        least, ground = min(figures, default=(threshold, ""))
        if least < threshold:
            found.append(Proposal(print_.name, ground, least, threshold))
    return tuple(found)
