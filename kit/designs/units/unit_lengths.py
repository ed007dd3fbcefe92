"""Lengths in the tables of units: plain ones, finished strips, shared lengths, edges of units, sums and differences."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kit.designs.keys import refuse_keys
from kit.designs.units.unit_words import refuse_unknown
from kit.errors import LengthError, PatchworkError
from kit.lengths import read_length, write_length
from kit.lengths.reading import read_number

_SUM = re.compile(r" +([+-]) +")
_TERM = re.compile(r"(?P<number>[\d./][\d./ -]*?)?\s*(?P<name>[^\W\d_][\w-]*)(?:\.(?P<edge>[^.,()]+))?")
_STRIP = ("strip", "strips")
LONGEST = 1_000
"""Letters of a sum."""
ANY = 3.0
"""Inches that stand for a length whose text alone is read."""
TAKEN = frozenset(
    {*_STRIP, "in", "ins", "inch", "inches", "cm", "mm", "m", "yd", "yds", "yard", "yards", "ft", "foot", "feet"}
)
"""Names that a shared length cannot have, since they are units of length."""
_DO = 'write for instance "12 in", "2 strips", "arm.left" or "arm.left - 2 strips"'


@dataclass(frozen=True, slots=True)
class Term:
    """A part of a sum: so many times a length, which is a text with a unit, a strip, a shared length or an edge."""

    times: float
    kind: str
    name: str
    edge: str = ""


def read_sum(text: object) -> tuple[Term, ...]:
    """Read a text that says how a length is made up.

    Raises
    ------
    LengthError
        A text that is not such a sum.

    Examples
    --------
    >>> [(term.times, term.kind, term.name) for term in read_sum("arm.left - 2 strips")]
    [(1.0, 'edge', 'arm'), (-2.0, 'strip', 'strips')]
    """
    if not isinstance(text, str):
        read_length(text)
        raise LengthError("the length is not text", needed="a text", do=_DO)
    if len(text) > LONGEST:
        raise LengthError(f"the length is a text of {len(text)} letters", needed=f"at most {LONGEST}", do="shorten it")
    parts = _SUM.split(text.strip())
    signs = ["+", *parts[1::2]]
    return tuple(_read_term(part, -1.0 if sign == "-" else 1.0) for sign, part in zip(signs, parts[::2], strict=True))


def _read_term(text: str, sign: float) -> Term:
    found = _TERM.fullmatch(text.strip())
    if not found or (found["name"].lower() in TAKEN - {*_STRIP} and not found["edge"]):
        read_length(text, zero_allowed=True)
        return Term(sign, "length", text.strip())
    times = sign * (read_number(found["number"].strip()) if (found["number"] or "").strip() else 1.0)
    if found["edge"]:
        return Term(times, "edge", found["name"], found["edge"].strip())
    return Term(times, "strip" if found["name"] in _STRIP else "shared", found["name"])


def check_sum(text: object) -> float:
    """Return any length for a text that can be one, so that the keys beside it can be checked before it is known."""
    read_sum(text)
    return ANY


@dataclass
class LengthBook:
    """Finds the lengths that texts say.

    Attributes
    ----------
    strip
        Finished width of the strips that units share, inches; None where the study gives none.
    shared
        Texts of the shared lengths, by name.
    find_edge
        Returns the finished length in inches of an edge of a unit.
    """

    strip: float | None
    shared: Mapping[str, str]
    find_edge: Callable[[str, str], float]
    _open: list[str] = field(default_factory=list)

    def find(self, text: object, key: str = "the length") -> float:
        """Return the inches that a text says.

        Raises
        ------
        LengthError
            A text that is not a length, or a sum that leaves nothing.
        PatchworkError
            A name that is not there, or a length that follows from itself.
        """
        terms = read_sum(text)
        if len(terms) == 1 and terms[0].kind == "length":
            return read_length(text, name=key)
        total = sum(self._find_term(term, str(text)) for term in terms)
        if not 1e-6 < total <= 500:
            raise LengthError(
                f"`{text}` comes to {write_length(max(total, 0.0)) if total >= 0 else 'less than zero'}",
                needed="a length of cloth",
                do="correct the sum",
            )
        return total

    def _find_term(self, term: Term, text: str) -> float:
        if term.kind == "length":
            return term.times * read_length(term.name, zero_allowed=True)
        if term.kind == "edge":
            return term.times * self.find_edge(term.name, term.edge)
        if term.kind == "strip":
            if self.strip is None:
                raise refuse_keys(
                    f"`{text:.60}` counts strips, and `design.strip_cut` is missing",
                    "the cut width of the strips that units share",
                    'write [design] strip_cut = "2 1/2 in"',
                )
            return term.times * self.strip
        return term.times * self._find_shared(term.name)

    def _find_shared(self, name: str) -> float:
        if name not in self.shared:
            raise self._refuse_name(name)
        if name in self._open:
            chain = " -> ".join([*self._open[self._open.index(name) :], name])
            raise refuse_keys(
                f"The length `{name}` follows from itself ({chain})",
                "lengths that begin somewhere",
                "write one of them as a length of its own",
            )
        self._open.append(name)
        try:
            return self.find(self.shared[name], f"design.lengths.{name}")
        finally:
            self._open.pop()

    def _refuse_name(self, name: str) -> PatchworkError:
        return refuse_unknown("length", name, [*self.shared, "strips"], "design.lengths")
