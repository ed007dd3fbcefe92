"""Making: units that are sewn several at a time, from which cloth, and what each way of making costs."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

Wish: TypeAlias = Literal["least cloth", "fewest cuts"]


@dataclass(frozen=True)
class Cloths:
    """Rectangles of one fabric for one batch.

    Attributes
    ----------
    name
        What the fabric is in the unit: "first", "second", "goose", "sky".
    width, height
        Exact cut size in inches.
    number
        How many for one batch.
    """

    name: str
    width: float
    height: float
    number: int


@dataclass(frozen=True)
class Way:
    """One way of making a number of units.

    Attributes
    ----------
    name
        "triangles one by one", "two at a time", ...
    cloths
        What is cut for one batch, exact.
    makes
        Units that come out of one batch.
    batches
        How often that is done.
    spare
        Units that are more than is needed.
    cuts
        Cuts in all: one for each square or rectangle that is cut off its strip, and those that part it or the sewn
        cloth; the strips not.
    seams
        Lines of sewing in all.
    cloth
        Inches of length of the usable width, strips counted square by square, at the ruler's sizes.
    trim
        Inches by which a unit comes out larger than it has to be, before it is trimmed.
    bias
        Whether the unit's outer edges are on the bias.
    """

    name: str
    cloths: tuple[Cloths, ...]
    makes: int
    batches: int
    spare: int
    cuts: int
    seams: int
    cloth: float
    trim: float
    bias: bool = False


@dataclass(frozen=True)
class StripSets:
    """Strips sewn side by side and cut across.

    Attributes
    ----------
    sewn
        Unfinished width of a set, inches.
    per_set
        Segments that one set gives.
    sets
        Sets that are needed.
    strips
        Strips in all.
    rest
        Inches of each full set that are left.
    seams, cuts
        Long seams, and cuts across.
    """

    sewn: float
    per_set: int
    sets: int
    strips: int
    rest: float
    seams: int
    cuts: int
