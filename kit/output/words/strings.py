"""The house strings: every sentence of the printed pattern, from one file for each language.

They are in `english.toml`, with one table for each part of the work. A translation is another file with the same keys
and the same braces: `german.toml` has the tables of all that is printed; what it leaves out, screens, stays
English. English is the language of the kit; `use_language` changes it for a while.
"""

import re
import tomllib
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from kit.errors import KitError
from kit.lengths import PLAIN_NOTATION, Notation, use_notation

LANGUAGES: Mapping[str, str] = MappingProxyType({"English": "english.toml", "German": "german.toml"})
"""The languages of the printed pattern, each with its file."""
PRINTED = (
    "pattern", "finishing", "stitching", "bought", "foundations", "work", "units", "making", "chains", "notice",
    "buying", "testers", "errata", "glossary",
)  # fmt: skip
"""The tables that paper and tables are written from: every language has them."""
NUMBERS = re.compile(r"[\d.,°\s]*\d\.\d[\d.,°\s]*")
"""A fact that is nothing but figures."""
MOST_LETTERS = 2
"""Letters after the name of a unit that tell it from others of that name."""
COUNT = re.compile(r"\d+")
_language: ContextVar[str] = ContextVar("language", default="English")
_heard: ContextVar[list[tuple[str, Mapping[str, object]]] | None] = ContextVar("heard", default=None)


class Sentence(str):
    """A house string that knows its name; filled in, its figures are written as the language writes them."""

    __slots__ = ("name",)
    name: str

    def format(self, *args: object, **facts: object) -> str:
        """Return the sentence with its facts filled in."""
        hear(self.name, facts)
        decimal = _notation().decimal
        if decimal != ".":
            facts = {key: _write_decimals(fact, decimal) for key, fact in facts.items()}
        return str.format(self, *args, **facts)


class _Decimal(float):
    """A number that is written with the decimal sign of the language, whatever its format."""

    def __format__(self, spec: str) -> str:
        return float.__format__(self, spec).replace(".", ",")


def _write_decimals(fact: object, decimal: str) -> object:
    if isinstance(fact, float):
        return _Decimal(fact)
    if isinstance(fact, str) and NUMBERS.fullmatch(fact):
        return fact.replace(".", decimal)
    return fact


def hear(name: str, facts: Mapping[str, object]) -> None:
    """Note a sentence that is filled in while somebody listens."""
    heard = _heard.get()
    if heard is not None:
        heard.append((name, dict(facts)))


@cache
def _load(language: str) -> Mapping[str, Any]:
    """Return the file of a language, every text a `Sentence`."""
    text = files("kit.output.words").joinpath(LANGUAGES[language]).read_text(encoding="utf-8")
    return MappingProxyType({key: _name(table, key) for key, table in tomllib.loads(text).items()})


def _name(value: Any, name: str) -> Any:
    if isinstance(value, dict):
        return MappingProxyType({key: _name(entry, f"{name}.{key}") for key, entry in value.items()})
    if isinstance(value, str):
        sentence = Sentence(value)
        sentence.name = name
        return sentence
    return value


class _StringTable(Mapping[str, Any]):
    """One table of the strings in the language that is in use; of a table that it lacks, the English."""

    def __init__(self, find: Callable[[], Mapping[str, Any]]) -> None:
        self._find = find

    def __getitem__(self, key: str) -> Any:
        return self._find()[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._find())

    def __len__(self) -> int:
        return len(self._find())


def _find_table(name: str) -> Mapping[str, Any]:
    held = _load(_language.get())
    table: Mapping[str, Any] = held[name] if name in held else _load("English")[name]
    return table


TEXTS: Mapping[str, Any] = MappingProxyType(
    {name: _StringTable(lambda name=name: _find_table(name)) for name in _load("English") if name != "language"}  # type: ignore[misc]
)
"""The tables, in the language that is in use."""
WORDS: Mapping[str, str] = TEXTS["pattern"]
"""The sentences of the printed pattern."""
FINISHING: Mapping[str, str] = TEXTS["finishing"]


def name_language() -> str:
    """Return the tag in BCP 47 of the language that is in use.

    Examples
    --------
    >>> name_language()
    'en'
    """
    return str(_load(_language.get())["language"])


def is_original() -> bool:
    """Return True while English is in use, the language whose words are read back."""
    return _language.get() == "English"


def find_language() -> str:
    """Return the name of the language that is in use.

    Examples
    --------
    >>> find_language()
    'English'
    """
    return _language.get()


def write_as_read(text: str, language: str) -> str:
    """Return a measure that was written by hand in a language as the kit reads it: decimal sign and names of units.

    Parameters
    ----------
    text
        What was written.
    language
        "English" or "German".

    Examples
    --------
    >>> write_as_read("21,5 cm", "German"), write_as_read("8 1/2 Zoll", "German")
    ('21.5 cm', '8 1/2 in')
    """
    with use_language(language):
        held = _notation()
    if held.decimal != ".":
        text = re.sub(rf"(?<=\d){re.escape(held.decimal)}(?=\d)", ".", text)
    for theirs, ours in ((held.in_, "in"), (held.yd, "yd")):
        text = re.sub(rf"(?<![^\W\d_]){re.escape(theirs)}(?![^\W\d_])", ours, text, flags=re.IGNORECASE)
    return text


def check_language(language: str) -> None:
    """Refuse a language without a file.

    Raises
    ------
    KitError
        Names the languages that there are.
    """
    if language not in LANGUAGES:
        raise KitError(f"The language is `{language}`", needed=", ".join(LANGUAGES), do="choose one of these")


def _notation() -> Notation:
    table = _load(_language.get()).get("notation")
    return Notation(**{f"{key}_" if key == "in" else key: str(text) for key, text in table.items()}) if table else (
        PLAIN_NOTATION
    )  # fmt: skip


@contextmanager
def use_language(language: str) -> Iterator[None]:
    """Say and write everything in a language for a while.

    Parameters
    ----------
    language
        "English" or "German".

    Examples
    --------
    >>> with use_language("German"):
    ...     say("step", number=3)
    'Schritt 3'
    """
    check_language(language)
    token = _language.set(language)
    try:
        with use_notation(_notation()):
            yield
    finally:
        _language.reset(token)


@contextmanager
def listen() -> Iterator[list[tuple[str, Mapping[str, object]]]]:
    """Collect the name of every sentence that is filled in meanwhile, and its facts."""
    heard: list[tuple[str, Mapping[str, object]]] = []
    token = _heard.set(heard)
    try:
        yield heard
    finally:
        _heard.reset(token)


def say(key: str, **facts: object) -> str:
    r"""Return a house string with its facts filled in.

    Parameters
    ----------
    key
        Name of the string.
    **facts
        What stands between its braces.

    Examples
    --------
    >>> say("step", number=3)
    'Step 3'
    """
    return WORDS[key].format(**facts)


def say_hand(hand: str) -> str:
    """Return the hand of a piece in words.

    Examples
    --------
    >>> say_hand("left")
    'left'
    """
    return say(f"hand_{hand}")


def say_name(name: str) -> str:
    """Return a name that the kit gives, in the language that is in use; names of the design stay as they are.

    Letters and numbers of a name stay: "round 2 triangle", "column A".

    Examples
    --------
    >>> with use_language("German"):
    ...     say_name("round 2 triangle"), say_name("column A"), say_name("border 2 side B"), say_name("lantern")
    ('Dreieck der Runde 2', 'Spalte A', 'Rand 2 Seite B', 'lantern')
    """
    known = _load(_language.get()).get("names", {})
    if not known or name in known:
        return str(known.get(name, name))
    numbers = COUNT.findall(name)
    marked = str(known.get(COUNT.sub("#", name), ""))
    if numbers and marked:
        return marked.replace("#", numbers[0], 1)
    if name.startswith("for "):
        return str.format(WORDS["name_for"], units=name.removeprefix("for "))
    stem, _, last = name.rpartition(" ")
    if stem and len(last) <= MOST_LETTERS and last.isupper():
        return f"{say_name(stem)} {last}"
    if stem and last in {"set", "pair", "mirrored"}:
        return str.format(WORDS[f"name_{last}"], name=say_name(stem))
    for word in ("with", "and"):
        first, _, second = name.partition(f" {word} ")
        if second:
            return str.format(WORDS[f"name_{word}"], first=say_name(first), second=say_name(second))
    return str.format(WORDS["name_side"], name=say_name(stem)) if stem and last == "side" else name


def say_finishing(key: str, **facts: object) -> str:
    """Return a sentence of the finishing with its facts filled in.

    Examples
    --------
    >>> say_finishing("spool_many", count=3)
    '3 spools'
    """
    return FINISHING[key].format(**facts)
