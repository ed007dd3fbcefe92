"""The plain word for a colour, so that a swatch is told as well as seen."""

from collections import Counter
from collections.abc import Iterable

from kit.model.colour import find_hue_and_chroma
from kit.output.words.strings import say

GREY = 0.032
"""OKLCh chroma below which an eye sees no hue in cloth (own judgement, no source)."""
HUES = (
    (14.0, "pink"), (43.0, "red"), (82.0, "orange"), (116.0, "yellow"), (178.0, "green"), (205.0, "blue_green"),
    (288.0, "blue"), (337.0, "purple"), (360.0, "pink"),
)  # fmt: skip
"""Upper ends of the hues in OKLCh, degrees (own judgement, held to the names of CSS Color 4 by the test)."""
BROWN, TAN, RUSSET, PALE = 0.68, 0.115, 0.06, 0.72
"""A dark orange is brown, and so are orange and red of little chroma; a pale red is pink."""


def say_colour(colour: str) -> str:
    """Return the basic word for a colour, such as "blue" or "brown".

    Parameters
    ----------
    colour
        "#rrggbb".

    References
    ----------
    The eleven basic terms are those of B. Berlin and P. Kay, Basic Color Terms, 1969 (from memory), and blue-green.

    Examples
    --------
    >>> say_colour("#1f3a5f"), say_colour("#8b4513"), say_colour("#dddddd")
    ('blue', 'brown', 'grey')
    """
    return say(f"colour_{_find_word(colour)}")


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
    if chroma < GREY:
        return "black" if light < 0.25 else "white" if light > 0.95 else "grey"
    word = next(name for end, name in HUES if hue <= end)
    if word == "orange" and (light < BROWN or chroma < TAN):
        return "brown"
    if word == "red" and chroma < RUSSET and light < PALE:
        return "brown"
    if word in ("red", "pink"):
        return "pink" if light > PALE or (word == "pink" and light > 0.55) else "red"
    return word
