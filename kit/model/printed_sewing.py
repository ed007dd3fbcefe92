"""What is printed about sewing, as texts and as drawn: what a stranger with the page has in hand, and nothing else."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from kit.geometry.outlines import Outline, Point
from kit.model.sewing import Step, StepKind


@dataclass(frozen=True)
class PrintedShape:
    """One row of the list of pieces, with its shape: `cut` is the size in words, `outline` the cut shape, inches."""

    id: str
    name: str
    hand: str
    count: int
    cut: str
    outline: Outline


@dataclass(frozen=True)
class PrintedPicture:
    """The picture of a card, in inches of the quilt, turned as it is printed.

    Attributes
    ----------
    added
        Number of a step -> the outsides of the part that it adds, drawn with a heavy line.
    lying
        Number of a step -> the outsides of the part that lies there, where it is seen for the first time.
    letters
        Letter -> the end of a seam, or the corner of a trim, that it marks.
    dots
        Where stitching begins or stops on the seam line.
    spins
        Number of a step with a spun seam -> the arrow on either side of its centre, from tail to head.
    """

    added: Mapping[int, tuple[Outline, ...]] = field(default_factory=dict)
    lying: Mapping[int, tuple[Outline, ...]] = field(default_factory=dict)
    letters: Mapping[str, Point] = field(default_factory=dict)
    dots: tuple[Point, ...] = ()
    spins: Mapping[int, tuple[Outline, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class ReadySeam:
    """A seam that comes sewn out of a batch: the parts by their names, its ends in the picture; `press` is drawn.

    `added` is empty for the rest of a partial seam; `stops` says at which ends the stitching begins or stops exactly at
    the allowance's corner. Seams of a unit that comes ready as a whole have no number on
    paper; theirs are from `UNTOLD` on.
    """

    number: int
    kind: StepKind
    added: str
    lies: str
    ends: tuple[Point, Point]
    press: str = ""
    stops: tuple[bool, bool] = (False, False)


@dataclass(frozen=True)
class PrintedCard:
    """One card: its number and "make 12", sentences, the list with its heads in the first row, the result, the picture.

    A card of a unit out of batches has its seams in `ready`, as they are drawn.
    """

    number: str
    make: str
    text: str
    rows: tuple[tuple[str, ...], ...] = ()
    result: str = ""
    picture: PrintedPicture = field(default_factory=PrintedPicture)
    ready: tuple[ReadySeam, ...] = ()


@dataclass(frozen=True)
class PrintedUnit:
    """A unit: its name and number, what one takes, its size and its sets in words, its cards."""

    name: str
    heading: str
    parts: str
    size: str
    sets: str
    cards: tuple[PrintedCard, ...]


@dataclass(frozen=True)
class PrintedSewing:
    """Everything printed about sewing: the allowance in words, the pieces, the units in order, the batches' names."""

    allowance: str
    pieces: tuple[PrintedShape, ...]
    units: tuple[PrintedUnit, ...]
    batches: tuple[str, ...] = ()


@dataclass(frozen=True)
class WordsSewn:
    """What came of sewing by the printed words.

    Attributes
    ----------
    seams, ready, lettered, dots
        How many seams were followed, how many came out of batches, how many were told by letters, how many dots.
    pieces
        How many pieces the top holds.
    steps
        The seams as they were read, in the names of the design.
    faults
        What cannot be done or does not agree, each with its step; empty if the quilt came out.
    """

    seams: int
    ready: int
    lettered: int
    dots: int
    pieces: int
    steps: tuple[Step, ...] = ()
    faults: tuple[str, ...] = ()
