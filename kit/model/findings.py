"""What testers of a pattern are asked, and what they found. Lengths in inches."""

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

from kit.lengths import System

Severity: TypeAlias = Literal["read twice", "stopped", "cloth lost"]
"""How bad a stumble was: the words had to be read twice; the work stopped, or a seam was unpicked; cloth was lost."""
SEVERITIES: tuple[Severity, ...] = get_args(Severity)
PARTS = (
    "cover",
    "notes",
    "requirements",
    "fabric key",
    "pieces",
    "cutting",
    "map",
    "borders",
    "finishing",
    "templates",
)
"""Parts of the printed pattern in which a tester may stumble, besides its steps, pieces, units and fabrics."""


@dataclass(frozen=True, slots=True)
class AskedSize:
    """One measure to take: after which step, of which unit, and the unfinished size that should come out.

    The step is 0 for a unit that comes ready. `whole` tells whether the unit is finished by then; `count` is the number
    of its copies.
    """

    step: int
    unit: str
    count: int
    size: tuple[float, float]
    whole: bool

    @property
    def place(self) -> str:
        """What the row of the form is called: the step, or the unit that comes ready."""
        return f"{self.step}" if self.step else self.unit


@dataclass(frozen=True, slots=True)
class AskedCloth:
    """One fabric as the pattern states it: inches of length for yardage, else a number of pre-cuts."""

    fabric: str
    letter: str
    form: str
    needed: float
    bought: float


@dataclass(frozen=True, slots=True)
class AskedTime:
    """One stretch of work: its name on the form, its kind in the plan, the unit if it is sewing, the plan's minutes."""

    place: str
    work: str
    unit: str
    minutes: float


@dataclass(frozen=True)
class Questions:
    """Everything that the testers of one size are asked.

    Attributes
    ----------
    title, edition, fingerprint, system
        The tested pattern.
    finished
        Finished width and height of the top.
    sizes, cloth, times
        What to measure, in the order of working.
    places
        Everything in which a tester may stumble, in small letters, with its step; 0 before the sewing, and after it.
    steps
        The number of steps.
    """

    title: str
    edition: str
    fingerprint: str
    system: System
    finished: tuple[float, float]
    sizes: tuple[AskedSize, ...]
    cloth: tuple[AskedCloth, ...]
    times: tuple[AskedTime, ...]
    places: tuple[tuple[str, int], ...]
    steps: int


@dataclass(frozen=True, slots=True)
class Stumble:
    """One place where a tester stumbled: what was read, what was expected, how bad it was, and a free note."""

    tester: str
    place: str
    read: str
    expected: str
    severity: Severity
    note: str = ""


@dataclass(frozen=True)
class TesterForm:
    """One filled form: (place, size), (fabric, amount) and (work, minutes) as given, stumbles, and notes to any row."""

    tester: str
    file: str
    sizes: tuple[tuple[str, tuple[float, ...]], ...]
    cloth: tuple[tuple[str, float], ...]
    minutes: tuple[tuple[str, float], ...]
    stumbles: tuple[Stumble, ...]
    notes: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class FoundPlace:
    """One place of the pattern with everything found there.

    Attributes
    ----------
    step
        The step, or 0 for a part of the pattern that is not a step.
    places
        As the testers wrote it: "5", "A3", "cutting".
    severity
        The worst.
    testers
        Who stumbled here.
    stumbles
        What each wrote; nothing is left out.
    """

    step: int
    places: tuple[str, ...]
    severity: Severity
    testers: tuple[str, ...]
    stumbles: tuple[Stumble, ...]


@dataclass(frozen=True, slots=True)
class ComparedSize:
    """One measured size against the plan: tester -> the difference of each side, inches.

    `out` names the testers whose size is out by more than the limit; `all_out` is True if all of several are, to the
    same side, so that the pattern is more likely to be wrong than their seams.
    """

    asked: AskedSize
    off: tuple[tuple[str, tuple[float, ...]], ...]
    out: tuple[str, ...]
    all_out: bool


@dataclass(frozen=True, slots=True)
class ComparedAmount:
    """Cloth or minutes of one row: what the plan states, and tester -> what it took; `over` names who needed more."""

    place: str
    form: str
    stated: float
    bought: float
    taken: tuple[tuple[str, float], ...]
    over: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unfound:
    """An estimate of the places that nobody has found yet.

    Attributes
    ----------
    method
        "Lincoln-Petersen" for two testers, "Chao" for more, "none" where no estimate is possible.
    found
        Different places found by all together.
    by_tester
        Places found by each.
    common
        Places found by more than one.
    whole
        Estimated places in all; None where no estimate is possible.
    corrected
        For two testers Chapman's estimate, which is less biased where few places are in common; else None.
    spread
        Standard error of Chapman's estimate; else None.
    limits
        Keys of what must be said with the estimate.
    """

    method: Literal["Lincoln-Petersen", "Chao", "none"]
    found: int
    by_tester: tuple[int, ...]
    common: int
    whole: float | None
    corrected: float | None
    spread: float | None
    limits: tuple[str, ...]

    @property
    def left(self) -> float | None:
        """Estimated places that nobody has found."""
        return None if self.whole is None else max(0.0, self.whole - self.found)


@dataclass(frozen=True)
class Findings:
    """The forms of several testers of one size, merged: places by step, sizes, cloth and minutes, and the estimate."""

    questions: Questions
    forms: tuple[TesterForm, ...]
    places: tuple[FoundPlace, ...]
    sizes: tuple[ComparedSize, ...]
    cloth: tuple[ComparedAmount, ...]
    times: tuple[ComparedAmount, ...]
    unfound: Unfound
