"""The parts of a finished quilt besides its top: borders, backing, batting, binding, sleeve, label; in inches."""

from dataclasses import dataclass

from kit.geometry.outlines import Outline, Point
from kit.model.finishing_ways import BackingWay, BattingWay, BindingGrain, BorderWay, Corner, Fold, JoinKind
from kit.model.frames import Side
from kit.model.notices import Notice


@dataclass(frozen=True, slots=True)
class BorderFit:
    """One length for two opposite borders, from the measurements of the top.

    Attributes
    ----------
    length
        The mean of the measurements: both borders are cut to it, with their allowances.
    measured
        The measurements from edge to edge and through the middle, with the raw edges.
    ease
        The largest difference of an edge from `length`; it is eased in.
    share
        The same as a part of `length`.
    per_quarter
        The ease between two quarter marks.
    """

    length: float
    measured: tuple[float, ...]
    ease: float
    share: float
    per_quarter: float


@dataclass(frozen=True, slots=True)
class BorderPlan:
    """One border around the top.

    Attributes
    ----------
    number
        1 for the innermost.
    inner
        Finished (width, height) of the rectangle inside it.
    finished, cut
        Finished width of the border and the cut width of its strips.
    corner
        "butted", "mitred" or "cornerstones".
    lengths
        Cut lengths of the strips: left, right, bottom, top.
    sides, ends
        The fit of the two upright and the two level strips to the measurements.
    way
        "crosswise" or "lengthwise": whichever takes less cloth, unless the maker chose.
    strips, joins
        Strips to cut from the cloth, and joins between them.
    join, join_cost
        "straight" or "diagonal", and the length lost in one join.
    cloth
        Inches of cloth for the chosen way, without squaring up.
    bought
        Inches to buy.
    other
        Inches of cloth for the other way.
    """

    number: int
    inner: tuple[float, float]
    finished: float
    cut: float
    corner: Corner
    lengths: tuple[float, ...]
    sides: BorderFit
    ends: BorderFit
    way: BorderWay
    strips: int
    joins: int
    join: JoinKind
    join_cost: float
    cloth: float
    bought: float
    other: float


@dataclass(frozen=True, slots=True)
class Panel:
    """One piece of the backing.

    Attributes
    ----------
    cut
        The size to cut: inches across and along the backing, seams included.
    outline
        Its place in the sewn backing; the lower left corner of the backing is at (0, 0).
    source, place, turned
        The piece on hand that it is cut from, counted from 0 (None: a piece is taken whole); inches from the lower left
        corner of that piece; whether the panel lies on its side in it.
    """

    cut: tuple[float, float]
    outline: Outline
    source: int | None = None
    place: tuple[float, float] = (0.0, 0.0)
    turned: bool = False


@dataclass(frozen=True, slots=True)
class Backing:
    """One way to make the backing.

    Attributes
    ----------
    way
        "lengthwise" or "crosswise" (the direction of the seams), "diagonal" (one cut from corner to corner, slid and
        sewn), "wide" (cloth made for backings) or "on hand".
    cloth_width
        Usable width of the cloth; zero for pieces on hand.
    panels
        The pieces, left to right or bottom to top.
    seams
        The number of seams.
    covers
        (width, height) before trimming.
    cloth
        Inches of length off the bolt, without squaring up; zero for pieces on hand.
    bought
        Inches to buy.
    offcuts
        (width, length) of the leftover pieces.
    """

    way: BackingWay
    cloth_width: float
    panels: tuple[Panel, ...]
    seams: int
    covers: tuple[float, float]
    cloth: float
    bought: float
    offcuts: tuple[tuple[float, float], ...]

    @property
    def area(self) -> float:
        """Square inches bought."""
        return self.bought * self.cloth_width


@dataclass(frozen=True, slots=True)
class BackingPlan:
    """The backing and the other ways to make it.

    Attributes
    ----------
    needed
        (width, height) of the backing: the quilt and its overhang on all sides.
    overhang
        Overhang at each side, and at each end.
    allowance
        Allowance of the backing's seams.
    chosen
        The chosen way.
    ranked
        Every possible way, the least cloth and then the fewest seams first.
    refused
        Impossible ways, each with its reason.
    """

    needed: tuple[float, float]
    overhang: tuple[float, float]
    allowance: float
    chosen: Backing
    ranked: tuple[Backing, ...]
    refused: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True)
class Batting:
    """One way to buy the batting.

    Attributes
    ----------
    way
        "package" or "roll".
    name
        Its name.
    size
        Size of the package; width of the roll and the length cut from it.
    turned
        The long side of the quilt lies along the short side of the package, or across the roll.
    joins
        Butted joins between lengths of batting.
    """

    way: BattingWay
    name: str
    size: tuple[float, float]
    turned: bool
    joins: int

    @property
    def area(self) -> float:
        """Square inches bought."""
        return self.size[0] * self.size[1]


@dataclass(frozen=True, slots=True)
class BattingPlan:
    """The chosen batting, the size needed, and every other way, the best first."""

    needed: tuple[float, float]
    chosen: Batting
    ranked: tuple[Batting, ...]


@dataclass(frozen=True, slots=True)
class BindingJoin:
    """The place of one join of the binding.

    Attributes
    ----------
    side
        "bottom", "left", "top" or "right".
    along
        Inches from the first corner of that side, going clockwise, in the direction of sewing.
    at
        The point on the finished edge; the lower left corner of the quilt is at (0, 0).
    corner
        Inches to the nearest corner.
    closing
        Whether it closes the ring.
    """

    side: Side
    along: float
    at: Point
    corner: float
    closing: bool = False


@dataclass(frozen=True, slots=True)
class BindingPlan:
    """The binding.

    Attributes
    ----------
    grain
        "straight", "bias square" (one square, cut into one continuous strip) or "bias lengths" (strips off the bolt).
    fold, join
        "double" or "single"; "straight" or "diagonal".
    finished, cut
        Visible width on each side, and cut width of the strips.
    seam
        Distance of its seam from the edge: equal to the visible width, so that the binding is full.
    beyond
        Distance outside the raw edge of the top for trimming batting and backing, so that no point is covered.
    perimeter, corners, extra, needed
        Finished perimeter; length for four mitred corners; length for corners and closing; the length to make.
    lengths
        Length of each strip, in the order of joining; strips from left-over cloth first.
    from_left_over
        The number of strips from cloth left over from the top.
    join_cost
        Length lost in one join.
    total
        Length of the joined strip.
    cloth, bought, cloth_width
        Inches of length off the bolt without squaring up, inches to buy, usable width.
    square
        Side of the square for bias binding, else None.
    joins
        The places of the joins, the closing one last.
    clear
        The least distance from a join to a corner.
    """

    grain: BindingGrain
    fold: Fold
    join: JoinKind
    finished: float
    cut: float
    seam: float
    beyond: float
    perimeter: float
    corners: float
    extra: float
    needed: float
    lengths: tuple[float, ...]
    from_left_over: int
    join_cost: float
    total: float
    cloth: float
    bought: float
    cloth_width: float
    square: float | None
    joins: tuple[BindingJoin, ...]
    clear: float


@dataclass(frozen=True, slots=True)
class SleevePlan:
    """A tube along the top edge for hanging the quilt.

    Attributes
    ----------
    finished
        (length, height) after sewing.
    cut
        (length, height) of the cloth, hems and seam included.
    strips, joins
        Strips across the cloth and the joins between them; zero if an offcut of the backing serves.
    offcut
        The offcut of the backing for the sleeve, or None.
    cloth, bought
        Inches of length off the bolt without squaring up, and inches to buy.
    """

    finished: tuple[float, float]
    cut: tuple[float, float]
    strips: int
    joins: int
    offcut: tuple[float, float] | None
    cloth: float
    bought: float


@dataclass(frozen=True, slots=True)
class Label:
    """What is written on the back.

    Attributes
    ----------
    title
        Title of the quilt.
    finished
        (width, height) before washing.
    fibre
        Of top, batting and backing, in the maker's words.
    date
        In the maker's words; empty leaves a blank line.
    maker
        Always empty: the line for the maker's name stays blank.
    """

    title: str
    finished: tuple[float, float]
    fibre: str
    date: str = ""
    maker: str = ""
