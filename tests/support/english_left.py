"""English that is left in a document of another language: a search for every sentence of the English file."""

import re
from string import Formatter

from kit.output.words.strings import PRINTED, _load

LEAST_WORDS = 2
LEAST_LETTERS = 9


def list_fragments(language):
    """Return what stands between the braces of every English sentence, where it has words enough to be known again.

    A fragment that the translation has too, or that one of its sentences holds, says nothing.
    """
    theirs = " ".join(flatten(one) for table in PRINTED for one in list_texts(_load(language)[table])).casefold()
    found = {}
    for table in PRINTED:
        for text in list_texts(_load("English")[table]):
            for literal, *_ in Formatter().parse(text):
                part = flatten(literal).strip(" .,:;()")
                words = re.findall(r"[^\W\d_]{2,}", part)
                if len(words) >= LEAST_WORDS and len(part) >= LEAST_LETTERS and part.casefold() not in theirs:
                    found[part.casefold()] = table
    return found


def list_texts(table):
    for value in table.values():
        yield from value if isinstance(value, list) else [value]


def flatten(text):
    return " ".join(str(text).replace("\N{NO-BREAK SPACE}", " ").split())


def find_english(text, language="German"):
    """Return the English fragments that a text holds."""
    plain = flatten(text).casefold()
    return sorted(part for part in list_fragments(language) if part in plain)
