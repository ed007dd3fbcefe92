"""The short texts in which units are put together: `star*3`, `arm(mirror 90)`, `wing.long to arm 2.left, start`."""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Literal, TypeAlias

from kit.designs.keys import refuse_keys
from kit.errors import LengthError, PatchworkError
from kit.lengths import write_exact, write_length
from kit.lengths.reading import read_number

PlaceWord: TypeAlias = Literal["start", "middle", "end"]
PLACES: tuple[PlaceWord, ...] = ("start", "middle", "end")

_NAME = r"[^\W\d_][\w-]*"
_TURNED = re.compile(
    rf"(?P<name>{_NAME})(?:\*(?P<count>\d{{1,9}}))?(?:\((?P<how>[^()]*)\))?(?:\*(?P<after>\d{{1,9}}))?"
)
_JOIN = re.compile(
    rf"(?P<name>{_NAME})(?:\((?P<how>[^()]*)\))?\.(?P<edge>[^.,()]+?) +to +"
    rf"(?P<host>{_NAME})(?: +(?P<copy>\d{{1,6}}))?\.(?P<side>[^.,()]+?)"
    r"(?: *, *(?P<place>\w+)(?: +(?P<shift>.+))?)?"
)
_EDGE = re.compile(rf"(?P<name>{_NAME})(?:\.(?P<edge>[^.,()]+))?")


@dataclass(frozen=True, slots=True)
class UnitWord:
    """A unit as it stands in a row: its name, how often, turned by so many degrees, mirrored first or not."""

    name: str
    count: int = 1
    angle: float = 0.0
    mirrored: bool = False


@dataclass(frozen=True, slots=True)
class JoinWord:
    """A unit that is joined to what is there.

    Attributes
    ----------
    name, mirrored, edge
        The unit, whether it is mirrored, and its edge.
    host, copy, side
        What it is joined to: the unit, which copy of it from 1 (0: the latest), and the edge.
    place
        Which ends or middles lie on one another, None where both edges are equally long.
    shift
        A length by which it is moved from there, empty for none.
    """

    name: str
    mirrored: bool
    edge: str
    host: str
    copy: int
    side: str
    place: PlaceWord | None
    shift: str


def read_word(text: str, key: str) -> UnitWord:
    """Read one word of a row.

    Raises
    ------
    PatchworkError
        Names the key, the word and how it is written.

    Examples
    --------
    >>> read_word("star*3", "rows"), read_word("arm(mirror 90)", "rows").mirrored
    (UnitWord(name='star', count=3, angle=0.0, mirrored=False), True)
    """
    found = _TURNED.fullmatch(text)
    if not found or (found["count"] and found["after"]):
        raise refuse_keys(
            f"`{key}` holds `{text:.60}`",
            "a unit, how often, and how it is turned",
            "write for instance `star`, `star*3`, `star(90)` or `star(mirror)`",
        )
    mirrored, angle = _read_turn(found["how"], text, key)
    count = int(found["count"] or found["after"] or 1)
    if count == 0:
        raise refuse_keys(
            f"`{key}` holds `{text:.60}`, no copy at all", "at least one copy", "write 1 or more, or leave it out"
        )
    return UnitWord(found["name"], count, angle, mirrored)


def read_words(text: str, key: str) -> tuple[UnitWord, ...]:
    """Read a row of words; a space within brackets does not end a word.

    Examples
    --------
    >>> [word.name for word in read_words("a b(mirror 90) a*2", "rows")]
    ['a', 'b', 'a']
    """
    words = re.findall(r"(?:[^\s()]|\([^()]*\)|[()])+", text)
    if not words:
        raise refuse_keys(f"`{key}` is empty", "the name of at least one unit", "name a unit")
    return tuple(read_word(word, key) for word in words)


def _read_turn(how: str | None, text: str, key: str) -> tuple[bool, float]:
    """Return whether the brackets mirror, and by how many degrees they turn."""
    if how is None:
        return False, 0.0
    words = how.replace("°", " ").split()
    mirrored = words[:1] == ["mirror"]
    rest = words[1:] if mirrored else words
    try:
        angle = read_number(" ".join(rest) if words else "none") if rest or not words else 0.0
    except LengthError:
        near = " (is `mirror` meant?)" if words and get_close_matches(words[0], ["mirror", "mirrored"], n=1) else ""
        raise refuse_keys(
            f"`{key}` holds `{text:.60}`{near}",
            "in brackets `mirror`, a turn in degrees, or both",
            "write for instance `(90)`, `(mirror)` or `(mirror 180)`",
        ) from None
    return mirrored, angle % 360


def read_join(text: str, key: str) -> JoinWord:
    """Read a text that joins a unit to what is there.

    Raises
    ------
    PatchworkError
        Names the key, the text and how it is written.

    Examples
    --------
    >>> word = read_join("arm(mirror).right to wing 2.short 1, start", "join")
    >>> word.name, word.mirrored, word.edge, word.host, word.copy, word.side, word.place
    ('arm', True, 'right', 'wing', 2, 'short 1', 'start')
    """
    found = _JOIN.fullmatch(" ".join(text.split()))
    if not found:
        raise refuse_keys(
            f"`{key}` holds `{text:.80}`",
            "an edge of a unit, `to`, and an edge of a unit that is there",
            "write for instance `wing.long to arm.left, middle` or `arm(mirror).right to wing 2.short 1`",
        )
    mirrored, angle = _read_turn(found["how"], text, key)
    if angle:
        raise refuse_keys(
            f"`{key}` holds `{text:.80}` with a turn",
            "no turn: how a unit is turned follows from the edges that are joined",
            "leave the turn out",
        )
    place = found["place"]
    if place is not None and place not in PLACES:
        raise refuse_unknown("placing word", place, PLACES, key)
    copy = int(found["copy"] or 0)
    return JoinWord(
        found["name"], mirrored, found["edge"].strip(), found["host"], copy, found["side"].strip(), place,
        (found["shift"] or "").strip(),
    )  # fmt: skip


def read_edge(text: str, key: str) -> tuple[str, str | None]:
    """Read a unit with or without one of its edges: `half` or `half.bottom`."""
    found = _EDGE.fullmatch(text.strip())
    if not found:
        raise refuse_keys(
            f"`{key}` is `{text:.60}`", "a unit, or an edge of one", "write for instance `half` or `half.bottom`"
        )
    return found["name"], found["edge"].strip() if found["edge"] else None


def refuse_unknown(kind: str, name: str, known: Iterable[str], place: str) -> PatchworkError:
    """Return the error of a name that is not there, with the nearest that is."""
    names = list(known)
    near = get_close_matches(name[:60], names, n=1, cutoff=0.5)
    return refuse_keys(
        f"`{place}`: there is no {kind} `{name:.60}`",
        f"one of {list_names(names)}" if names else f"a {kind}",
        f"write `{near[0]}`" if near else "name one that is there",
    )


def list_names(names: Sequence[str], most: int = 12) -> str:
    """Return names in a sentence, the first dozen of many."""
    shown = ", ".join(f"`{name}`" for name in names[:most])
    return shown if len(names) <= most else f"{shown} and {len(names) - most} more"


def write_both(one: float, two: float) -> tuple[str, str]:
    """Return two lengths in words that tell them apart."""
    said = write_length(one), write_length(two)
    return said if said[0] != said[1] else (write_exact(round(one, 5)), write_exact(round(two, 5)))
