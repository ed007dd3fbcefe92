"""An edition as it is printed: the figures of its tables, kept so that a later edition can be compared with it."""

from dataclasses import dataclass

from kit.lengths import System
from kit.model.findings import Questions

SO_FAR = "so far"
"""A part of a step that earlier steps of its unit made."""


@dataclass(frozen=True, slots=True)
class RecordedPiece:
    """One row of the list of pieces.

    Attributes
    ----------
    id, name, kind, slot, hand
        As printed; the hand is empty where there is none.
    count
        The number to cut.
    size
        Name of measure -> the printed cut size, inches, rounded up.
    fabrics
        (fabric, number of pieces cut from it).
    step
        The first step that takes it up, 0 if none does.
    patches
        Ids of its patches; empty for the cut shapes of units made several at a time.
    """

    id: str
    name: str
    kind: str
    slot: str
    hand: str
    count: int
    size: tuple[tuple[str, float], ...]
    fabrics: tuple[tuple[str, int], ...]
    step: int
    patches: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RecordedCloth:
    """One row of the requirements: inches of length for yardage, else a number of pre-cuts.

    `strips` are the heights of its strips, inches; `squaring` what squaring up and the margin take.
    """

    fabric: str
    slot: str
    form: str
    width: float
    needed: float
    bought: float
    strips: tuple[float, ...]
    squaring: float


@dataclass(frozen=True, slots=True)
class RecordedUnit:
    """One unit: how many, its unfinished size, its last step, and the pieces and units in it."""

    name: str
    count: int
    size: tuple[float, float]
    step: int
    parts: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class RecordedMade:
    """One kind of unit made several at a time: its fabrics, its way, batches, units from each, its trims.

    `segments` are the widths of the cuts across a strip set of several segments.
    """

    id: str
    unit: str
    fabrics: tuple[str, ...]
    way: str
    batches: int
    makes: int
    over: float
    segment: float
    segments: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class RecordedStep:
    """One step.

    Attributes
    ----------
    number, unit, kind
        As planned.
    first, second
        What its parts are: the slot and name of a piece, the name of a unit, or SO_FAR for what earlier steps made of
        the unit; empty where there is none. So a step is known again whatever its number and its sizes.
    taken
        Ids of the pieces that it takes up one by one.
    press, back
        To which side it is pressed, empty where it is not, and how many copies are pressed the other way.
    stretch, stops
        From where to where it is sewn if not along the whole, and where it stops; inches.
    words
        What is printed.
    """

    number: int
    unit: str
    kind: str
    first: str
    second: str
    taken: tuple[str, ...]
    press: str
    back: int
    stretch: tuple[float, ...]
    stops: tuple[float, ...]
    words: str


@dataclass(frozen=True, slots=True)
class RecordedFinish:
    """One figure of the finishing: its part, which figure it is, and one or two lengths in inches, or a number."""

    part: str
    figure: str
    value: tuple[float, ...]


@dataclass(frozen=True)
class PrintRecord:
    """What one size of one edition prints.

    Attributes
    ----------
    title, edition, date, fingerprint, system
        Where it comes from.
    allowance, rounding, finished
        Seam allowance, step of the cut sizes, finished width and height of the top, inches.
    pieces, cloth, made, units, steps, finishing
        Its tables.
    placed
        Patch id -> fabric.
    asked
        What its testers are asked.
    """

    title: str
    edition: str
    date: str
    fingerprint: str
    system: System
    allowance: float
    rounding: float
    finished: tuple[float, float]
    pieces: tuple[RecordedPiece, ...]
    cloth: tuple[RecordedCloth, ...]
    made: tuple[RecordedMade, ...]
    units: tuple[RecordedUnit, ...]
    steps: tuple[RecordedStep, ...]
    finishing: tuple[RecordedFinish, ...]
    placed: tuple[tuple[str, str], ...]
    asked: Questions
