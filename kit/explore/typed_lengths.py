"""Lengths as they are typed on a screen: any notation is kept as it is, and a bare number takes the label's unit."""

import re
from contextlib import suppress

from kit.errors import LengthError
from kit.lengths import System, read_length
from kit.lengths.reading import read_number

UNIT: dict[System, str] = {"inch": "in", "metric": "cm"}
"""The unit on the labels of a study."""
_SUM = re.compile(r"( +[+-] +)")
_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d{1,2}|\d{4,})(?![\d.,])")
"""A decimal comma; with three figures behind it, it could mark thousands, and is refused."""
_BETWEEN = re.compile(r";|,(?!\d)|(?<!\d),")
"""A comma between two figures is a decimal one."""


def read_typed(text: str, system: System, *, zero_allowed: bool = False) -> tuple[float, str]:
    """Return the inches that a text says, and the text as a study file has it: with its unit, and a decimal point.

    Parameters
    ----------
    text
        A length in any notation, or a number alone.
    system
        Of the study: a number alone is in inches, or in centimetres.
    zero_allowed
        Let zero pass.

    Raises
    ------
    LengthError
        Not a length, or outside the range that cloth allows.

    Examples
    --------
    >>> read_typed("2½", "inch"), read_typed("6,35", "metric"), read_typed("5.08 cm", "inch")
    ((2.5, '2½ in'), (2.5, '6.35 cm'), (2.0, '5.08 cm'))
    """
    text = _COMMA.sub(r"\1.\2", text.strip())
    with suppress(LengthError):
        read_number(text)
        text = f"{text} {UNIT[system]}"
    return read_length(text, zero_allowed=zero_allowed), text


def add_unit(text: str, system: System) -> str:
    """Return a length of a unit as it was typed, each bare number in it with the unit of its label.

    Parameters
    ----------
    text
        A length in any notation, an edge of a unit, a shared length, strips, or a sum of them.
    system
        Of the study.

    Examples
    --------
    >>> add_unit("7½", "inch"), add_unit("7,5", "metric"), add_unit("arm.left - 1/2", "inch"), add_unit("19 cm", "inch")
    ('7½ in', '7.5 cm', 'arm.left - 1/2 in', '19 cm')
    """
    parts = _SUM.split(_COMMA.sub(r"\1.\2", " ".join(text.split())))
    for at in range(0, len(parts), 2):
        with suppress(LengthError):
            read_number(parts[at])
            parts[at] = f"{parts[at]} {UNIT[system]}"
    return "".join(parts)


def split_lengths(text: str) -> list[str]:
    """Return the lengths of a list.

    Examples
    --------
    >>> split_lengths("1 in, 1 1/2 in"), split_lengths("7,5 cm; 8,2 cm")
    (['1 in', '1 1/2 in'], ['7,5 cm', '8,2 cm'])
    """
    return [one.strip() for one in _BETWEEN.split(text) if one.strip()]
