"""Weights at the edge: what a kitchen scale says, in grams inside the kit."""

import re

from kit.errors import LengthError
from kit.lengths.reading import read_number

GRAMS = {
    "g": 1.0, "gram": 1.0, "grams": 1.0, "kg": 1000.0, "kilogram": 1000.0, "kilograms": 1000.0,
    "oz": 28.349523125, "ounce": 28.349523125, "ounces": 28.349523125,
    "lb": 453.59237, "lbs": 453.59237, "pound": 453.59237, "pounds": 453.59237,
}  # fmt: skip
"""Grams in each unit: the avoirdupois pound is 453.59237 g exactly (international yard and pound agreement, 1959)."""
HEAVIEST = 100_000.0
"""Grams: more cloth than this is not in one heap."""
_WEIGHT = re.compile(r"\s*([-+0-9.,/ ]*[0-9.])\s*([A-Za-z]+)\s*")


def read_weight(text: object, *, name: str = "weight") -> float:
    """Read a weight written as text with a unit; return grams.

    Raises
    ------
    LengthError
        No text, no unit, an unknown unit, or a weight that no heap of cloth has.

    Examples
    --------
    >>> read_weight("1 1/2 kg"), round(read_weight("8 oz"), 1)
    (1500.0, 226.8)
    """
    found = _WEIGHT.fullmatch(text) if isinstance(text, str) and len(text) <= 60 else None
    unit = found and found.group(2).lower()
    if found is None or unit not in GRAMS:
        raise LengthError(
            f"{name} is {str(text)[:40]!r}", needed="one number and one unit: g, kg, oz or lb", do='write "250 g"'
        )
    grams = read_number(found.group(1).strip(), name=name) * GRAMS[unit]
    if not 0 < grams <= HEAVIEST:
        raise LengthError(
            f"{name} is {str(text)[:40]!r}", needed="more than nothing and at most 100 kg", do='write "250 g"'
        )
    return grams


def write_weight(grams: float) -> str:
    """Return a weight as text that reads back as the same number of grams.

    Examples
    --------
    >>> write_weight(250.0), write_weight(1234.5)
    ('250 g', '1234.5 g')
    """
    return f"{int(grams)} g" if grams == int(grams) else f"{grams!r} g"
