"""Lengths as people write them by hand: any usual notation, in words too, the unit left out where a question gives it.

Study files are read strictly (`reading.py`), because a wrong guess there would be cut. Here a person's answer is
judged: whatever has one reading is read, and what has two readings gives both.
"""

import re
import unicodedata
from dataclasses import dataclass
from difflib import get_close_matches
from fractions import Fraction

from kit.errors import LengthError
from kit.lengths.number_words import write_figures
from kit.lengths.reading import UNIT_WORDS, find_factor, suggest_fractions
from kit.lengths.systems import LONGEST

_LONGEST_TEXT = 120
_QUOTES = {**dict.fromkeys("″”“„‟＂", '"'), **dict.fromkeys("′’‘´`＇", "'")}
_DASHES = dict.fromkeys("‐‑‒–—−﹣－", "-")
_SIGNS = {**_QUOTES, **_DASHES, "⁄": "/", "∕": "/", "÷": "/", "×": " x ", "✕": " x ", "·": "."}
_BEFORE = re.compile(
    r"^(?:[=~≈:]|about|approx(?:imately)?\b\.?|ca\b\.?|circa|roughly|around|exactly|just|only|it'?s?\b|is|are|i|get|got|"
    r"we|buy|need|cut|sew|make|makes|answer|lines?|number|no\.|the|that|would|be|to|at|should|measures?|comes?|each|you|must)\s*(?=\S)"
)
_BEHIND = re.compile(
    r"\s*(?:[.,;:!]|\bwhole|\bfull|\bsquares?|\bsq\.?|\bwide|\blong|\bhigh|\bdeep|\bin width|\bin length|\beach|"
    r"\bper side|\bper piece|\bon each side|\bon a side|\ball round|\bside|\bin all|\baltogether|\btotal|"
    r"\bof cloth|\bof fabric|\bcloth|\bfabric|\bexactly|\bor so|\bplease|\bcut|\bto cut|"
    r"\bunfinished|\bfinished|\bmore|\blonger|\bshorter|"
    r"\btoo short|\bin size)$"
)
_NUMBER = r"(?:\d+(?:[ -]|[ ]*(?:and|&|\+)[ ]*)\d+/\d+|\d+/\d+|\d+[.,]\d+|[.,]\d+|\d+[.,]?)"
_TERM = re.compile(rf"({_NUMBER})[ ]*([a-z]+\b\.?|\"|''|')?[ ]*")
_AREA = re.compile(
    r"\b(?:square|sq\.?) ?(?:in|inch|inches|cm|yd|yards?|m|metres?|feet|foot)\b|[\^²³]|\b(?:in|cm|m)[23]\b"
)
_NEEDED = "one length"


@dataclass(frozen=True, slots=True)
class HandLength:
    """One reading of a length written by hand.

    Attributes
    ----------
    inches
        Its value.
    number
        Its number in the unit that was written or, without one, in that of the question.
    unit
        That unit: "in", "cm", "yd" and so on; empty for a length of two terms.
    given
        Whether the unit was written.
    last
        Inches: half of the last decimal place written; 0 where there is no decimal.
    """

    inches: float
    number: float
    unit: str
    given: bool
    last: float = 0.0


def read_handwriting(text: str, unit: str = "in") -> tuple[HandLength, ...]:
    r"""Read a length as a person writes it; return its readings, the likeliest first.

    Put signs and letters into plain ones and numbers in words into figures, leave out words that say no number, and
    read number after number with its unit. A text that names one length twice is read if both agree.

    Parameters
    ----------
    text
        "7½", "7.5''", "7 1/2 in square", "7,5", "13,50 cm", "seven and a half", "1 yd 4 in", "7 1/2 x 7 1/2".
    unit
        Unit of a bare number. Where a yard or a metre is too long for any cloth, inches or centimetres are meant.

    Raises
    ------
    LengthError
        No length, an area, two lengths that differ, or a length outside the range of cloth.

    Examples
    --------
    >>> [read_handwriting(text)[0].inches for text in ("7½", "7.5''", "7 1/2 in square", "7,5", "seven and a half")]
    [7.5, 7.5, 7.5, 7.5, 7.5]
    >>> [one.inches for one in read_handwriting("71/2")]
    [7.5, 35.5]
    """
    plain = make_plain(text)
    if _AREA.search(plain):
        raise LengthError(f"`{_show(text)}` is an area", needed=_NEEDED, do="write the length of one side")
    parts = [part for part in re.split(r"\s*(?:=|\(|\)| x | by |\*)\s*", plain) if part.strip(" .")]
    if not parts:
        raise LengthError("There is no length", needed=_NEEDED, do='write for instance "7 1/2"')
    later = _find_unit_within(parts[-1])
    readings = [_read_part(_trim_words(part), unit, later, text) for part in parts]
    first = readings[0]
    if any(all(abs(one.inches - other.inches) > 0.021 for one in first for other in more) for more in readings[1:]):
        raise LengthError(
            f"`{_show(text)}` names lengths that differ", needed=_NEEDED, do="write the one that is asked"
        )
    return readings[-1] if any(one.given for one in readings[-1]) and not any(one.given for one in first) else first


def read_hand_count(text: str, noun: str) -> float:
    """Read a whole number as a person writes it, with or without the name of what is counted, behind or before it.

    Raises
    ------
    LengthError
        Not a number, or not a whole one.

    Examples
    --------
    >>> read_hand_count("12 strips", "strips"), read_hand_count("a dozen", "strips"), read_hand_count("ten", "cuts")
    (12.0, 12.0, 10.0)
    >>> read_hand_count("line 6", "lines")
    6.0
    """
    plain = _trim_words(make_plain(text))
    last = noun.rsplit(maxsplit=1)[-1]
    plain = re.sub(rf"^(?:the )?{re.escape(last.removesuffix('s').lower())} (?=\d)", "", plain)
    for word in (noun, noun.removesuffix("s"), last, last.removesuffix("s"), "pieces", "times"):
        plain = re.sub(rf"\s*\b(?:whole |full )?{re.escape(word.lower())}\.?$", "", plain)
    plain = _trim_words(plain)
    do = "decide which way to round, and write the whole number"
    found = re.fullmatch(r"(\d+)(?:[.,]0*)?", plain)
    if not plain:
        raise LengthError("There is no number", needed=f"a number of {noun}", do='write for instance "12"')
    if not found or len(plain) > 12:
        fault = "is not a whole number" if re.match(r"[\d.,]", plain) else "is not a number"
        raise LengthError(f"the answer `{_show(text)}` {fault}", needed=f"a whole number of {noun}", do=do)
    return float(found[1])


def make_plain(text: str) -> str:
    """Return a text in small letters with plain signs, built fractions with a slash and numbers as figures."""
    if len(text) > _LONGEST_TEXT:
        raise LengthError(f"The answer is {len(text)} characters long", needed=_NEEDED, do="write only the length")
    spaced = re.sub(r"(?<=\d)(?=[⁰¹²³⁴⁵⁶⁷⁸⁹]+[/⁄∕])", " ", text)
    spaced = re.sub(r"[⁰¹²³⁴⁵⁶⁷⁸⁹]+(?=[/⁄∕])", lambda found: unicodedata.normalize("NFKC", found[0]), spaced)
    made = "".join(_write_sign(character) for character in spaced)
    made = re.sub(r"(?<=\d)\\(?=\d)", "/", re.sub(r"(?<=\d) */ *(?=\d)", "/", made.lower()))
    made = re.sub(r"(?<=\d) ?- ?(?=\d+/)", " ", made.replace("''", '"').replace("' '", '"'))
    made = re.sub(r"(?<=\d)x(?=[\d ])|(?<=[\"a-z.] )x(?= )|(?<=\")x(?=\d)", " x ", made)
    return write_figures(re.sub(r"\s+", " ", made).strip())


def _write_sign(character: str) -> str:
    if character in _SIGNS:
        return _SIGNS[character]
    if unicodedata.decomposition(character).startswith("<fraction>"):
        return f" {unicodedata.normalize('NFKC', character).replace('⁄', '/')} "
    kind = unicodedata.category(character)
    if kind in {"Zs", "Cc", "Zl", "Zp"}:
        return " "
    if kind in {"Cf", "Cs", "Co", "Cn"}:
        return ""
    if character in "²³":
        return character
    return unicodedata.normalize("NFKC", character)


def _trim_words(text: str) -> str:
    """Return a text without the words before and behind its number that say nothing of its size."""
    made = text.strip()
    while (found := _BEFORE.match(made)) or (found := _BEHIND.search(made)):
        rest = made[found.end() :] if found.start() == 0 else made[: found.start()]
        if not re.search(r"\d", rest):
            break
        made = rest.strip()
    return made


def _find_unit_within(part: str) -> str:
    """Return the unit that a part names, for the other parts of "7 1/2 x 7 1/2 in"; empty if it names none."""
    found = _TERM.search(_trim_words(part))
    return _find_unit(found[2]) if found and found[2] else ""


def _find_unit(word: str) -> str:
    bare = word.removesuffix(".")
    if bare == "'":
        return "foot"
    if bare in UNIT_WORDS:
        return UNIT_WORDS[bare]
    near = get_close_matches(bare, [known for known in UNIT_WORDS if len(known) > 3], n=1, cutoff=0.8)
    return UNIT_WORDS[near[0]] if near and len(bare) > 3 else ""


def _read_part(part: str, unit: str, later: str, text: str) -> tuple[HandLength, ...]:
    """Read one length: a number with or without a unit, or terms such as "1 ft 3 1/2 in"."""
    at, terms = 0, list[tuple[str, str]]()
    if part.startswith("-"):
        raise LengthError(
            f"`{_show(text)}` is negative", needed="a length of zero or more", do="write it without a sign"
        )
    while at < len(part):
        link = re.match(r"(?:and|plus|&|\+|,)[ ]*", part[at:]) if terms else None
        at += link.end() if link else 0
        found = _TERM.match(part, at)
        if not found or (found[2] and not _find_unit(found[2])):
            raise LengthError(
                f"`{_show(text)}` is not read as a length", needed=_NEEDED, do='write for instance "7 1/2" or "7.5 in"'
            )
        terms.append((found[1], _find_unit(found[2] or "")))
        at = found.end()
    if len(terms) == 1:
        return _read_term(*terms[0], unit, later, text)
    total, before = Fraction(0), ""
    for number, named in terms:
        own = named or (before if "/" in number else "")
        if not own:
            raise LengthError(f"`{_show(text)}` holds two numbers", needed=_NEEDED, do="write one, or both with units")
        total += _list_values(number)[0] * find_factor(own)
        before = own
    return (_check(HandLength(float(total), 0.0, "", given=True), text),)


def _read_term(number: str, named: str, unit: str, later: str, text: str) -> tuple[HandLength, ...]:
    """Return the readings of a number with its unit, or with that of the question."""
    own = named or later or UNIT_WORDS[unit]
    bare = not (named or later)
    smaller = {"yard": "inch", "meter": "centimeter"}.get(own, own)
    readings = []
    for value in _list_values(number):
        taken = smaller if bare and value * find_factor(own) > LONGEST else own
        factor = find_factor(taken)
        places = re.search(r"[.,](\d+)$", number)
        last = float(factor) * 0.5 * 10.0 ** -len(places[1]) if places else 0.0
        readings.append(HandLength(float(value * factor), float(value), taken, not bare, last))
    within = [one for one in readings if one.inches <= LONGEST]
    return tuple(within) or (_check(readings[0], text),)


def _list_values(number: str) -> list[Fraction]:
    """Return the values of a number; a fraction that may have lost its space has several, the parted ones first."""
    plain = re.sub(r"[ ]*(?:and|&|\+)[ ]*", " ", number.strip())
    mixed = re.fullmatch(r"(?:(\d+)[ -])?(\d+)/(\d+)", plain)
    if not mixed:
        return [Fraction(plain.replace(",", ".").rstrip(".") if plain[0] not in ".," else f"0.{plain[1:]}")]
    whole, over, under = mixed[1], mixed[2], int(mixed[3])
    if not under:
        raise LengthError(f"`{number}` has zero below the line", needed="a fraction", do="correct it")
    if int(over) < under:
        return [int(whole or 0) + Fraction(int(over), under)]
    readings = suggest_fractions(whole, over, under)
    return [sum((Fraction(one) for one in reading.split()), Fraction(0)) for reading in readings] or [Fraction(0)]


def _check(one: HandLength, text: str) -> HandLength:
    if one.inches > LONGEST:
        do = "check the number and the unit"
        raise LengthError(f"`{_show(text)}` is more than {LONGEST:g} in", needed=f"at most {LONGEST:g} in", do=do)
    return one


def _show(text: str) -> str:
    return text.strip() if len(text.strip()) <= 40 else f"{text.strip()[:37]}..."
