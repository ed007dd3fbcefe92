"""Writing lengths: for people, for plain-text tables, and for reading back; and rounding them up, in one place."""

from collections.abc import Iterator
from contextlib import AbstractContextManager, contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, isfinite
from typing import Literal, TypeVar

from kit.errors import LengthError
from kit.lengths.reading import read_length
from kit.lengths.systems import CM, SLACK, YARD, System

_BUILT = {
    Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾",
    Fraction(1, 8): "⅛", Fraction(3, 8): "⅜", Fraction(5, 8): "⅝", Fraction(7, 8): "⅞",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Notation:
    """How a language writes lengths on paper: the decimal sign, "about", and the units that it does not abbreviate."""

    decimal: str = "."
    about: str = "about "
    in_: str = "in"
    yd: str = "yd"


PLAIN_NOTATION = Notation()
"""English, which is also what the kit reads."""
_notation: ContextVar[Notation] = ContextVar("notation", default=PLAIN_NOTATION)


_system: ContextVar[System] = ContextVar("system", default="inch")
_T = TypeVar("_T")


@contextmanager
def _hold(variable: ContextVar[_T], value: _T) -> Iterator[None]:
    token = variable.set(value)
    try:
        yield
    finally:
        variable.reset(token)


def use_notation(notation: Notation) -> AbstractContextManager[None]:
    """Write lengths for people in the way of a language for a while; what is read back stays as it is."""
    return _hold(_notation, notation)


def use_system(system: System) -> AbstractContextManager[None]:
    """Write lengths for people in a system for a while, wherever none is named: in what a design refuses."""
    return _hold(_system, system)


def find_system() -> System:
    """Return the system in use: that of the study whose design is laid out or whose plans are made."""
    return _system.get()


def write_decimal(text: str) -> str:
    """Return a number in figures with the decimal sign of the language that is in use."""
    return text.replace(".", _notation.get().decimal)


_NBSP, _THIN = "\N{NO-BREAK SPACE}", "\N{NARROW NO-BREAK SPACE}"


def write_length(inches: float, system: System | None = None, *, step: float | None = None) -> str:
    r"""Write a length for people: built fractions of an inch, or centimetres to two decimals.

    Parameters
    ----------
    inches
        The length.
    system
        "inch" or "metric"; the one in use (`use_system`) where it is left out, inches by default.
    step
        Round up to a multiple of this many inches first; to one of half a centimetre where metric is in use unnamed.

    Returns
    -------
    str
        With a no-break space before the unit, so that no line ends between number and unit.

    Examples
    --------
    >>> write_length(2.5).replace("\xa0", " "), write_length(2.5, "metric").replace("\xa0", " ")
    ('2½ in', '6.35 cm')
    """
    if step is not None:
        inches = round_up(inches, CM / 2 if system is None and _system.get() == "metric" else step)
    if (system or _system.get()) == "metric":
        return f"{write_decimal(_trim(inches * 2.54, 2))}{_NBSP}cm"
    return f"{write_fraction(inches)}{_NBSP}{_notation.get().in_}"


def write_fraction(number: float) -> str:
    """Write a number with a built fraction where it is a whole number of 64ths, as a decimal otherwise.

    Examples
    --------
    >>> write_fraction(7.375), write_fraction(0.5), write_fraction(2.8284271)
    ('7⅜', '½', '2.8284')
    """
    parts = _count_sixty_fourths(number)
    if parts is None:
        return write_decimal(_trim(number, 4))
    sign, whole, rest = parts
    if not rest:
        return f"{sign}{whole}"
    if rest in _BUILT:
        return f"{sign}{whole or ''}{_BUILT[rest]}"
    built = f"{rest.numerator}\N{FRACTION SLASH}{rest.denominator}"
    return f"{sign}{whole}{_THIN}{built}" if whole else f"{sign}{built}"


def write_nearest(inches: float, system: System = "inch") -> str:
    r"""Write a measured length for people, to the nearest eighth of an inch or millimetre; "about" where not exact.

    Never for a cut size, which is only ever rounded up.

    Examples
    --------
    >>> write_nearest(46.7548).replace("\xa0", " "), write_nearest(46.75).replace("\xa0", " ")
    ('about 46¾ in', '46¾ in')
    """
    step = 0.125 if system == "inch" else 0.1 * CM
    nearest = round(inches / step) * step
    return ("" if abs(nearest - inches) < 1e-6 else _notation.get().about) + write_length(nearest, system)


def write_plain(inches: float, system: System = "inch") -> str:
    """Write a length for tables of plain text, its fraction hyphenated so that a lost space changes nothing.

    Examples
    --------
    >>> write_plain(2.5), write_plain(0.1875), write_plain(2.5, "metric")
    ('2-1/2 in', '3/16 in', '6.35 cm')
    """
    if system == "metric":
        return f"{_trim(inches * 2.54, 2)} cm"
    return f"{_join_fraction(inches, '-') or _trim(inches, 4)} in"


def write_exact(inches: float, system: System = "inch") -> str:
    """Write a length that reads back as the very same float.

    Try the short ways, those of the system first, and keep the first that reads back; else write all digits.

    Examples
    --------
    >>> write_exact(2.5), write_exact(2.5, "metric"), write_exact(2**0.5)
    ('2 1/2 in', '6.35 cm', '1.4142135623730951 in')
    """
    fraction, centimetres = f"{_join_fraction(inches, ' ')} in", f"{_trim(inches * 2.54, 4)} cm"
    decimal = f"{_trim(inches, 4)} in"
    short = (centimetres, fraction, decimal) if system == "metric" else (fraction, decimal, centimetres)
    return next((text for text in short if _reads_back(text, inches)), f"{float(inches)!r} in")


def write_faithful(inches: float, system: System = "inch") -> str:
    r"""Write a length as for paper where that reads back as the same length, else with its own unit or all its digits.

    Examples
    --------
    >>> write_faithful(0.25).replace("\xa0", " "), write_faithful(0.75 / 2.54).replace("\xa0", " ")
    ('¼ in', '0.75 cm')
    """
    with use_notation(PLAIN_NOTATION):
        kept = _reads_back(write_length(inches, system), inches)
    if kept:
        return write_length(inches, system)
    number, _, unit = write_exact(inches, system).rpartition(" ")
    return f"{write_decimal(number)}{_NBSP}{_notation.get().in_ if unit == 'in' else unit}".replace(" ", _NBSP)


def _reads_back(text: str, inches: float) -> bool:
    try:
        return read_length(text, zero_allowed=True) == inches
    except LengthError:
        return False


def _join_fraction(number: float, joint: str) -> str:
    """Return a whole number of 64ths, such as 2-1/2; nothing for any other number."""
    parts = _count_sixty_fourths(number)
    if parts is None:
        return ""
    sign, whole, rest = parts
    words = [str(part) for part in (whole, rest) if part] or ["0"]
    return sign + joint.join(words)


def _count_sixty_fourths(number: float) -> tuple[str, int, Fraction] | None:
    """Return the sign, the whole number and the fraction; None if no 64th is within a millionth."""
    count = round(number * 64)
    if abs(number - count / 64) > SLACK:
        return None
    whole, rest = divmod(abs(count), 64)
    return "-" if count < 0 else "", whole, Fraction(rest, 64)


def _trim(number: float, places: int) -> str:
    text = f"{number:.{places}f}".rstrip("0").removesuffix(".")
    return "0" if text in {"-0", ""} else text


# Rounding


def round_up(inches: float, step: float) -> float:
    """Return the least multiple of the step at or above the value.

    A value at most a millionth of an inch above a multiple counts as that multiple, so that the last digits of
    arithmetic never buy another eighth.

    Parameters
    ----------
    inches
        The length.
    step
        Inches, positive; steps such as 1/8 in give multiples without any error.

    Examples
    --------
    >>> round_up(3.8536, 0.125), round_up(3.875, 0.125), round_up(3.8750001, 0.125)
    (3.875, 3.875, 3.875)
    """
    if not (step > 0 and isfinite(step)):
        do = 'round for instance to "1/8 in"'
        raise LengthError(f"the rounding step is {step} in", needed="a step above zero", do=do)
    return ceil((inches - SLACK) / step) * step


def buying_length(inches: float, system: System = "inch") -> float:
    """Return the inches of cloth to buy: up to the next eighth of a yard or tenth of a metre.

    Examples
    --------
    >>> buying_length(33), round(buying_length(33, "metric") * 2.54)
    (36.0, 90)
    """
    return round_up(inches, YARD / 8 if system == "inch" else 10 * CM)


def write_thread(inches: float, system: System = "inch", of: Literal["needed", "held"] = "needed") -> str:
    r"""Write a length of thread in yards or metres, rounded so that nobody runs short.

    Parameters
    ----------
    inches
        The length.
    system
        "inch" or "metric".
    of
        "needed" for a length that is sewn: rounded up to a whole yard or metre. "held" for what a spool or a bobbin
        holds: rounded down, to a hundredth.

    Examples
    --------
    >>> write_thread(70).replace("\xa0", " "), write_thread(70, of="held").replace("\xa0", " ")
    ('2 yd', '1.94 yd')
    """
    per, unit = (100 * CM, "m") if system == "metric" else (YARD, _notation.get().yd)
    length = inches / per
    text = write_fraction(floor(100 * (length + SLACK)) / 100) if of == "held" else f"{ceil(length - SLACK)}"
    return f"{text}{_NBSP}{unit}"


def write_buying(inches: float, system: System = "inch") -> str:
    r"""Write a length to buy in yards or metres, rounded up as the shop sells it.

    Examples
    --------
    >>> write_buying(40).replace("\xa0", " "), write_buying(40, "metric").replace("\xa0", " ")
    ('1⅛ yd', '1.1 m')
    """
    length = buying_length(inches, system)
    if system == "metric":
        return f"{write_decimal(_trim(length * 2.54 / 100, 1))}{_NBSP}m"
    return f"{write_fraction(length / YARD)}{_NBSP}{_notation.get().yd}"
