"""Colour as the eye measures it: lightness, difference, contrast, grey, and the view of a colour-blind eye.

The only place that knows the colour library. Colours are "#rrggbb" (sRGB); CIELAB is for D65 and the 2 degree observer.
"""

from collections.abc import Sequence
from functools import cache
from typing import Literal, TypeAlias

from coloraide import Color

Lab: TypeAlias = tuple[float, float, float]
Sight: TypeAlias = Literal["protan", "deutan", "tritan"]
SIGHTS: tuple[Sight, ...] = ("protan", "deutan", "tritan")
ValueWord: TypeAlias = Literal["dark", "medium", "light"]
VALUES: tuple[ValueWord, ...] = ("dark", "medium", "light")


@cache
def find_lab(colour: str) -> Lab:
    """Return CIELAB (L* 0 to 100, a*, b*) of a colour.

    References
    ----------
    CIE 15:2018, Colorimetry; IEC 61966-2-1:1999 for sRGB (both from memory).

    Examples
    --------
    >>> [round(part, 2) for part in find_lab("#ff0000")]
    [53.24, 80.09, 67.2]
    """
    lightness, a, b = Color(colour).convert("lab-d65").coords()
    return float(lightness), float(a), float(b)


@cache
def find_lightness(colour: str) -> float:
    """Return CIE lightness L*, 0 to 100."""
    return find_lab(colour)[0]


@cache
def find_hue(colour: str) -> float:
    """Return the hue angle in CIELAB, degrees from 0 to 360; greys are at 0."""
    hue = Color(colour).convert("lch-d65")["hue"]
    return float(hue) % 360 if hue == hue else 0.0  # noqa: PLR0124  a grey's hue is not a number


@cache
def find_hue_and_chroma(colour: str) -> tuple[float, float, float]:
    """Return lightness (0 to 1), chroma and hue (degrees; 0 where there is none) of a colour in OKLCh.

    References
    ----------
    CSS Color Module Level 4, section 9, Ok Lab and OkLCh.
    """
    lightness, chroma, hue = Color(colour).convert("oklch").coords(nans=False)
    return float(lightness), float(chroma), float(hue) % 360


def measure_lab_difference(first: Lab, second: Lab) -> float:
    """Return the CIEDE2000 difference of two CIELAB colours, with all weights 1.

    References
    ----------
    G. Sharma, W. Wu, E. Dalal, The CIEDE2000 color-difference formula, Color Research and Application 30 (2005), p. 21.
    """
    return float(Color("lab-d65", first).delta_e(Color("lab-d65", second), method="2000"))


@cache
def measure_difference(first: str, second: str) -> float:
    """Return the CIEDE2000 difference of two colours: about 1 is barely visible, 10 is plain, black and white are 100.

    Examples
    --------
    >>> round(measure_difference("#000000", "#ffffff"), 1)
    100.0
    """
    return measure_lab_difference(find_lab(first), find_lab(second))


@cache
def measure_contrast(first: str, second: str) -> float:
    """Return the contrast ratio of two colours, 1 to 21.

    References
    ----------
    W3C, Web Content Accessibility Guidelines 2.1 (2018), "contrast ratio".
    """
    return float(Color(first).contrast(Color(second), method="wcag21"))


@cache
def find_grey(colour: str) -> str:
    """Return the grey of the same lightness."""
    return _write(Color("lab-d65", [find_lightness(colour), 0, 0]))


@cache
def tint(colour: str) -> str:
    """Return the colour half-way to white, so that a letter on it is readable."""
    return str(Color(colour).mix("white", 0.55, space="srgb").to_string(hex=True))


@cache
def see_as(colour: str, sight: Sight) -> str:
    """Return the look of a colour to an eye without one kind of cone.

    Parameters
    ----------
    colour
        "#rrggbb".
    sight
        "protan" (no long-wave cones), "deutan" (no middle-wave cones) or "tritan" (no short-wave cones).

    References
    ----------
    H. Brettel, F. Vienot, J. Mollon, Computerized simulation of color appearance for dichromats, Journal of the Optical
    Society of America A 14 (1997), p. 2647; F. Vienot, H. Brettel, J. Mollon, Digital video colourmaps for checking the
    legibility of displays by dichromats, Color Research and Application 24 (1999), p. 243 (both from memory).

    Examples
    --------
    >>> see_as("#808080", "deutan")
    '#808080'
    """
    return _write(Color(colour).filter(sight))


def write_linear(red: float, green: float, blue: float) -> str:
    """Return the colour of an amount of light, each part from 0 to 1."""
    return _write(Color("srgb-linear", [red, green, blue]))


def name_values(colours: Sequence[str]) -> tuple[ValueWord, ...]:
    """Return "light", "medium" or "dark" for each colour, as it stands among the others.

    The span of lightness from the darkest to the lightest is cut into three equal parts; if all colours lie within ten
    steps of lightness, all are medium (common practice, no source).

    Examples
    --------
    >>> name_values(["#102030", "#808080", "#f4f0e8"])
    ('dark', 'medium', 'light')
    """
    levels = [find_lightness(colour) for colour in colours]
    low, high = min(levels, default=0.0), max(levels, default=0.0)
    if high - low < 10:
        return tuple(VALUES[1] for _ in levels)
    return tuple(VALUES[min(2, int(3 * (level - low) / (high - low)))] for level in levels)


def _write(colour: Color) -> str:
    return str(colour.convert("srgb").to_string(hex=True, fit="clip"))
