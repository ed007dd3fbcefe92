"""Sewing plans: the steps from cut pieces to the top, and the findings of their rehearsal."""

from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from kit.geometry.outlines import Outline
from kit.model.pressing import Centres, Press, PressingPlan, PressingWish

__all__ = [
    "Alternative",
    "Assembly",
    "Edge",
    "Press",
    "Rehearsal",
    "SewingPlan",
    "SewingWishes",
    "SewnUnit",
    "Step",
    "StepKind",
]

StepKind: TypeAlias = Literal["join", "partial", "close", "set in", "trim"]
Assembly: TypeAlias = Literal["kit's choice", "as composed", "blocks", "rows", "quarters", "halves"]
"""How a top goes together: from its units as they were composed, from blocks, from rows across the whole, from
quarters or halves, or as the kit finds best."""


@dataclass(frozen=True, slots=True)
class Edge:
    """One edge of one cut piece.

    Attributes
    ----------
    patch
        Id of the piece's patch.
    edge
        Number of the edge of the piece's cut outline; edge i runs from corner i to corner i + 1.
    """

    patch: str
    edge: int


UNTOLD = 1_000_000
"""Numbers from here on are those of steps that come ready and have none on paper."""


@dataclass(frozen=True, slots=True)
class Step:
    """One action at the machine or the cutting mat.

    A seam joins two runs of edges, each in one straight line, read in the same direction of sewing. Lengths along it
    are finished inches, from the beginning of the first run.

    Attributes
    ----------
    number
        From 1, in the order of working.
    unit
        Name of its unit.
    kind
        "join": sew the whole seam; "partial": sew only `sewn` of it and leave the rest for a "close"; "close": sew the
        rest of a partial seam, with both runs in one unit by now; "set in": like join or close, but the seam stops or
        begins at the allowance's corner because no straight line runs through; "trim": cut the unit to an outline.
    first, second
        Patches of the first part and of the added part; `second` is empty for "close" and "trim", and for the later
        legs of a set-in seam.
    along_first, along_second
        The edges that meet, in the direction of sewing.
    offset
        Beginning of the second run, inches from the beginning of the first run; negative if it sticks out before it.
    sewn
        Start and end of the stretch sewn now.
    ragged
        The runs' ends need not meet because the unit is trimmed later.
    press
        The part on the side of the pressed allowances, or "open"; None until pressing is planned.
    trim
        For "trim": the outline after cutting (allowance included), in the frame of the cut outline of the piece of
        `first[0]`.
    stops
        Places along the first run where the stitching begins or stops exactly at the allowance's corner, because
        another seam is set in there; inches from the beginning of the run.
    pressed_back
        Copies of the unit, counted from 0, with the seam pressed to the other side, so that rows nest.
    spun_at
        For the last seam of a four-patch whose seams are spun: the centre, inches from the beginning of the first run.
        Up to there the seam is pressed as `press` says, beyond it to the other part; the stitches of the two seams that
        end there are undone within its allowance. None for any other seam.
    printed
        The number by which the step is called where it is printed or shown, from 1 in the order of printing; zero for a
        step of a unit that comes ready whole, which is not printed. None until the ways of making are known.
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
    spun_at: float | None = None
    printed: int | None = None

    @property
    def told(self) -> int:
        """The number by which the step is called in words and pictures, zero if it has none."""
        return self.number if self.printed is None else self.printed

    @property
    def called(self) -> int:
        """`told`, or for a step without a number on paper one that no told step has: from `UNTOLD` on."""
        return self.told or UNTOLD + self.number


@dataclass(frozen=True, slots=True)
class SewnUnit:
    """A sewn sub-assembly, and its copies.

    Steps are written for the first copy; the n-th patches of all copies have the same piece and the same part.

    Attributes
    ----------
    name
        "column", "block", "row 3", "top".
    copies
        Patches of each copy, in corresponding order; the steps name the first copy.
    parts
        The parts of one copy: piece ids and unit names with their counts, in the order of sewing.
    unfinished
        (width, height) with the outer allowance, in its place in the top, inches.
    """

    name: str
    copies: tuple[tuple[str, ...], ...]
    parts: tuple[tuple[str, int], ...]
    unfinished: tuple[float, float]

    @property
    def count(self) -> int:
        """The number made."""
        return len(self.copies)


@dataclass(frozen=True, slots=True)
class SewingWishes:
    """The maker's choices for the sewing; the keys of the [sewing] table.

    Attributes
    ----------
    pressing
        "nest": so that seams nest at every crossing; "dark": toward the darker side; "sashing": toward the sashing;
        "open".
    partial_seams
        "sew" them, or "split" patches so that every seam runs straight through.
    assembly
        How the top goes together.
    centres
        "spun": the four seams of a four-patch turn the same way round its centre, so that it lies flat; "to one side".
    """

    pressing: PressingWish = "nest"
    partial_seams: Literal["sew", "split"] = "sew"
    assembly: Assembly = "kit's choice"
    centres: Centres = "to one side"


@dataclass(frozen=True, slots=True)
class Alternative:
    """The same top with some patches split so that every seam runs straight through.

    Attributes
    ----------
    splits
        Patch id -> its two or more new outlines.
    pieces_added, seams_added
        The extra pieces and seams.
    """

    splits: tuple[tuple[str, tuple[Outline, ...]], ...]
    pieces_added: int
    seams_added: int


@dataclass(frozen=True)
class SewingPlan:
    """The order of sewing.

    Attributes
    ----------
    steps
        In the order of working; a unit's steps come before the steps that use it.
    units
        The units, the top last.
    partial_seams, set_in_seams
        Their numbers (counting every copy).
    partial_bound, set_in_bound
        The proven least number of each, given the least number of set-in seams.
    alternative
        The cheapest splitting found without partial and set-in seams, or None if not needed.
    pressing
        The pressing of the seams, after it is planned.
    target
        The design: patch id and finished outline, inches. Only for comparison with the result.
    written
        The written steps, each the numbers of its steps in order: a seam with its legs, or a list of seams that go on
        in the same way. One numbered instruction, with its picture, for every copy of the unit.
    written_bound
        A proven least number of written steps. It counts only what no order avoids (each kind of trim, the two stages
        of a partial seam), so for all but small tops it is far under what can be reached.
    """

    steps: tuple[Step, ...]
    units: tuple[SewnUnit, ...]
    partial_seams: int
    set_in_seams: int
    partial_bound: int
    set_in_bound: int
    target: tuple[tuple[str, Outline], ...]
    written: tuple[tuple[int, ...], ...] = ()
    written_bound: int = 0
    alternative: Alternative | None = None
    pressing: PressingPlan | None = None

    def list_written(self, unit: str) -> tuple[tuple[Step, ...], ...]:
        """Return the written steps of a unit, each its steps in order; a plan without any has one for each step."""
        if not self.written:
            return tuple((step,) for step in self.steps if step.unit == unit)
        groups = (tuple(self.steps[number - 1] for number in numbers) for numbers in self.written)
        return tuple(group for group in groups if group[0].unit == unit)


@dataclass(frozen=True)
class Rehearsal:
    """The result of following the written steps.

    Attributes
    ----------
    finished
        (width, height) of the result, without the outer allowance, inches.
    agrees
        Whether the result is the design.
    differences
        Sentences with the step, the patch and both figures.
    placed
        Patch id -> finished outline in its rehearsed place.
    left_over
        Patches whose pieces were cut and never sewn.
    """

    finished: tuple[float, float]
    agrees: bool
    differences: tuple[str, ...]
    placed: dict[str, Outline] = field(default_factory=dict)
    left_over: tuple[str, ...] = ()
