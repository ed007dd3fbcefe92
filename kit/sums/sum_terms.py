"""What every sum starts from: the system, the allowance, the ruler, and the readers of what is typed."""

import re
from collections.abc import Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from math import isfinite
from typing import TypeAlias

from kit.errors import KitError, LengthError
from kit.lengths import CM, LONGEST, Length, System, read_length, read_number, round_up, take_length
from kit.lengths import write_buying as say_buying
from kit.lengths import write_length as say_length
from kit.model.fabrics import SQUARING_METRIC, USABLE_WIDTH

Size: TypeAlias = Length | tuple[Length, Length]
"""Two lengths, or a text such as "4 x 2 in"; one length stands for both."""
Lengths: TypeAlias = Length | Sequence[Length]
"""Several lengths, or a text such as "41 1/2, 42, 42 1/2 in"."""
Number: TypeAlias = float | str
"""A number, or a text that holds one; a part may be "5 %"."""

UNIT = {"inch": "in", "metric": "cm"}
MOST = 100_000
"""The largest count that is believed."""
_TIMES = re.compile(r"\s*(?:×|\bby\b|(?<=[\s0-9\"″”a-z])x(?=[\s0-9.]))\s*", re.IGNORECASE)
_PARTS = re.compile(r"\s*(?:;|,\s+(?:and\s+)?|\s+and\s+)\s*")
_TIMES_OF = re.compile(r"([0-9]+)\s+of\s+(.+)", re.IGNORECASE)
_METRIC = re.compile(r"[0-9]\s*(?:cm|mm|m|metres?|meters?|centi|milli)", re.IGNORECASE)


@dataclass(frozen=True)
class SumTerms:
    """The terms of one sum.

    Attributes
    ----------
    system
        "inch" or "metric".
    allowance, step, usable
        Seam allowance, the marks that cut sizes are rounded up to, usable width of cloth; inches.
    """

    system: System
    allowance: float
    step: float
    usable: float

    def length(self, value: Length, name: str, *, zero_allowed: bool = False, longest: float = LONGEST) -> float:
        """Return inches of a length; a number without a unit is in the unit of the system.

        Raises
        ------
        LengthError
            Not a length, or outside the range that cloth allows.
        """
        return _read(value, name, self.system, zero_allowed=zero_allowed, longest=longest)

    def size(self, value: Size, name: str) -> tuple[float, float]:
        """Return the two lengths of a size; a unit behind the second holds for the first too."""
        if isinstance(value, str):
            parts = [part for part in _TIMES.split(value.strip()) if part]
            if len(parts) == 2:
                parts = _share_unit(parts)
            if len(parts) > 2 or not parts:
                raise _refuse_size(value, name)
            found = [self.length(part, name) for part in parts]
        elif isinstance(value, tuple | list):
            if len(value) != 2:
                raise _refuse_size(str(value), name)
            found = [self.length(part, name) for part in value]
        else:
            found = [self.length(value, name)]
        return found[0], found[-1]

    def lengths(self, value: Lengths, name: str) -> tuple[float, ...]:
        """Return each of several lengths; "4 of 1 1/2 in" stands for four of them."""
        if isinstance(value, str):
            parts: list[Length] = list(_share_unit([part for part in _PARTS.split(value.strip()) if part]))
        elif isinstance(value, Iterable):
            parts = list(value)
        else:
            parts = [value]
        found: list[float] = []
        for part in parts:
            many = _TIMES_OF.fullmatch(part.strip()) if isinstance(part, str) else None
            times = self.count(many[1], f"number of {name}") if many else 1
            if len(found) + times > 1000:
                raise KitError(f"there are more than 1000 of the {name}", needed="at most 1000", do="ask in two parts")
            found += [self.length(many[2] if many else part, name)] * times
        if not found:
            raise KitError(
                f"the {name} is empty", needed="at least one length", do=f'write for instance "2 1/2 {self.unit}"'
            )
        return tuple(found)

    def sizes(self, value: "str | Sequence[Size]", name: str) -> tuple[tuple[float, float], ...]:
        """Return each of several sizes, parted by a semicolon or a comma and a space."""
        parts: Sequence[Size] = [p for p in _PARTS.split(value.strip()) if p] if isinstance(value, str) else value
        return tuple(self.size(part, name) for part in parts)

    @staticmethod
    def count(value: Number, name: str, least: int = 1) -> int:
        """Return a whole number.

        Raises
        ------
        KitError
            Not a whole number, or fewer than the least.
        """
        number = _read_figure(value, name)
        if number != int(number) or not least <= number <= MOST:
            raise KitError(
                f"the {name} is {value!s:.40}", needed=f"a whole number from {least} to {MOST}", do="correct it"
            )
        return int(number)

    @staticmethod
    def number(value: Number, name: str, *, least: float = 0.0, most: float = 1e6) -> float:
        """Return a number within a range."""
        number = _read_figure(value, name)
        if not least <= number <= most:
            raise KitError(f"the {name} is {value!s:.40}", needed=f"from {least:g} to {most:g}", do="correct it")
        return number

    @staticmethod
    def part(value: Number, name: str, most: float = 0.9) -> float:
        """Return a part: 0.05, or "5 %"."""
        text = str(value).strip()
        bare = text.removesuffix("%").strip()
        found = _read_figure(bare if text.endswith("%") else value, name) / (100 if text.endswith("%") else 1)
        if not 0 <= found <= most:
            raise KitError(
                f"the {name} is {text!s:.40}",
                needed=f'from 0 to "{100 * most:g} %"',
                do='write "5 %" for five in a hundred',
            )
        return found

    @property
    def unit(self) -> str:
        """The unit of a number without one."""
        return UNIT[self.system]

    @property
    def squaring(self) -> float:
        """What squaring up one length of cloth takes, inches."""
        return 1.0 if self.system == "inch" else SQUARING_METRIC

    def say(self, inches: float) -> str:
        """Write a length."""
        return say_length(inches, self.system)

    def say_size(self, size: Sequence[float]) -> str:
        """Write a size."""
        return f"{self.say(size[0])} by {self.say(size[1])}"

    def up(self, inches: float) -> float:
        """Round a cut size up to the ruler."""
        return round_up(inches, self.step)

    def say_cut(self, inches: float) -> str:
        """Write a cut size on the ruler, with the exact one where that is another."""
        on_ruler = self.up(inches)
        exact = f" (exact {inches * (1 if self.system == 'inch' else 2.54):.3f} {self.unit})"
        return self.say(on_ruler) + (exact if abs(on_ruler - inches) > 1e-6 else "")

    def buy(self, inches: float) -> str:
        """Write a length of cloth as shops sell it."""
        return say_buying(inches, self.system)


def take_terms(
    *values: object, system: str | None = None, allowance: Length | None = None, width: Length | None = None
) -> SumTerms:
    """Return the terms of a sum.

    Parameters
    ----------
    values
        What was given: where a text among it has a metric unit and no system is named, the sum is metric.
    system
        "inch" or "metric".
    allowance
        Left out: 1/4 in, or 0.75 cm.
    width
        Usable width of the cloth; left out: 40 in, or 102 cm.

    Raises
    ------
    KitError
        An unknown system, or an allowance that nobody sews.
    """
    if system not in (None, "", "inch", "metric"):
        raise KitError(f"there is no system `{system!s:.40}`", needed="inch or metric", do="name one of these")
    texts = [str(value) for value in (*values, allowance, width) if isinstance(value, str | tuple | list)]
    metric = system == "metric" or (not system and any(_METRIC.search(text) for text in texts))
    named: System = "metric" if metric else "inch"
    sewn = 0.75 * CM if metric else 0.25
    if allowance not in (None, ""):
        sewn = _read(allowance, "allowance", named)
        if sewn > 2:
            raise KitError(f"the allowance is {say_length(sewn, named)}", needed="at most 2 in", do="correct it")
    usable = 102 * CM if metric else USABLE_WIDTH
    if width not in (None, ""):
        usable = _read(width, "width of the cloth", named)
    return SumTerms(named, sewn, 0.1 * CM if metric else 0.125, usable)


def _read(value: object, name: str, system: System, *, zero_allowed: bool = False, longest: float = LONGEST) -> float:
    if isinstance(value, str):
        text = value.strip()
        with suppress(LengthError):
            read_number(text, name=name)
            text = f"{text} {UNIT[system]}"
        return read_length(text, name=name, zero_allowed=zero_allowed, longest=longest)
    try:
        inches = take_length(value, name) * (CM if system == "metric" else 1.0)  # type: ignore[arg-type]  # refused there
    except OverflowError:
        inches = float("inf")
    return read_length(f"{inches!r} in" if "e" not in repr(inches) else f"{inches:.9f} in", name=name,
                       zero_allowed=zero_allowed, longest=longest)  # fmt: skip


def _read_figure(value: object, name: str) -> float:
    if isinstance(value, str):
        return read_number(value, name=name)
    if isinstance(value, bool) or not isinstance(value, int | float) or not isfinite(value):
        raise KitError(f"the {name} is {value!r:.40}", needed="a number", do='write for instance 12, or "12"')
    return float(value)


def _share_unit(parts: Sequence[str]) -> list[str]:
    """Give the unit of the last of several lengths to those without one."""
    found = re.search(r"[0-9.]\s*([a-z\"″”]+)\.?$", parts[-1].strip(), re.IGNORECASE) if parts else None
    if not found:
        return list(parts)
    return [
        part if re.search(r"[a-z\"″”]\.?$", part.strip(), re.IGNORECASE) else f"{part} {found[1]}" for part in parts
    ]


def _refuse_size(text: str, name: str) -> KitError:
    return KitError(f"the {name} is `{text!s:.60}`", needed="a width and a height", do='write for instance "4 x 2 in"')
