"""Corrections between two editions of a pattern. Lengths in inches."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from kit.lengths import System

CorrectedPart: TypeAlias = Literal["whole", "cloth", "piece", "unit", "step", "finishing"]


@dataclass(frozen=True, slots=True)
class CutSize:
    """A cut size: the kind of piece, and name of measure -> inches."""

    kind: str
    measures: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True)
class Sides:
    """A measured width and length, inches."""

    width: float
    length: float


@dataclass(frozen=True, slots=True)
class OneLength:
    """One length, inches; `near`: printed to the nearest mark of a ruler, as a stretch of seam is."""

    inches: float
    near: bool = False


@dataclass(frozen=True, slots=True)
class ClothAmount:
    """Cloth: inches of length for yardage, else a number of pre-cuts; `bought`: as the shop sells it."""

    form: str
    amount: float
    bought: bool = True


@dataclass(frozen=True, slots=True)
class ClothNeeds:
    """Cloth needed of several fabrics."""

    amounts: tuple[tuple[str, ClothAmount], ...]


@dataclass(frozen=True, slots=True)
class Keyed:
    """Something that is said by its key in the strings: "press_open"."""

    key: str
    facts: tuple[tuple[str, object], ...] = ()


CorrectedValue: TypeAlias = CutSize | Sides | OneLength | ClothAmount | ClothNeeds | Keyed | int | float | str
"""What was printed, or what is correct."""


@dataclass(frozen=True)
class Correction:
    """One line of the errata.

    Attributes
    ----------
    size
        The size of the pattern that it holds for; empty where there is one.
    part, subject
        Where: a piece by its id, a unit or a fabric by its name, a step by its number.
    change
        What differs: "size", "count", "buy", "press", ...
    step
        The step, in the old edition if it is there, in which the maker meets it first; None before the sewing.
    old, new
        Both values; an empty text where the one edition does not have it.
    remedy, facts
        What to do if it is cut or sewn already: a key of the strings, and what stands between its braces.
    found_by
        The testers who stumbled there.
    """

    size: str
    part: CorrectedPart
    subject: str
    change: str
    step: int | None
    old: CorrectedValue
    new: CorrectedValue
    remedy: str
    facts: tuple[tuple[str, CorrectedValue], ...] = ()
    found_by: tuple[str, ...] = ()


@dataclass(frozen=True)
class Errata:
    """The corrections of a pattern from one edition to another.

    Attributes
    ----------
    title, system
        Of the new edition.
    old_edition, new_edition, old_print, new_print, date
        Numbers of both editions, the fingerprints of both prints (of all sizes one after another), and the date of the
        new edition, as its file has it.
    old_tops
        The finished top of each size of the old edition, if that edition was rehearsed and agrees with itself, so that
        it may be finished by whoever cut everything by it; empty if only its record is known.
    corrections
        In the order of working, size by size; empty if both print the same.
    """

    title: str
    system: System
    old_edition: str
    new_edition: str
    old_print: str
    new_print: str
    date: str
    old_tops: tuple[Sides, ...]
    corrections: tuple[Correction, ...]
