"""Lengths as they are typed on a screen: any notation is kept as it is, and a bare number takes the label's unit."""

from contextlib import suppress

from kit.errors import LengthError
from kit.lengths import System, read_length
from kit.lengths.reading import read_number

UNIT: dict[System, str] = {"inch": "in", "metric": "cm"}
"""The unit on the labels of a study."""


def read_typed(text: str, system: System, *, zero_allowed: bool = False) -> tuple[float, str]:
    """Return the inches that a text says, and the text with its unit.

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
    >>> read_typed("2½", "inch"), read_typed("6.35", "metric"), read_typed("5.08 cm", "inch")
    ((2.5, '2½ in'), (2.5, '6.35 cm'), (2.0, '5.08 cm'))
    """
    text = text.strip()
    with suppress(LengthError):
        read_number(text)
        text = f"{text} {UNIT[system]}"
    return read_length(text, zero_allowed=zero_allowed), text
