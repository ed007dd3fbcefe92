"""Making: units that are sewn several at a time, from which cloth, and what each way of making costs."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, TypeAlias

from kit.model.cutting import CutList, Piece
from kit.model.notices import Notice

MakingWish: TypeAlias = Literal["least cloth", "fewest cuts"]
MadeUnit: TypeAlias = Literal["half-square", "quarter-square", "geese", "corners", "strip set"]
WayName: TypeAlias = Literal[
    "one by one", "two at a time", "four at a time", "eight at a time", "stitch and flip", "sewn and cut across"
]
ClothRole: TypeAlias = Literal["first", "second", "goose", "sky", "strip", "body", "corner"]
SINGLY: WayName = "one by one"
"""The way that is no batch: every piece is cut, and the seams are sewn in the order of the steps."""


@dataclass(frozen=True, slots=True)
class MakingWishes:
    """How units are to be made; the keys of the [cutting] table. Lengths in inches.

    Attributes
    ----------
    half_squares, quarter_squares, geese, corners, strip_sets
        The way of each unit by its name, "one by one" for single pieces; None where the wish decides.
    wish
        What decides where no way is named; None: single pieces.
    oversize
        Added to half-square and quarter-square units and geese on purpose, to be trimmed away.
    set_squaring
        What squaring up the ends of one strip set takes.
    """

    half_squares: WayName | None = None
    quarter_squares: WayName | None = None
    geese: WayName | None = None
    corners: WayName | None = None
    strip_sets: WayName | None = None
    wish: MakingWish | None = None
    oversize: float = 0.0
    set_squaring: float = 0.5

    def find_way(self, unit: MadeUnit) -> WayName | None:
        """Return the way that is named for a unit, "one by one" where nothing is asked, None where the wish decides."""
        names: dict[MadeUnit, WayName | None] = {
            "half-square": self.half_squares, "quarter-square": self.quarter_squares, "geese": self.geese,
            "corners": self.corners, "strip set": self.strip_sets,
        }  # fmt: skip
        return names[unit] or (SINGLY if self.wish is None else None)


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

    name: ClothRole
    width: float
    height: float
    number: int


@dataclass(frozen=True)
class Way:
    """One way of making a number of units.

    Attributes
    ----------
    name
        "one by one", "two at a time", ...
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

    name: WayName
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


@dataclass(frozen=True)
class Made:
    """One kind of unit that is made several at a time.

    A role is what a fabric is in the unit: of half squares the two sides; of quarter squares the four,
    counter-clockwise; of geese the goose, then its sky at the left and at the right, the goose's long side at the
    bottom; of corners the body, then the corners from the lower left round counter-clockwise; of a strip set the strips
    from the left.

    Attributes
    ----------
    id
        Short unique name: "U1".
    unit, way
        What is made, and how.
    size
        Finished (width, height) of a unit, inches.
    fabrics
        The fabric of each role.
    units
        The patches of each unit, role by role.
    blanks
        What is cut for all batches; each is cut from one fabric.
    sizes
        Printed (along, across) of each blank: of a strip its length and its width; inches, rounded up.
    each
        How many of each blank one batch takes.
    uses
        For each role the blank that it comes from, by its place in `blanks`.
    batches, makes
        How often it is done, and the units that come out each time.
    over
        Inches by which a unit comes out larger than it has to be, before it is trimmed.
    bias
        Whether the outer edges of a unit are on the bias.
    legs
        Of corners: the finished short side at each corner of the unit, nought where none is.
    widths
        Of strip sets: the finished width of each strip.
    segment
        Of strip sets: what is cut across the set for each unit, printed; nought elsewhere.
    sewn
        Steps of the sewing plan that it does, and in how many copies of their unit.
    """

    id: str
    unit: MadeUnit
    way: WayName
    size: tuple[float, float]
    fabrics: tuple[str, ...]
    units: tuple[tuple[str, ...], ...]
    blanks: tuple[Piece, ...]
    sizes: tuple[tuple[float, float], ...]
    each: tuple[int, ...]
    uses: tuple[int, ...]
    batches: int
    makes: int
    over: float
    bias: bool = False
    legs: tuple[float, ...] = ()
    widths: tuple[float, ...] = ()
    segment: float = 0.0
    sewn: tuple[tuple[int, int], ...] = ()

    @property
    def spare(self) -> int:
        """Units that come out and are not needed."""
        return self.batches * self.makes - len(self.units)


@dataclass(frozen=True)
class UnitWays:
    """A kind of unit that the top has, and the ways of making it.

    Attributes
    ----------
    unit, size, fabrics, count
        As in `Made`.
    ways
        Each with its cloth, cuts and seams.
    chosen
        Name of the way that is taken.
    why
        Why other ways are left out, or empty.
    """

    unit: MadeUnit
    size: tuple[float, float]
    fabrics: tuple[str, ...]
    count: int
    ways: tuple[Way, ...]
    chosen: WayName
    why: str = ""


@dataclass(frozen=True)
class MakingPlan:
    """Which units are made several at a time, and what is cut instead of their pieces.

    Attributes
    ----------
    made
        Each kind of unit that is made in batches.
    cut_list
        What is cut, fabric by fabric: the pieces that are left, and the blanks of the batches.
    pieces
        The same by piece, as they are printed: none that is not cut.
    choices
        Every kind of unit that the top has, with its ways: what could be done as well, which is no part of the plan.
        A sketch lists none unless its study asks for ways.
    assumptions
        What is printed with the result.
    """

    made: tuple[Made, ...]
    cut_list: CutList
    pieces: tuple[Piece, ...]
    choices: tuple[UnitWays, ...] = field(default=(), compare=False)
    assumptions: tuple[Notice, ...] = ()

    @cached_property
    def ready(self) -> Mapping[int, Mapping[str, int]]:
        """Step number -> made id -> in how many copies its seam is sewn with the batches."""
        found: dict[int, dict[str, int]] = {}
        for made in self.made:
            for number, copies in made.sewn:
                found.setdefault(number, {})[made.id] = copies
        return found

    @cached_property
    def patches(self) -> frozenset[str]:
        """Every patch that comes out of a batch."""
        return frozenset(patch for made in self.made for unit in made.units for patch in unit)
