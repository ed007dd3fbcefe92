"""Sewing plans: the steps that turn cut pieces into the top, and what the rehearsal of them finds."""

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from kit.geometry.outlines import Outline
from kit.model.pressing import Press, PressingPlan, PressingWish

__all__ = ["Alternative", "Edge", "Press", "Rehearsal", "SewingPlan", "SewingWishes", "SewnUnit", "Step", "StepKind"]

StepKind: TypeAlias = Literal["join", "partial", "close", "set in", "trim"]


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of one cut piece.

    Attributes
    ----------
    patch
        Id of the patch that the piece becomes.
    edge
        Number of the edge of the piece's cut outline; edge i runs from corner i to corner i + 1.
    """

    patch: str
    edge: int


@dataclass(frozen=True, slots=True)
class Step:
    """One action at the machine or the cutting mat.

    A seam joins two runs of edges, each in one straight line, read in the same direction of sewing. Lengths along it
    are finished inches, from where the first run begins.

    Attributes
    ----------
    number
        From 1, in the order of working.
    unit
        Name of the unit that it belongs to.
    kind
        "join": sew the whole seam; "partial": sew only `sewn` of it, the rest waits for a "close"; "close": sew the
        rest of a partial seam, both runs being in one unit by now; "set in": like join or close, but the seam stops or
        begins at the allowance's corner because no straight line runs through; "trim": cut the unit to an outline.
    first, second
        Patches of the part that lies and of the part that is added; `second` is empty for "close" and "trim", and for
        the later legs of a set-in seam.
    along_first, along_second
        The edges that meet, in the direction of sewing.
    offset
        Where the second run begins, inches from the beginning of the first run; negative when it sticks out before it.
    sewn
        From where to where is sewn now.
    ragged
        The runs' ends need not meet because the unit is trimmed later.
    press
        To which part's side the allowances are pressed, or "open"; None until pressing is planned.
    trim
        For "trim": the outline to cut to (allowance included), in the frame of the cut outline of the piece of
        `first[0]`.
    stops
        Places along the first run where the stitching begins or stops exactly at the allowance's corner, because
        another seam is set in there; inches from where the run begins.
    pressed_back
        Copies of the unit, counted from 0, in which the seam is pressed to the other side, so that rows nest.
    """

    number: int
    unit: str
    kind: StepKind
    first: tuple[str, ...]
    second: tuple[str, ...] = ()
    along_first: tuple[Edge, ...] = ()
    along_second: tuple[Edge, ...] = ()
    offset: float = 0.0
    sewn: tuple[float, float] = (0.0, 0.0)
    ragged: bool = False
    press: Press | None = None
    trim: Outline | None = None
    stops: tuple[float, ...] = ()
    pressed_back: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class SewnUnit:
    """A sewn sub-assembly, and how many alike are made.

    Steps are written for the first copy; the n-th patch of every copy is of the same piece and takes the same part.

    Attributes
    ----------
    name
        "column", "block", "row 3", "top".
    copies
        Patches of each copy, in corresponding order; the first copy is the one that the steps name.
    parts
        What one copy is made of: piece ids and unit names with how many of each, in the order of sewing.
    unfinished
        (width, height) with the outer allowance, as it lies in the top, inches.
    """

    name: str
    copies: tuple[tuple[str, ...], ...]
    parts: tuple[tuple[str, int], ...]
    unfinished: tuple[float, float]

    @property
    def count(self) -> int:
        """How many are made."""
        return len(self.copies)


@dataclass(frozen=True, slots=True)
class SewingWishes:
    """What she decides about the sewing; the keys of the [sewing] table.

    Attributes
    ----------
    pressing
        "nest": so that seams lock at every crossing; "dark": toward the darker side; "sashing": toward the sashing;
        "open".
    partial_seams
        "sew" them, or "split" patches so that every seam runs straight through.
    """

    pressing: PressingWish = "nest"
    partial_seams: Literal["sew", "split"] = "sew"


@dataclass(frozen=True, slots=True)
class Alternative:
    """The same top with some patches split so that every seam runs straight through.

    Attributes
    ----------
    splits
        Patch id -> the two or more outlines that it is cut into.
    pieces_added, seams_added
        What that costs.
    """

    splits: tuple[tuple[str, tuple[Outline, ...]], ...]
    pieces_added: int
    seams_added: int


@dataclass(frozen=True)
class SewingPlan:
    """In which order the pieces go together.

    Attributes
    ----------
    steps
        In the order of working; a unit's steps come before the steps that use it.
    units
        The units, the top last.
    partial_seams, set_in_seams
        How many there are (counting every copy).
    partial_bound, set_in_bound
        The proven least of either, given the least of set-in seams.
    alternative
        The cheapest splitting found without partial and set-in seams, or None where none is needed.
    pressing
        How the seams are pressed, once that is planned.
    target
        The design: patch id and finished outline, inches. Only for comparison with what comes out.
    """

    steps: tuple[Step, ...]
    units: tuple[SewnUnit, ...]
    partial_seams: int
    set_in_seams: int
    partial_bound: int
    set_in_bound: int
    target: tuple[tuple[str, Outline], ...]
    alternative: Alternative | None = None
    pressing: PressingPlan | None = None


@dataclass(frozen=True)
class Rehearsal:
    """What comes out when the written steps are followed.

    Attributes
    ----------
    finished
        (width, height) of what comes out, without the outer allowance, inches.
    agrees
        Whether it is the design.
    differences
        In sentences: the step, the patch, both figures.
    placed
        Patch id -> finished outline where the rehearsal put it.
    left_over
        Patches whose pieces were cut and never sewn.
    """

    finished: tuple[float, float]
    agrees: bool
    differences: tuple[str, ...]
    placed: dict[str, Outline] = field(default_factory=dict)
    left_over: tuple[str, ...] = ()
