"""Reading lengths: a text becomes an exact fraction, or a sentence about the mistake and its correction."""

import re
import unicodedata
from difflib import get_close_matches
from fractions import Fraction
from functools import cache
from typing import TYPE_CHECKING, Any, NoReturn

from kit.errors import LengthError

if TYPE_CHECKING:
    import pint
from kit.lengths.systems import LONGEST

_LONGEST_TEXT = 60
_UNSEEN = {"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"}
_WORDS = {
    "inch": ('"', "″", "\N{RIGHT DOUBLE QUOTATION MARK}", "in", "ins", "inch", "inches"),
    "centimeter": ("cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters"),
    "millimeter": ("mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters"),
    "meter": ("m", "metre", "metres", "meter", "meters"),
    "yard": ("yd", "yds", "yard", "yards"),
    "foot": ("ft", "foot", "feet"),
}
UNIT_WORDS = {word: unit for unit, words in _WORDS.items() for word in words}
"""Every word for a unit -> its unit."""
_SPLIT = re.compile(r"([-+−0-9./, ]*[0-9.](?:[eE][-+]?[0-9]+(?![0-9]))?) *(.*)")
_DECIMAL = re.compile(r"(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]{1,3})?")
_FRACTION = re.compile(r"(?:([0-9]+)[ -])?([0-9]+)/([0-9]+)")
_COMMA = re.compile(r"([0-9]+),([0-9]+)")
_AREA = re.compile(r"\b(?:square|sq|cubic)\b|[\^²³]|\*\*|(?<=[a-z])[23]\b", re.IGNORECASE)
_NOT_FINITE = re.compile(r"[-+−]?(?:nan|inf|infinity|∞)\b.*|.*∞.*", re.IGNORECASE)
_NEEDED = "one number and one unit: in, cm, mm, m, yd or ft"
_DO = 'write for instance "2 1/2 in" or "6.35 cm"'
_DO_NUMBER = 'write for instance "2 1/2" or "2.5"'


def read_length(text: object, *, name: str = "length", zero_allowed: bool = False, longest: float = LONGEST) -> float:
    """Read a length written as text with a unit; return inches.

    Split the text into a number and a unit, read each, multiply exactly, and check that cloth has such lengths.

    Parameters
    ----------
    text
        "2 1/2 in", "2-1/2in", '2½"', "2.5 inch", "6.35 cm", "63.5 mm", "1 1/4 yd", "0.3 m", "1 ft" and so on.
    name
        The name of the length, for the message.
    zero_allowed
        Let zero pass.
    longest
        The longest length in inches that is believed: more for thread than for cloth.

    Returns
    -------
    float
        Inches, the float nearest to what was written.

    Raises
    ------
    LengthError
        A number without a unit; text that is not a length or has two readings; a length that is not positive,
        not finite or over 500 in. Each message has the correction.

    Examples
    --------
    >>> read_length("2 1/2 in"), read_length('2½"'), read_length("6.35 cm")
    (2.5, 2.5, 2.5)
    """
    if not isinstance(text, str):
        _refuse_type(text, name)
    number, unit = _split(text, name)
    if not unit:
        amount = _read_amount(number, name, "in")
        _refuse(f"the {name} `{_shorten(text)}` has no unit", _correct_bare(number) if 0 < amount <= LONGEST else _DO)
    amount = _read_amount(number, name, unit if _find_unit(unit) else "in")
    inches = amount * _find_known(unit, number, name)
    _check_range(inches, _shorten(text), name, zero_allowed=zero_allowed, longest=longest)
    return float(inches)


def read_number(text: str, *, name: str = "number") -> float:
    """Read a number written as a decimal, a fraction or a whole number and a fraction; a sign may precede it.

    Raises
    ------
    LengthError
        Text that is not such a number, or has two readings.

    Examples
    --------
    >>> read_number("2 1/2"), read_number("2-1/2"), read_number("0.25"), read_number("-5/8")
    (2.5, 2.5, 0.25, -0.625)
    """
    amount = _read_amount(_make_plain(text, name), name, "")
    try:
        return float(amount)
    except OverflowError:
        _refuse_infinite(_shorten(text), name)


def _refuse_type(value: object, name: str) -> NoReturn:
    if value is None:
        _refuse(f"the {name} is missing")
    if isinstance(value, bool) or not isinstance(value, int | float):
        shown = f"{value}" if isinstance(value, bool) else f"of the kind {type(value).__name__}"
        _refuse(f"the {name} is {shown}, not text")
    if not 0 < value <= LONGEST:
        shown = f"{value}" if isinstance(value, float) or abs(value) < 10**12 else "of very many digits"
        _refuse(f"the {name} is a bare number, {shown}, not a length of cloth")
    _refuse(f"the {name} is the bare number {value}", _correct_bare(f"{value}"))


def _correct_bare(number: str) -> str:
    return f'write "{number} in", or "{number} cm" if centimetres are meant'


def _split(text: str, name: str) -> tuple[str, str]:
    """Return the number and the unit, both in plain characters; the unit may be empty."""
    plain = _make_plain(text, name)
    if _NOT_FINITE.fullmatch(plain):
        _refuse_infinite(_shorten(text), name)
    found = _SPLIT.fullmatch(plain)
    if not found:
        _refuse(f"the {name} `{_shorten(text)}` does not begin with a number")
    return found[1].strip(), found[2]


def _make_plain(text: str, name: str) -> str:
    """Return the text with each fraction written with a slash, each hyphen plain and single plain spaces."""
    if len(text) > _LONGEST_TEXT:
        _refuse(f"the {name} `{_shorten(text)}` is {len(text)} characters long")
    for character in text:
        if unicodedata.category(character) in _UNSEEN:
            code = f"U+{ord(character):04X}"
            _refuse(f"the {name} holds the unseen character {code}", f"remove it; {_DO}")
    spelled = "".join(_spell_out(character) for character in text)
    return re.sub(r" +", " ", re.sub(r"- (?=[0-9]+/)(?<=[0-9]- )", "-", spelled)).strip(" ")


def _spell_out(character: str) -> str:
    if unicodedata.decomposition(character).startswith("<fraction>"):
        parts = unicodedata.normalize("NFKD", character).replace("\N{FRACTION SLASH}", "/")
        return f" {parts} " if parts[-1] != "/" else f" {parts}"
    if unicodedata.category(character) == "Zs":
        return " "
    plain = {"\N{FRACTION SLASH}": "/", "\N{HYPHEN}": "-", "\N{NON-BREAKING HYPHEN}": "-"}
    return plain.get(character, character)


def _read_amount(number: str, name: str, unit: str) -> Fraction:
    """Return the exact number; the unit only completes the correction."""
    sign = -1 if number[:1] in {"-", "−"} else 1
    bare = number[1:].lstrip() if number[:1] in {"-", "−", "+"} else number
    if _DECIMAL.fullmatch(bare):
        return sign * Fraction(bare.replace(".e", "e").replace(".E", "E").removesuffix("."))
    found = _FRACTION.fullmatch(bare)
    if not found:
        _refuse_number(number, name, unit)
    whole, over, under = int(found[1] or 0), int(found[2]), int(found[3])
    if not 0 < over < under:
        _refuse_fraction(number, name, suggest_fractions(found[1], found[2], under), unit)
    return sign * (whole + Fraction(over, under))


def _refuse_number(number: str, name: str, unit: str) -> NoReturn:
    found, do = f"the {name} `{_shorten(number)}` has more than one reading", _DO if unit else _DO_NUMBER
    comma = _COMMA.fullmatch(number)
    if comma:
        readings = [f"{comma[1]}.{comma[2]}"] + ([comma[1] + comma[2]] if len(comma[2]) == 3 else [])
        found, do = f"the {name} `{number}` has a comma", _suggest(readings, unit)
    raise LengthError(found, needed="a decimal with a point, or a whole number and one fraction", do=do)


def _refuse_fraction(number: str, name: str, readings: list[str], unit: str) -> NoReturn:
    fault = "may have lost a space" if len(readings) > 1 else "has no proper fraction"
    raise LengthError(
        f"the {name} `{number}` {fault}",
        needed="a fraction between zero and one, after a whole number where there is one",
        do=_suggest(readings, unit) if readings else _DO if unit else _DO_NUMBER,
    )


def suggest_fractions(whole: str | None, over: str, under: int) -> list[str]:
    """Return the possible meanings of an improper fraction: its digits parted by a lost space, and its value."""
    if not under:
        return []
    cuts = range(len(over) - 1, 0, -1) if whole is None else ()
    proper = [cut for cut in cuts if over[cut] != "0" and int(over[cut:]) < under]
    readings = [f"{over[:cut]} {over[cut:]}/{under}" for cut in proper]
    more, rest = divmod(int(over), under)
    value = f"{int(whole or 0) + more} {Fraction(rest, under)}" if rest else f"{int(whole or 0) + more}"
    return readings if value in readings or value == "0" else [*readings, value]


def _suggest(readings: list[str], unit: str) -> str:
    return "write " + " or ".join(f'"{f"{reading} {unit}".strip()}"' for reading in readings)


def _find_unit(unit: str) -> str | None:
    return UNIT_WORDS.get(unit.lower().removesuffix("."))


def _find_known(unit: str, number: str, name: str) -> Fraction:
    """Return inches in one of the unit, or refuse the unit."""
    known = _find_unit(unit)
    if not known:
        _refuse_unit(unit, number, name)
    return find_factor(known)


def _refuse_unit(unit: str, number: str, name: str) -> NoReturn:
    shown = f"the {name} has the unit `{_shorten(unit, 30)}`, which is"
    if _AREA.search(unit):
        _refuse(f"{shown} not a length but an area or a volume")
    if re.search(r"[0-9]", unit):
        _refuse(f"the {name} holds a second number: `{_shorten(unit, 30)}` follows `{number}`")
    measured = _name_dimension(unit)
    if measured:
        _refuse(f"{shown} not a length but a measure of {measured}")
    near = get_close_matches(unit.lower(), [word for word in UNIT_WORDS if word.isalpha()], n=1)
    _refuse(f"{shown} not known", f'if that is what is meant, write "{number} {near[0]}"' if near else _DO)


@cache
def _load_registry() -> "pint.UnitRegistry[Any]":
    import pint  # noqa: PLC0415  the better part of a second, spent only when a unit other than inches is read

    return pint.UnitRegistry(non_int_type=Fraction)


@cache
def find_factor(unit: str) -> Fraction:
    """Return the exact number of inches in one of a unit, according to pint."""
    if unit == "inch":
        return Fraction(1)
    return Fraction(_load_registry().Quantity(Fraction(1), unit).to("inch").magnitude)


def _name_dimension(unit: str) -> str:
    """Return the quantity that a unit measures, such as "mass"; nothing for lengths, slips and unknown words."""
    if not (unit.isascii() and unit.isalpha() and len(unit) <= 30):
        return ""
    registry = _load_registry()
    if not any(prefix in {"", "kilo", "centi", "milli"} for prefix, _, _ in registry.parse_unit_name(unit)):
        return ""
    dimensions = dict(registry.get_dimensionality(unit))
    if dimensions == {"[length]": 1}:
        return ""
    return str(next(iter(dimensions))).strip("[]") if list(dimensions.values()) == [1] else "another kind"


def _check_range(inches: Fraction, shown: str, name: str, *, zero_allowed: bool, longest: float) -> None:
    if inches > longest:
        figure = f"{float(inches):.6g}" if inches < 10**6 else "more than a million"
        figure = figure if figure != f"{longest:g}" else f"just over {longest:g}"
        do = f'check the number and the unit; write "{longest:g} in" at most'
        raise LengthError(f"the {name} `{shown}` is {figure} in", needed=f"at most {longest:g} in", do=do)
    if inches < 0:
        do = f'write "{shown.lstrip("-− ")}"'
        raise LengthError(f"the {name} `{shown}` is negative", needed="a length above zero", do=do)
    if not (float(inches) or (zero_allowed and not inches)):
        raise LengthError(f"the {name} `{shown}` is zero", needed="a length above zero", do=_DO)


def _refuse_infinite(shown: str, name: str) -> NoReturn:
    _refuse(f"the {name} `{shown}` is not a finite number")


def _refuse(found: str, do: str = _DO) -> NoReturn:
    raise LengthError(found, needed=_NEEDED, do=do)


def _shorten(text: str, limit: int = 40) -> str:
    return text if len(text) <= limit else text[: limit - 3] + "..."
