"""Making: units sewn several at a time, their cloth, and the cost of each way of making."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from math import cos, radians, sin
from typing import Literal, TypeAlias

from kit.model.blunt_points import BluntCut, Points
from kit.model.cutting import CutList, Piece
from kit.model.foundations import FoundationPlan
from kit.model.notices import Notice
from kit.model.strip_sets import SetSegment

MakingWish: TypeAlias = Literal["least cloth", "fewest cuts"]
MakeWish: TypeAlias = Literal["as a maker would", "one by one"]
BatchedUnit: TypeAlias = Literal["half-square", "quarter-square", "half-rectangle", "geese", "corners", "strip set"]
MadeUnit: TypeAlias = Literal[BatchedUnit, "block"]
"""What comes ready for the steps: units out of batches, and blocks on paper."""
WayName: TypeAlias = Literal[
    "one by one", "two at a time", "four at a time", "eight at a time", "stitch and flip", "sewn and cut across",
    "sewn into loops", "on paper",
]  # fmt: skip
ClothRole: TypeAlias = Literal["first", "second", "goose", "sky", "strip", "body", "corner", "rectangle"]
SINGLY: WayName = "one by one"
"""The way without batches: every piece is cut, and the seams are sewn in the order of the steps."""
ON_PAPER: WayName = "on paper"
"""The way of a block that is sewn on paper foundations, piece by piece."""
CUT_SECONDS, SEAM_SECONDS = 20.0, 60.0
"""Seconds for a cut and for a seam with its pressing: from memory; the speeds of the [finishing] table go before."""
LONG = 20.0
"""Inches: a longer seam counts as several, by its length. Own judgement, no source."""


@dataclass(frozen=True, slots=True)
class MakingWishes:
    """The wished ways of making units; the keys of the [cutting] table. Lengths in inches.

    Attributes
    ----------
    half_squares, quarter_squares, half_rectangles, geese, corners, strip_sets
        The way of each unit by its name, "one by one" for single pieces; None if the wish decides.
    wish
        The choice if no way is named, by cloth or by cuts alone; None: as `make` says.
    make
        The choice if neither a way nor a wish is named: "as a maker would", by work against cloth, or "one by one".
    oversize
        Extra size of half-square and quarter-square units and geese, trimmed away later.
    set_squaring
        Length lost in squaring up the ends of one strip set.
    points
        "blunt": the pattern also says how triangles are cut off strips with a ruler whose point is blunt.
    on_paper
        Names of the units that are sewn on paper foundations.
    """

    half_squares: WayName | None = None
    quarter_squares: WayName | None = None
    half_rectangles: WayName | None = None
    geese: WayName | None = None
    corners: WayName | None = None
    strip_sets: WayName | None = None
    wish: MakingWish | None = None
    make: MakeWish = "as a maker would"
    oversize: float = 0.0
    set_squaring: float = 0.5
    points: Points = "true"
    on_paper: tuple[str, ...] = ()

    def find_way(self, unit: BatchedUnit) -> WayName | None:
        """Return the way that is named for a unit, "one by one" where none may be, None where a choice is left."""
        names: dict[BatchedUnit, WayName | None] = {
            "half-square": self.half_squares, "quarter-square": self.quarter_squares,
            "half-rectangle": self.half_rectangles, "geese": self.geese, "corners": self.corners,
            "strip set": self.strip_sets,
        }  # fmt: skip
        return names[unit] or (SINGLY if self.is_singly else None)

    @property
    def is_singly(self) -> bool:
        """Whether what is not named is cut and sewn piece by piece."""
        return self.wish is None and self.make == SINGLY

    @property
    def has_batches(self) -> bool:
        """Whether any unit may come out of a batch."""
        pointed = self.half_squares, self.quarter_squares, self.half_rectangles, self.geese, self.corners
        return not self.is_singly or any(way not in (None, SINGLY) for way in (*pointed, self.strip_sets))


@dataclass(frozen=True)
class Cloths:
    """Rectangles of one fabric for one batch.

    Attributes
    ----------
    name
        The role of the fabric in the unit: "first", "second", "goose", "sky".
    width, height
        Exact cut size in inches.
    number
        The number for one batch.
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
        The cut shapes of one batch, exact.
    makes
        Units from one batch.
    batches
        The number of batches.
    spare
        Units beyond the number needed.
    cuts
        Cuts in all: one for each square or rectangle cut from its strip, and the cuts that part it or the sewn
        cloth; cutting the strips does not count.
    seams
        Lines of sewing in all.
    cloth
        Inches of length of the usable width, strips counted square by square, at the ruler's sizes.
    trim
        Inches by which a unit is too large before trimming.
    bias
        Whether the unit's outer edges are on the bias.
    minutes
        Of cutting and sewing in all; a seam longer than `LONG` counts by its length.
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
    minutes: float = 0.0


@dataclass(frozen=True)
class Made:
    """One kind of unit made several at a time.

    A role is the place of a fabric in the unit: for half squares the two sides; for half rectangles, the long side
    level, the lower triangle and the upper; for quarter squares the four,
    counter-clockwise; for geese the goose, then its sky at the left and at the right, the goose's long side at the
    bottom; for corners the body, then the corners counter-clockwise from the lower left; for a strip set the strips
    from the left; for a block on paper every piece, paper by paper, in the order of its numbers.

    Attributes
    ----------
    id
        Short unique name: "U1".
    unit, way
        The kind of unit, and its way.
    size
        Finished (width, height) of a unit, inches.
    fabrics
        The fabric of each role.
    units
        The patches of each unit, role by role.
    blanks
        The cut shapes of all batches; each is cut from one fabric.
    sizes
        Printed (along, across) of each blank: length and width for a strip; inches, rounded up.
    each
        The number of each blank in one batch.
    uses
        For each role its blank, by the place in `blanks`.
    batches, makes
        The number of batches, and the units from each.
    over
        Inches by which a unit is too large before trimming.
    bias
        Whether the outer edges of a unit are on the bias.
    legs
        For corners: the finished short side at each corner of the unit, zero for a corner without a triangle.
    widths
        For strip sets: the finished width of each strip.
    segment
        For strip sets: the printed width of each cut across the set; zero elsewhere.
    sewn
        Steps of the sewing plan done by the batches, with the number of copies of their unit.
    slant
        For strip sets: the angle from a cut across the set, from the first strip on, counter-clockwise to its seams;
        degrees, 90 for a cut square across.
    rising
        For half rectangles: whether the seam rises to the right, the long side level.
    cuts, seams
        Cuts and lines of sewing in all, as for `Way`.
    segments
        For strip sets with segments of their own: one for each unit, in the order of `units`; empty elsewhere. A unit
        then lists its patches from the foot, and `uses` gives the blanks of the first set, then of the second, ...
    apart
        For such sets: segments that are taken apart for strips to be sewn on.
    lengths
        For such sets: the printed length of each set's strips.
    loop
        For such sets: whether the first strip is sewn to the last.
    papers
        For a block on paper: its papers, the fabric of each piece in the place of its slot; None elsewhere.
    name
        For a block on paper: the name of the unit.
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
    slant: float = 90.0
    rising: bool = True
    cuts: int = 0
    seams: int = 0
    segments: tuple[SetSegment, ...] = ()
    apart: tuple[SetSegment, ...] = ()
    lengths: tuple[float, ...] = ()
    loop: bool = False
    papers: FoundationPlan | None = None
    name: str = ""

    @property
    def left(self) -> tuple[float, ...]:
        """What is left of each strip set's length when its segments are cut, inches; for others empty."""
        if self.segments:
            whole = (*self.segments, *self.apart)
            taken = [sum(one.width for one in whole if one.number == n) for n in range(len(self.lengths))]
            return tuple(length - used for length, used in zip(self.lengths, taken, strict=True))
        if self.unit != "strip set":
            return ()
        angle = radians(self.slant)
        lost = abs(cos(angle)) * max(width for _, width in self.sizes)
        return (min(length for length, _ in self.sizes) - (self.makes * self.segment + lost) / sin(angle),)

    @property
    def spare(self) -> int:
        """Units beyond the number needed."""
        return self.batches * self.makes - len(self.units)


@dataclass(frozen=True)
class UnitWays:
    """A kind of unit in the top, and the ways of making it.

    Attributes
    ----------
    unit, size, fabrics, count
        As in `Made`.
    ways
        Each with its cloth, cuts and seams.
    chosen
        Name of the chosen way.
    why
        The reasons for leaving out other ways.
    name
        For a block that may be sewn on paper: the name of the unit.
    """

    unit: MadeUnit
    size: tuple[float, float]
    fabrics: tuple[str, ...]
    count: int
    ways: tuple[Way, ...]
    chosen: WayName
    why: tuple[Notice, ...] = ()
    name: str = ""


@dataclass(frozen=True)
class MakingPlan:
    """The units made several at a time, and the cut shapes that replace their pieces.

    Attributes
    ----------
    made
        Each kind of unit made in batches.
    cut_list
        The cut shapes, fabric by fabric: the remaining pieces, and the blanks of the batches.
    pieces
        The same by piece, as printed; pieces that are not cut are left out.
    choices
        Every kind of unit in the top, with its possible ways; these are not part of the plan.
        A sketch lists them only if its study asks for ways.
    assumptions
        What is printed with the result.
    blunt
        How triangles are cut off strips with a blunt ruler, where the study asks for that.
    """

    made: tuple[Made, ...]
    cut_list: CutList
    pieces: tuple[Piece, ...]
    choices: tuple[UnitWays, ...] = field(default=(), compare=False)
    assumptions: tuple[Notice, ...] = ()
    blunt: tuple[BluntCut, ...] = ()

    @cached_property
    def ready(self) -> Mapping[int, Mapping[str, int]]:
        """Step number -> made id -> the number of copies with this seam sewn in the batches."""
        found: dict[int, dict[str, int]] = {}
        for made in self.made:
            for number, copies in made.sewn:
                found.setdefault(number, {})[made.id] = copies
        return found

    @property
    def cuts(self) -> int:
        """Cuts in all: one for each single piece, and those of the batches."""
        return sum(piece.count for piece in self.pieces if piece.patches) + sum(made.cuts for made in self.made)

    @property
    def saved(self) -> int:
        """Lines of sewing that the batches save."""
        singly = sum(len(unit) - 1 for made in self.made for unit in made.units)
        return singly - sum(made.seams for made in self.made)

    @cached_property
    def patches(self) -> frozenset[str]:
        """Every patch made in a batch."""
        return frozenset(patch for made in self.made for unit in made.units for patch in unit)
