"""The plain word for a colour, so that a swatch or a fabric is told as well as seen."""

from collections import Counter
from collections.abc import Iterable

from kit.model.colour import find_hue_and_chroma
from kit.output.words.strings import say

GREY, TINT = 0.0335, 0.022
"""OKLCh chroma below which an eye sees no hue in cloth, and in the lightest cloth (own judgement, no source)."""
BLACK, DEEP, MIDDLE, PALEST, WHITE = 0.25, 0.5, 0.7, 0.9, 0.95
"""OKLCh lightness: a grey below the first is black, over the last white. Towards both ends a tint shows sooner: the
darker below the second, and the lighter from the third to the fourth."""
HUES = (
    (14.0, "pink"), (43.0, "red"), (82.0, "orange"), (116.0, "yellow"), (165.0, "green"), (205.0, "blue_green"),
    (288.0, "blue"), (337.0, "purple"), (360.0, "pink"),
)  # fmt: skip
"""Upper ends of the hues in OKLCh, degrees (own judgement, held to the names of CSS Color 4 by the test)."""
BROWN, TAN, RUSSET, PALE, OLIVE = 0.68, 0.115, 0.06, 0.72, 0.66
BURNT, CORAL, PEACH = 0.16, 36.0, 52.0
"""A dark orange is brown unless it burns, and so are orange and red of little chroma, and a pale yellow outside
cream; a pale red is pink, or orange where it turns to orange; a pale orange near red is pink; a dark yellow is brown,
or green where it turns to green."""
DARK, LIGHT = 0.46, 0.8
"""OKLCh lightness below which a colour is told as dark, over which as light; not the pure ones, by their chroma."""
PURE_DARK, PURE_LIGHT, PURE_WARM = 0.21, 0.165, 0.115


def say_colour(colour: str) -> str:
    """Return the basic word for a colour, such as "blue" or "brown".

    Parameters
    ----------
    colour
        "#rrggbb".

    References
    ----------
    The eleven basic terms are those of B. Berlin and P. Kay, Basic Color Terms, 1969 (from memory), with blue-green and
    cream, without which a reader takes the ground of many a quilt for grey.

    Examples
    --------
    >>> say_colour("#1f3a5f"), say_colour("#8b4513"), say_colour("#dddddd"), say_colour("#f6efe0")
    ('blue', 'brown', 'grey', 'cream')
    """
    return say(f"colour_{_find_word(colour)}")


def say_toned(colour: str) -> str:
    """Return the word for a colour, with dark or light before it.

    Examples
    --------
    >>> [say_toned(one) for one in ("#ffffff", "#22364d", "#e0b04f", "#d2b48c", "#777777")]
    ['white', 'dark blue', 'yellow', 'light brown', 'grey']
    """
    light, chroma, _ = find_hue_and_chroma(colour)
    word = _find_word(colour)
    if word in ("black", "white", "cream"):
        return say_colour(colour)
    if light < DARK and chroma < PURE_DARK:
        return say("colour_dark", colour=say_colour(colour))
    pure = PURE_WARM if word in ("yellow", "orange") else PURE_LIGHT
    if light > (PALE if word == "brown" else LIGHT) and chroma < pure:
        return say("colour_light", colour=say_colour(colour))
    return say_colour(colour)


def name_threads(colours: Iterable[str]) -> dict[str, str]:
    """Return what each colour of thread is called: its word, with its code where another has the same word.

    Examples
    --------
    >>> name_threads(["#8b4513", "#1f3a5f"])
    {'#8b4513': 'brown', '#1f3a5f': 'blue'}
    >>> name_threads(["#1f3a5f", "#2f6d9f"])
    {'#1f3a5f': 'blue (#1f3a5f)', '#2f6d9f': 'blue (#2f6d9f)'}
    """
    words = {colour: say_colour(colour) for colour in colours}
    alike = Counter(words.values())
    return {colour: word if alike[word] == 1 else f"{word} ({colour})" for colour, word in words.items()}


def _find_word(colour: str) -> str:
    light, chroma, hue = find_hue_and_chroma(colour)
    if _is_cream(light, chroma, hue):
        return "cream"
    paler = min(max((light - MIDDLE) / (PALEST - MIDDLE), 0.0), 1.0)
    if chroma < min(1.0, max(light, BLACK) / DEEP) * GREY - paler * (GREY - TINT):
        return "black" if light < BLACK else "white" if light > WHITE else "grey"
    word = next(name for end, name in HUES if hue <= end)
    if word == "yellow":
        return _name_yellow(light, chroma, hue)
    if word == "orange":
        return _name_orange(light, chroma, hue)
    if word == "red" and light < PALE:
        return "brown" if chroma < RUSSET else "red"
    if word == "red":
        return "orange" if hue > CORAL and chroma > TAN else "pink"
    return "red" if word == "pink" and light < 0.55 else word


def _name_orange(light: float, chroma: float, hue: float) -> str:
    if light > PALE and hue < PEACH and chroma < TAN:
        return "pink"
    if light > PALEST:
        return "orange"
    return "brown" if chroma < TAN or (light < BROWN and chroma < BURNT) else "orange"


def _is_cream(light: float, chroma: float, hue: float) -> bool:
    """Return True for a warm white: a little yellow in it is seen, and more of it towards orange."""
    if light < 0.88 or chroma < 0.015:
        return False
    return (50 <= hue <= 112 and chroma < 0.037) or (66 <= hue < 100 and chroma < 0.075)


def _name_yellow(light: float, chroma: float, hue: float) -> str:
    if light < OLIVE:
        return "brown" if hue < 100 else "green"
    return "brown" if chroma < 0.065 and hue < 100 else "yellow"
