"""What a finished quilt has besides its top: borders, backing, batting, binding, sleeve, label. Lengths in inches."""

from dataclasses import dataclass

from kit.geometry.outlines import Outline, Point
from kit.model.finishing_ways import BackingWay, BattingWay, BindingGrain, BorderWay, Corner, Fold, JoinKind
from kit.model.frames import Side


@dataclass(frozen=True, slots=True)
class BorderFit:
    """One length for two opposite borders, from what the top measures.

    Attributes
    ----------
    length
        The mean of the measurements: both borders are cut to it, with their allowances.
    measured
        What she measured, edge to edge and through the middle, with the raw edges.
    ease
        The most by which an edge differs from `length`; it is eased in.
    share
        The same as a part of `length`.
    per_quarter
        What is eased in between two quarter marks.
    """

    length: float
    measured: tuple[float, ...]
    ease: float
    share: float
    per_quarter: float


@dataclass(frozen=True, slots=True)
class BorderPlan:
    """One border round the top.

    Attributes
    ----------
    number
        1 for the innermost.
    inner
        Finished (width, height) of what it frames.
    finished, cut
        Finished width of the border and the cut width of its strips.
    corner
        "butted", "mitred" or "cornerstones".
    lengths
        Cut lengths of the strips: left, right, bottom, top.
    sides, ends
        How the two upright and the two level strips fit what is measured.
    way
        "crosswise" or "lengthwise": whichever takes less cloth, unless she chose.
    strips, joins
        Strips to cut of the cloth, and joins between them.
    join, join_cost
        "straight" or "diagonal", and what one join takes of the length.
    cloth
        Inches of cloth for the way taken, without squaring up.
    bought
        Inches to ask for.
    other
        Inches of cloth that the other way would take.
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
        What it is cut from: inches across and along the backing, seams included.
    outline
        Where it lies once sewn; the lower left corner of the backing is at (0, 0).
    """

    cut: tuple[float, float]
    outline: Outline


@dataclass(frozen=True, slots=True)
class Backing:
    """One way to make the backing.

    Attributes
    ----------
    way
        "lengthwise" and "crosswise" (where the seams run), "diagonal" (one cut from corner to corner, slid and sewn),
        "wide" (cloth made for backings) or "on hand".
    cloth_width
        Usable width of the cloth; nought for pieces on hand.
    panels
        The pieces, left to right or bottom to top.
    seams
        How many seams are sewn.
    covers
        (width, height) that comes out before it is trimmed.
    cloth
        Inches of length off the bolt, without squaring up; nought for pieces on hand.
    bought
        Inches to ask for.
    offcuts
        (width, length) of the pieces that are left over.
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
        """Square inches that are bought."""
        return self.bought * self.cloth_width


@dataclass(frozen=True, slots=True)
class BackingPlan:
    """The backing and the other ways to make it.

    Attributes
    ----------
    needed
        (width, height) that the backing has to have: the quilt and its overhang on all sides.
    overhang
        Overhang at each side, and at each end.
    allowance
        Allowance of the backing's seams.
    chosen
        The way that is taken.
    ranked
        Every way that serves, the least cloth and then the fewest seams first.
    refused
        Ways that do not serve, each with its reason.
    """

    needed: tuple[float, float]
    overhang: tuple[float, float]
    allowance: float
    chosen: Backing
    ranked: tuple[Backing, ...]
    refused: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Batting:
    """One way to have the batting.

    Attributes
    ----------
    way
        "package" or "roll".
    name
        What it is called.
    size
        Size of the package; width of the roll and length taken off it.
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
        """Square inches that are bought."""
        return self.size[0] * self.size[1]


@dataclass(frozen=True, slots=True)
class BattingPlan:
    """The batting that is taken, what it has to hold, and every other way, the best first."""

    needed: tuple[float, float]
    chosen: Batting
    ranked: tuple[Batting, ...]


@dataclass(frozen=True, slots=True)
class BindingJoin:
    """Where one join of the binding comes to lie.

    Attributes
    ----------
    side
        "bottom", "left", "top" or "right".
    along
        Inches from the corner where that side begins, going clockwise, as it is sewn on.
    at
        The point on the finished edge; the lower left corner of the quilt is at (0, 0).
    corner
        Inches to the nearest corner.
    closing
        It is the join that closes the ring.
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
        Width that shows on each face, and cut width of the strips.
    seam
        How far from the edge it is sewn on: as far as it shows, so that it is full.
    beyond
        How far outside the raw edge of the top batting and backing are trimmed, so that no point is covered.
    perimeter, corners, extra, needed
        Finished perimeter; what four mitred corners take; what is allowed for corners and closing; the length to make.
    lengths
        Length of each strip, in the order of joining; those from left-over cloth first.
    from_left_over
        How many of them come from cloth left over from the top.
    join_cost
        What one join takes of the length.
    total
        Length of the joined strip.
    cloth, bought, cloth_width
        Inches of length off the bolt without squaring up, inches to ask for, usable width.
    square
        Side of the square for bias binding, else None.
    joins
        Where the joins lie, the closing one last.
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
    """A tube along the top edge to hang the quilt by.

    Attributes
    ----------
    finished
        (length, height) once it is sewn on.
    cut
        (length, height) of the cloth, hems and seam included.
    strips, joins
        Strips across the cloth and the joins between them; nought where an offcut of the backing serves.
    offcut
        The offcut of the backing that it is cut from, or None.
    cloth, bought
        Inches of length off the bolt without squaring up, and inches to ask for.
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
    """What is written on the back; the maker's line is left for her hand."""

    lines: tuple[str, ...]
