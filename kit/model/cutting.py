"""Cut lists and cutting plans: the pieces, their cloth, and the order of cutting."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, TypeAlias

from kit.geometry.congruence import Hand
from kit.geometry.outlines import Outline
from kit.lengths import CM
from kit.model.enough_from import EnoughFrom
from kit.model.fabrics import Supply
from kit.model.notices import Notice

PieceKind: TypeAlias = Literal[
    "square", "rectangle", "half-square triangle", "quarter-square triangle", "half-rectangle triangle", "60° triangle",
    "parallelogram", "trapezoid", "template",
]  # fmt: skip
"""What a maker calls a cut shape."""
Nesting: TypeAlias = Literal["never", "worth it", "always"]
"""When pieces are nested in two directions: only if that saves a step in which shops sell cloth, or regardless."""
AS_IT_COMES = 0.1 * CM
"""Inches: a pre-cut that is less than this wider than a piece is taken as it comes."""
LONGEST_RULER = 24.0
"""Inches: the default length of ruler and mat (common practice, no source)."""


@dataclass(frozen=True)
class ClothWishes:
    """How cloth is cut and bought; keys of the [cutting] table. Lengths in inches.

    Attributes
    ----------
    nesting
        "never": every strip is a plain row; "worth it": nested where that saves `shop_step`; "always": least cloth.
    ruler
        The length of ruler and mat: no strip is wider, except those cut along the cloth; None without a limit.
    long_cuts
        The most cloth spent on cutting long pieces along the cloth, so that they need no joins.
    margin
        Part of the length bought on top for mistakes; a fabric may have its own.
    margin_least
        The least margin, if there is any.
    shop_step
        The step in which shops sell cloth: an eighth of a yard, or 10 cm.
    """

    nesting: Nesting = "worth it"
    ruler: float | None = LONGEST_RULER
    long_cuts: float = 9.0
    margin: float = 0.05
    margin_least: float = 1.0
    shop_step: float = 4.5

    def find_margin(self, length: float, part: float | None = None) -> float:
        """Return the inches bought on top of a length; `part` is the margin of the fabric, None for the usual one."""
        share = self.margin if part is None else part
        return max(share * length, self.margin_least) if share and length else 0.0


LEAST_CLOTH = ClothWishes("always", None, 0.0, 0.0, 0.0)
"""Wishes of a plan that takes the least cloth, whatever it is to cut: no ruler, no margin."""


@dataclass(frozen=True)
class Piece:
    """One kind of cut shape and its count.

    Attributes
    ----------
    id
        Short unique name: "A1".
    kind
        What a maker calls the shape.
    name
        Its name in the design: "blade".
    count
        The number needed.
    hand
        "left" or "right" if the mirror image is another shape, None otherwise.
    slot
        The role of its fabric.
    cut
        Name of measure -> exact inches, allowances included.
    rounded
        The same, each rounded up to the ruler's step.
    finished
        Name of measure -> exact inches without allowances.
    outline
        The cut outline, allowances included, inches; a longest edge at the bottom, lower left corner at (0, 0),
        right side of the cloth up.
    angles
        Interior angle in degrees at each corner of the outline.
    bias
        For each edge of the outline, whether it runs off the straight grain.
    outside_bias
        The number of bias edges on the outside of the top.
    patches
        Ids of the patches made from it.
    turns
        For each patch, the edge of its (sewn) outline that is edge 0 of the piece.
    fabric
        The fabric, after a colouring has given one to each patch.
    headings
        For each patch, the direction of the piece's first edge in the top, degrees counter-clockwise from level; empty
        if unknown.
    """

    id: str
    kind: PieceKind
    name: str
    count: int
    hand: Hand | None
    slot: str
    cut: Mapping[str, float]
    rounded: Mapping[str, float]
    finished: Mapping[str, float]
    outline: Outline
    angles: tuple[float, ...]
    bias: tuple[bool, ...]
    outside_bias: int
    patches: tuple[str, ...]
    turns: tuple[int, ...]
    fabric: str | None = None
    headings: tuple[float, ...] = ()


@dataclass(frozen=True)
class CutList:
    """Every piece of a patchwork.

    Attributes
    ----------
    pieces
        Sorted by slot, then largest first.
    allowance
        Seam allowance in inches.
    step
        Cut sizes are rounded up to a multiple of this, inches.
    """

    pieces: tuple[Piece, ...]
    allowance: float
    step: float = 0.125

    @cached_property
    def piece_of(self) -> Mapping[str, Piece]:
        """The piece of each patch."""
        return {patch: piece for piece in self.pieces for patch in piece.patches}

    @property
    def slots(self) -> tuple[str, ...]:
        """The slots in their order."""
        return tuple(dict.fromkeys(piece.slot for piece in self.pieces))

    @property
    def count(self) -> int:
        """The number of pieces in all."""
        return sum(piece.count for piece in self.pieces)


@dataclass(frozen=True, slots=True)
class LaidPiece:
    """One piece as it lies in a cut.

    Attributes
    ----------
    piece
        Id of the piece.
    outline
        Its exact cut outline, turned as it lies, inches from the lower left corner of the cut.
    """

    piece: str
    outline: Outline


@dataclass(frozen=True)
class Cut:
    """A rectangle sub-cut from a strip, and the pieces cut from it.

    Attributes
    ----------
    piece
        Id of the piece.
    x, y
        Lower left corner in the strip, inches from its start and its lower edge.
    width, height
        Size along and across the strip, inches.
    count
        Pieces cut from it: 2 for a square cut once on the diagonal, 4 for one cut twice, any number side by side for
        angled pieces; spare pieces do not count.
    shapes
        The place of each piece; empty for a part of a joined piece.
    joined
        The rectangle is sewn end to end with the others of its piece, and the pieces are cut from that length; the
        last rectangle holds the whole count.
    folded
        Cut through two layers: its mirror image lies on the other half of the strip.
    order
        Of a rectangle that is joined: its place in the row, from 1; zero elsewhere.
    """

    piece: str
    x: float
    y: float
    width: float
    height: float
    count: int
    shapes: tuple[LaidPiece, ...] = ()
    joined: bool = False
    folded: bool = False
    order: int = field(default=0, compare=False)


@dataclass(frozen=True)
class Strip:
    """One strip of cloth and its sub-cuts.

    Attributes
    ----------
    height
        Cut width of the strip, inches, measured along the length of yardage.
    length
        Length of the strip, inches: the usable width of yardage.
    cuts
        The sub-cuts, left to right.
    folded
        Cut through two layers folded right sides together, the fold across the middle: the left and right pieces
        mirror one another on the two halves.
    lengthwise
        It holds pieces with the long side along the selvage; they are cut first and narrow the rest.
    start
        Of cloth whose print has a repeat: inches along the cloth from where a repeat begins to its lower edge; of cloth
        that is laid in a stack, from the end of its layer. None where the print does not matter.
    """

    height: float
    length: float
    cuts: tuple[Cut, ...]
    folded: bool = False
    lengthwise: bool = False
    start: float | None = None


@dataclass(frozen=True)
class ClothPlan:
    """The cutting of one fabric.

    Attributes
    ----------
    supply
        The cloth.
    strips
        Strips in the order of cutting, the widest first; of squares, fat quarters and remnants one strip each.
    used
        Inches of length (yardage), strips of a roll, squares or fat quarters otherwise. Where the print matters, from
        the lower edge of the first strip to the upper edge of the last; of a stack, all its layers.
    bound
        The proven least of the same.
    squaring_up
        Inches of length for squaring the ends, on top of `used`; zero for pre-cuts.
    short
        Pieces that the cloth on hand does not yield: piece id -> count.
    margin
        Inches of length bought on top, for mistakes; zero for pre-cuts.
    rows
        What the best plan of plain rows takes, in the unit of `used`; None if nobody looked.
    joins
        Where long pieces could be cut along the cloth or joined: inches of length without and with joins.
    enough
        The width from which `used` is enough, and what to buy below it; None if nobody looked.
    lead
        Inches of length bought on top to reach the first motif, wherever the shop cuts the cloth.
    layer
        Of a stack, inches of length of one layer: whole repeats; zero without a stack.
    plain
        Inches of length that the same pieces take of plain cloth; None if nobody looked.
    """

    supply: Supply
    strips: tuple[Strip, ...]
    used: float
    bound: float
    squaring_up: float
    short: Mapping[str, int]
    margin: float = 0.0
    rows: float | None = None
    joins: tuple[float, float] | None = None
    enough: EnoughFrom | None = None
    lead: float = 0.0
    layer: float = 0.0
    plain: float | None = None

    @property
    def piece_of_cloth(self) -> tuple[float, float]:
        """Inches along and across what strips are cut from; of cloth that yields nothing, as the supply has it."""
        if self.strips:
            return self.strips[0].length, self.strips[0].height
        return self.supply.length or self.supply.width, self.supply.width

    @property
    def gap(self) -> float:
        """The excess of `used` over the proven least, as a part of that least; zero if proved least."""
        return max(0.0, self.used / self.bound - 1) if self.bound > 0 else 0.0

    @property
    def as_bought(self) -> float:
        """The cloth needed before washing: inches of length with squaring up and margin, or a number of pre-cuts."""
        if self.supply.form != "yardage":
            return self.used
        whole = self.used + self.squaring_up + self.margin + self.lead
        return whole / (1 - self.supply.shrinkage) if self.used else 0.0


@dataclass(frozen=True)
class CuttingPlan:
    """The cutting of every piece.

    Attributes
    ----------
    cloths
        One plan for each used supply.
    cloth
        Slot -> inches of length (yardage) or number of strips, without squaring-up.
    bound
        Slot -> the proven least of the same.
    squaring_up
        Slot -> further inches for squaring up the ends.
    short
        Slot -> the missing cloth, in words; empty if everything can be cut.
    assumptions
        What is printed with the result.
    warnings
        What the maker should look at.
    """

    cloths: tuple[ClothPlan, ...]
    cloth: Mapping[str, float]
    bound: Mapping[str, float]
    squaring_up: Mapping[str, float]
    short: Mapping[str, str]
    assumptions: tuple[Notice, ...]
    warnings: tuple[Notice, ...] = ()

    @property
    def gap(self) -> float:
        """The largest (cloth - bound) / bound of all slots; zero if the plan is proved least."""
        return max((self.cloth[slot] / self.bound[slot] - 1 for slot in self.cloth if self.bound[slot]), default=0.0)
