"""Lengths at the edge: reading, writing and rounding them. The only place that knows how lengths are written.

Inside the kit a length is a float in inches; 1 in = 25.4 mm exactly. pint knows the units, this module the notation:
pint's own reader takes "2 1/2 inch" for one inch.
"""

import re
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from math import ceil, isfinite
from typing import TYPE_CHECKING, Literal, TypeAlias

from kit.errors import LengthError

if TYPE_CHECKING:
    import pint

System: TypeAlias = Literal["inch", "metric"]

YARD = 36.0
CM = 1 / 2.54
MM = 1 / 25.4
LONGEST = 500.0
"""Inches: a longer length is taken for a slip of the pen."""

_GLYPHS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_BUILT = {Fraction(text): glyph for glyph, text in _GLYPHS.items() if "/3" not in text}
_UNITS = {
    '"': "inch", "″": "inch", "in": "inch", "in.": "inch", "inch": "inch", "inches": "inch",
    "cm": "centimeter", "mm": "millimeter", "m": "meter", "centimetre": "centimeter", "centimetres": "centimeter",
    "centimeter": "centimeter", "millimetre": "millimeter", "metre": "meter", "metres": "meter", "meter": "meter",
    "yd": "yard", "yard": "yard", "yards": "yard", "ft": "foot", "foot": "foot", "feet": "foot",
}  # fmt: skip
_MIXED = re.compile(r"(\d+)(?: +|-)(\d+)/(\d+)")
_FRACTION = re.compile(r"(\d+)/(\d+)")
_DECIMAL = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?|[+-]?(?:nan|inf(?:inity)?)", re.IGNORECASE)
_SPLIT = re.compile(r"([-+0-9./ ,eE]*[0-9.]|[-+]?nan|[-+]?inf(?:inity)?)\s*(.*)", re.IGNORECASE | re.DOTALL)
_NBSP, _THIN = "\N{NO-BREAK SPACE}", "\N{NARROW NO-BREAK SPACE}"


@cache
def _registry() -> "pint.UnitRegistry[float]":
    import pint  # noqa: PLC0415  a third of a second, spent only when the first unusual unit is read

    return pint.UnitRegistry(cache_folder=None)


@cache
def _inches_in(unit: str) -> float:
    """Return how many inches one of a unit is, as pint has it."""
    return float(_registry().Quantity(1.0, unit).to("inch").magnitude)


def read_length(text: object, *, name: str = "length", zero_allowed: bool = False) -> float:
    """Read a length written as text with a unit; return inches.

    Parameters
    ----------
    text
        "2 1/2 in", "2-1/2in", '2½"', "2.5 inch", "6.35 cm", "63.5 mm", "1 1/4 yd", "0.3 m" and the like.
    name
        What the length is of, for the message.
    zero_allowed
        Let nought pass.

    Raises
    ------
    LengthError
        Numbers without unit, text that is no length or can be read in two ways, lengths that are not positive, not
        finite or over 500 in; each with the correction.

    Examples
    --------
    >>> read_length("2 1/2 in"), read_length('2½"'), read_length("6.35 cm")
    (2.5, 2.5, 2.5)
    """
    if isinstance(text, bool) or not isinstance(text, str):
        _refuse_bare(text, name)
    shown = text if len(text) <= 40 else text[:37] + "..."
    plain = _plain(text)
    if len(plain) > 60:
        raise LengthError(f"The {name} `{shown}` is {len(text)} characters long", needed=_NEEDED, do=_DO)
    found = _SPLIT.fullmatch(plain)
    if not found:
        raise LengthError(f"The {name} `{shown}` holds no number", needed=_NEEDED, do=_DO)
    number, unit = found[1].strip(), found[2].strip()
    amount = read_number(number, name=name)
    if not unit:
        raise LengthError(f"The {name} `{shown}` has no unit", needed=_NEEDED, do=f'write "{number} in"')
    factor = _factor(unit, number, name)
    inches = _scale(amount, factor, unit)
    _check_range(inches, shown, name, zero_allowed)
    return inches


_NEEDED = "a number and a unit: in, cm, mm, m, yd or ft"
_DO = 'write for instance "2 1/2 in"'


def _refuse_bare(value: object, name: str) -> None:
    if isinstance(value, int | float) and not isinstance(value, bool):
        raise LengthError(f"The {name} is the bare number {value}", needed=_NEEDED, do=f'write "{value:g} in"')
    raise LengthError(f"The {name} is {type(value).__name__}, not text", needed=_NEEDED, do=_DO)


def _plain(text: str) -> str:
    """Return the text with every fraction written with a slash and every space plain."""
    for glyph, fraction in _GLYPHS.items():
        text = text.replace(glyph, f" {fraction} ")
    text = text.replace("\N{FRACTION SLASH}", "/").replace("\N{MINUS SIGN}", "-")
    return re.sub(r"\s+", " ", text).strip()


def read_number(text: str, *, name: str = "number") -> float:
    """Read a number written as a decimal, a fraction or a whole number and a fraction.

    Raises
    ------
    LengthError
        Text that is no such number, or that can be read in two ways.

    Examples
    --------
    >>> read_number("2 1/2"), read_number("2-1/2"), read_number("0.25"), read_number("5/8")
    (2.5, 2.5, 0.25, 0.625)
    """
    plain = _plain(text)
    if _DECIMAL.fullmatch(plain):
        return float(plain)
    mixed = _MIXED.fullmatch(plain)
    if mixed:
        whole, over, under = (int(part) for part in mixed.groups())
        if under and over < under:
            return float(whole + Fraction(over, under))
    simple = _FRACTION.fullmatch(plain)
    if simple:
        over, under = int(simple[1]), int(simple[2])
        if under and over < under:
            return float(Fraction(over, under))
        if under:
            _refuse_improper(plain, over, under, simple[1], name)
    shown = plain if len(plain) <= 40 else plain[:37] + "..."
    do = _DO
    if re.fullmatch(r"\d+,\d+", plain):
        do = f'write the decimal with a point: "{plain.replace(",", ".")} in"'
    raise LengthError(f"The {name} `{shown}` cannot be read in only one way", needed="a decimal or a fraction", do=do)


def _refuse_improper(plain: str, over: int, under: int, digits: str, name: str) -> None:
    whole, rest = divmod(over, under)
    readings = [f"{whole} {Fraction(rest, under)}" if rest else f"{whole}"]
    if len(digits) > 1 and int(digits[-1]) < under and int(digits[-1]):
        readings.append(f"{digits[:-1]} {digits[-1]}/{under}")
    raise LengthError(
        f"The {name} `{plain}` may have lost a space",
        needed="a fraction under one, after a whole number where there is one",
        do="write " + " or ".join(f'"{reading} in"' for reading in readings),
    )


def _factor(unit: str, number: str, name: str) -> float:
    known = _UNITS.get(unit.lower())
    if known:
        return _inches_in(known)
    shown = unit if len(unit) <= 30 else unit[:27] + "..."
    if len(unit) <= 30 and unit.isalpha():
        near = get_close_matches(unit.lower(), [u for u in _UNITS if u.isalpha()], n=1)
        if not near and _is_other_unit(unit):
            raise LengthError(f"The {name} has the unit `{shown}`, which is no length", needed=_NEEDED, do=_DO)
        if near:
            raise LengthError(
                f"The {name} has the unknown unit `{shown}`", needed=_NEEDED, do=f'write "{number} {near[0]}"'
            )
    raise LengthError(f"The {name} has the unit `{shown}`", needed=_NEEDED, do=f'write for instance "{number} in"')


def _is_other_unit(unit: str) -> bool:
    return unit in _registry()


def _scale(amount: float, factor: float, unit: str) -> float:
    """Return inches; metric amounts are divided, so that 6.35 cm is 2.5 in to the last digit."""
    parts = {"cm": 2.54, "mm": 25.4}.get(unit.lower())
    return amount / parts if parts else amount * factor


def _check_range(inches: float, shown: str, name: str, zero_allowed: bool) -> None:
    if not isfinite(inches):
        raise LengthError(f"The {name} `{shown}` is not a finite number", needed="a length of cloth", do=_DO)
    if inches < 0 or (inches == 0 and not zero_allowed):
        raise LengthError(f"The {name} `{shown}` is not more than nothing", needed="a positive length", do=_DO)
    if inches > LONGEST:
        raise LengthError(
            f"The {name} `{shown}` is {inches:.4g} in", needed=f"at most {LONGEST:g} in", do="check the unit"
        )


def write_length(inches: float, system: System = "inch", *, step: float | None = None) -> str:
    """Write a length for people: built fractions of an inch, or centimetres.

    Parameters
    ----------
    inches
        The length.
    system
        "inch" or "metric".
    step
        Round up to a multiple of this many inches first.

    Examples
    --------
    >>> write_length(2.5).replace("\\xa0", " "), write_length(6.35 / 2.54, "metric").replace("\\xa0", " ")
    ('2½ in', '6.35 cm')
    """
    if step:
        inches = round_up(inches, step)
    if system == "metric":
        return f"{_trim(inches * 2.54, 2)}{_NBSP}cm"
    return f"{write_fraction(inches)}{_NBSP}in"


def write_fraction(number: float) -> str:
    """Write a number with a built fraction where it is a whole number of 64ths, as a decimal otherwise.

    Examples
    --------
    >>> write_fraction(7.375), write_fraction(0.5), write_fraction(2.8284271)
    ('7⅜', '½', '2.8284')
    """
    parts = _split_sixty_fourths(number)
    if parts is None:
        return _trim(number, 4)
    sign, whole, rest = parts
    if not rest:
        return f"{sign}{whole}"
    if rest in _BUILT:
        return f"{sign}{whole or ''}{_BUILT[rest]}"
    built = f"{rest.numerator}\N{FRACTION SLASH}{rest.denominator}"
    return f"{sign}{whole}{_THIN}{built}" if whole else sign + built


def write_plain(inches: float, system: System = "inch") -> str:
    """Write a length for files: hyphenated fractions, so that a lost space changes nothing.

    Examples
    --------
    >>> write_plain(2.5), write_plain(0.1875), write_plain(2.5, "metric")
    ('2-1/2 in', '3/16 in', '6.35 cm')
    """
    if system == "metric":
        return f"{_trim(inches * 2.54, 2)} cm"
    parts = _split_sixty_fourths(inches)
    if parts is None:
        return f"{_trim(inches, 4)} in"
    sign, whole, rest = parts
    words = [str(whole)] if whole or not rest else []
    return sign + "-".join(words + ([str(rest)] if rest else [])) + " in"


def write_exact(inches: float, system: System = "inch") -> str:
    """Write a length that reads back as the very same float.

    Examples
    --------
    >>> write_exact(2.5), write_exact(0.75 / 2.54, "metric"), read_length(write_exact(0.1))
    ('2 1/2 in', '0.75 cm', 0.1)
    """
    tries = [f"{_trim(inches * 2.54, 4)} cm"]
    parts = _split_sixty_fourths(inches)
    if parts and parts[1] + parts[2]:
        plain = " ".join(filter(None, [str(parts[1]) if parts[1] else "", str(parts[2]) if parts[2] else ""])) + " in"
        tries.insert(1 if system == "metric" else 0, plain)
    for text in tries:
        if _reads_back(text, inches):
            return text
    return f"{inches!r} in"


def _reads_back(text: str, inches: float) -> bool:
    try:
        return read_length(text) == inches
    except LengthError:
        return False


def round_up(inches: float, step: float) -> float:
    """Return the least multiple of the step that is not below the value; a millionth over a multiple is that multiple.

    Examples
    --------
    >>> round_up(3.8536, 0.125), round_up(3.875, 0.125), round_up(3.8750001, 0.125)
    (3.875, 3.875, 3.875)
    """
    return ceil(inches / step - 1e-6 / step) * step


def buying_length(inches: float, system: System = "inch") -> float:
    """Return inches of cloth to ask for: up to the next eighth of a yard, or tenth of a metre.

    Examples
    --------
    >>> buying_length(33), round(buying_length(33, "metric") * 2.54)
    (36.0, 90)
    """
    return round_up(inches, YARD / 8 if system == "inch" else 10 * CM)


def write_buying(inches: float, system: System = "inch") -> str:
    """Write a length to buy in yards or metres, rounded up as the shop sells it.

    Examples
    --------
    >>> write_buying(40).replace("\\xa0", " "), write_buying(40, "metric").replace("\\xa0", " ")
    ('1⅛ yd', '1.1 m')
    """
    length = buying_length(inches, system)
    if system == "metric":
        return f"{_trim(length * 2.54 / 100, 1)}{_NBSP}m"
    return f"{write_fraction(length / YARD)}{_NBSP}yd"


def _split_sixty_fourths(number: float) -> tuple[str, int, Fraction] | None:
    """Return sign, whole number and fraction, or None when the number is not within a millionth of a 64th."""
    count = round(number * 64)
    if abs(number - count / 64) > 1e-6:
        return None
    whole, rest = divmod(abs(count), 64)
    return "-" if count < 0 else "", whole, Fraction(rest, 64)


def _trim(number: float, places: int) -> str:
    text = f"{number:.{places}f}".rstrip("0").rstrip(".") if places else f"{number:.0f}"
    return "0" if text in ("-0", "") else text
