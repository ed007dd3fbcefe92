"""Lengths as a caller gives them: a number is inches, a text carries its unit. Public functions read them here."""

from collections.abc import Iterable
from numbers import Real
from typing import TypeAlias

from kit.errors import LengthError
from kit.lengths.reading import read_length
from kit.lengths.systems import LONGEST

Length: TypeAlias = float | str
"""Inches as a number, or a text such as "9 1/2 in" or "24 cm"."""


def take_length(
    value: Length, name: str = "length", *, zero_allowed: bool = True, signed: bool = False, longest: float = LONGEST
) -> float:
    """Return inches of a length that is given as a number or as a text with its unit.

    A number is inches and comes back as it is, so that its range stays the business of whoever asked for it; a text is
    read by `read_length`.

    Parameters
    ----------
    value
        Inches, or a text such as "9 1/2 in".
    name
        What the length is of, for the message.
    zero_allowed
        Let a text of zero pass.
    signed
        Let a text begin with a minus sign.
    longest
        Inches that are believed of a text.

    Raises
    ------
    LengthError
        A text that is not a length, or a value that is neither text nor number.

    Examples
    --------
    >>> take_length(9.5), take_length("9 1/2 in"), take_length("24.13 cm"), take_length("-1/32 in", signed=True)
    (9.5, 9.5, 9.5, -0.03125)
    """
    if isinstance(value, str):
        bare = value.strip()
        if signed and bare[:1] in {"-", "\N{MINUS SIGN}"}:
            return -read_length(bare[1:], name=name, zero_allowed=zero_allowed, longest=longest)
        return read_length(value, name=name, zero_allowed=zero_allowed, longest=longest)
    if isinstance(value, bool) or not isinstance(value, Real):
        raise LengthError(
            f"the {name} is of the kind {type(value).__name__}",
            needed="a number of inches, or a text with a unit",
            do='write for instance 9.5 or "9 1/2 in"',
        )
    return float(value)


def take_lengths(values: Iterable[Length], name: str = "length") -> tuple[float, ...]:
    """Return inches of each of several lengths, as `take_length` reads one.

    Examples
    --------
    >>> take_lengths([1.5, "1 1/2 in", "3.81 cm"])
    (1.5, 1.5, 1.5)
    """
    return tuple(take_length(value, name) for value in values)


class Inches:
    """A field of a dataclass that takes a length as `take_length` does and holds inches.

    The value stands in the instance under the field's own name, so that copies, comparisons and pickles see a float.

    Examples
    --------
    >>> from dataclasses import dataclass, replace
    >>> @dataclass(frozen=True)
    ... class Ribbon:
    ...     width: Inches = Inches(1.0)
    >>> Ribbon().width, Ribbon("1 1/2 in").width, replace(Ribbon(2.0), width="3.81 cm")
    (1.0, 1.5, Ribbon(width=1.5))
    """

    def __init__(self, default: float, *, longest: float = LONGEST) -> None:
        self.default, self.longest = default, longest
        self.name = ""

    def __set_name__(self, owner: type, name: str) -> None:
        """Learn under which name the class holds the field."""
        self.name = name

    def __get__(self, instance: object, owner: type) -> float:
        """Return inches; of the class itself, the default."""
        return self.default if instance is None else float(instance.__dict__[self.name])

    def __set__(self, instance: object, value: Length) -> None:
        """Hold the inches of what is given."""
        instance.__dict__[self.name] = take_length(value, self.name.replace("_", " "), longest=self.longest)


class MaybeInches:
    """The same for a length that may be left out: None stays None.

    Examples
    --------
    >>> from dataclasses import dataclass
    >>> @dataclass(frozen=True)
    ... class Ribbon:
    ...     length: MaybeInches = MaybeInches()
    >>> Ribbon(), Ribbon("1 yd")
    (Ribbon(length=None), Ribbon(length=36.0))
    """

    def __init__(self, default: float | None = None) -> None:
        self.default = default
        self.name = ""

    def __set_name__(self, owner: type, name: str) -> None:
        """Learn under which name the class holds the field."""
        self.name = name

    def __get__(self, instance: object, owner: type) -> float | None:
        """Return inches or None; of the class itself, the default."""
        return self.default if instance is None else instance.__dict__[self.name]

    def __set__(self, instance: object, value: Length | None) -> None:
        """Hold the inches of what is given, or None."""
        held = None if value is None else take_length(value, self.name.replace("_", " "))
        instance.__dict__[self.name] = held
