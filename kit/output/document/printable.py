"""Text fit for setting: missing characters are named, endless words may be broken, dimensions are kept together."""

import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from typing import Any

import typst

SERIF, SANS = "Libertinus Serif", "DejaVu Sans"
"""The font of the pattern, part of the typesetter, and that of large print, in the folder `fonts`."""
SETTING: Mapping[str, Any] = {
    "font_paths": [str(files("kit.output.document") / "fonts")],
    "ignore_system_fonts": True,
    "timestamp": 0,
}
"""The call of the typesetter, so that the same sources give the same bytes on every machine."""

HELD = "\N{NO-BREAK SPACE}"
_LONG_WORD, _CHUNK = re.compile(r"\S{32,}"), re.compile(r"\S{1,8}")
_TOGETHER: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r" × (?=\d|about)"), f"{HELD}×{HELD}"),
    (re.compile(r"(?<=× )about (?=\d)"), f"about{HELD}"),
    (re.compile(r"(\(\d+\)) (?=\S)"), rf"\1{HELD}"),
    (re.compile(r"(?<=\d) (?=%)"), HELD),
    (re.compile(r"(?<=[a-z]) (?=[A-Z]{1,2}\d+\b)"), HELD),
    (re.compile(r"\b([A-Z]{1,2}[a-z]{0,2}) (?=\(\d+\)(?:,|\.$))"), rf"\1{HELD}"),
    (re.compile(r"\b(row|column|step|set|border|panel|page) (?=\d)"), rf"\1{HELD}"),
)
"""Dimensions, counts and numbered names: lines never break inside them."""


def make_printable(value: object) -> object:
    r"""Return data with every text fit for setting.

    A character missing from every font is replaced by its name in brackets; a word of 32 characters or more may be
    broken anywhere; lines never break within dimensions, after counts and before the numbers of steps and rows.

    Parameters
    ----------
    value
        A text, or mappings and sequences of texts, ready for JSON; values under "file" are left alone.

    Examples
    --------
    >>> make_printable(["Tideline \N{WAVE DASH}", 3])
    ['Tideline [wave dash]', 3]
    >>> make_printable("(4) 2 × 3, 5 %").replace("\xa0", "_")
    '(4)_2_×_3, 5_%'
    """
    if isinstance(value, str):
        return _fit(value)
    if isinstance(value, Mapping):
        return {key: entry if key == "file" else make_printable(entry) for key, entry in value.items()}
    if isinstance(value, list | tuple):
        return [make_printable(entry) for entry in value]
    return value


def _fit(text: str) -> str:
    shown = "".join(c if c.isascii() or _has_glyph(c) else f"[{_name(c)}]" for c in text)
    for pattern, held in _TOGETHER:
        shown = pattern.sub(held, shown)
    words = (_LONG_WORD.sub(_break_anywhere, part) for part in re.split(r"([ \xa0\u202f])", shown))
    return "".join(words)


def _break_anywhere(word: re.Match[str]) -> str:
    return "\N{ZERO WIDTH SPACE}".join(_CHUNK.findall(word[0]))


def _name(character: str) -> str:
    return unicodedata.name(character, f"U+{ord(character):04X}").lower()


@cache
def _has_glyph(character: str) -> bool:
    """Return True if a character can be set, by setting it: the standard refuses characters missing from every font."""
    source = f'#set document(title: "-")\n#set text(font: ("{SERIF}", "{SANS}"))\n#sys.inputs.shown'.encode()
    try:
        typst.compile(source, **SETTING, pdf_standards=["ua-1"], sys_inputs={"shown": character})
    except typst.TypstError:
        return False
    return True
