"""One name for each thing: fabrics a letter, pieces letter and number, units the study's words, steps a number."""

import re
from collections import Counter

import pytest
from printed import document_of
from printed_names import LETTER, MADE, PIECE, SHAPE, read_names

import kit

pytestmark = pytest.mark.slow

STUDIES = ("boat-shed", "ferry-steps", "millwheel", "tideline")


def repeated(names):
    return [name for name, count in Counter(names).items() if count > 1]


@pytest.mark.parametrize("name", STUDIES)
def test_everything_in_a_printed_pattern_has_one_name_and_every_name_one_thing(name):
    found = read_names(document_of(name))
    letters, pieces = dict(found.fabrics), dict(found.pieces)
    # fabrics: letters alone, each of one fabric, the same wherever it stands
    assert letters
    assert repeated(letter for letter, _ in found.fabrics) == []
    assert repeated(fabric for _, fabric in found.fabrics) == []
    assert all(letters.get(letter, fabric) == fabric for letter, fabric in found.bought)
    # pieces: a letter and a number, and the letter is that of the piece's own fabrics
    assert repeated(piece for piece, _ in found.pieces) == []
    for piece in pieces:
        assert PIECE.fullmatch(piece) or SHAPE.fullmatch(piece), piece
        role = re.sub(r"\d+$", "", piece)
        assert SHAPE.fullmatch(piece) or any(letter.rstrip("abcdefghijklmnopqrstuvwxyz") == role for letter in letters)
    # units: words, never a letter, a piece or a number; no two of one name
    assert repeated(found.units) == []
    assert not [unit for unit in found.units if unit in letters or unit in pieces or re.fullmatch(r"[\d ]+", unit)]
    # steps: numbers from 1, each once
    assert found.steps == list(range(1, len(found.steps) + 1))
    # whatever looks like a piece or a batch is one that is listed
    made = {token for token in found.tokens if MADE.fullmatch(token)}
    assert found.tokens - made <= set(pieces)
    assert made == set(found.made) or (made <= set(fill(found.made)) and found.made)


def fill(names):
    """Return the names of batches between the first and the last of a heading that names several."""
    numbers = [int(re.sub(r"\D", "", name)) for name in names]
    stem = re.sub(r"\d", "", names[0]) if names else ""
    return [f"{stem}{number}" for number in range(1, max(numbers, default=0) + 1)]


@pytest.mark.parametrize("name", STUDIES)
def test_units_are_called_what_the_study_calls_them(name):
    study = kit.open_study(f"data/studies/{name}.toml")
    named = {unit.casefold() for unit in kit.study_keys(study).get("unit", {})}
    found = read_names(document_of(name))
    told = {re.sub(r" [A-Z]{1,2}$", "", unit).casefold() for unit in found.units}
    taken = {re.sub(r"^\(\d+\) ", "", part).casefold() for part in found.added}
    strange = {unit for unit in told if unit not in named and named and not is_part_of(unit, named)}
    assert strange == set(), (strange, named)
    for part in taken:  # a unit in a step's table is one with a heading, or a piece with its name
        known = any(part.startswith(unit.casefold()) for unit in found.headings)
        assert known or re.search(r"\b[a-z]{1,2}\d+\b|\bua|needle|step|patches|sewn before", part), part


def is_part_of(unit, named):
    """Return True for a unit that the kit puts together out of the study's, or that it names by its place.

    What a family makes more than once within a unit of the study has the trade's word: a panel, a flight.
    """
    words = {
        "panel",
        "flight",
        "with",
        "and",
        "row",
        "column",
        "set",
        "pair",
        "mirrored",
        "block",
        "corner",
        "unit",
        "part",
        "side",
    }
    return bool(set(unit.split()) & (words | {word for one in named for word in one.split()}))


def test_the_four_kinds_of_name_never_look_alike():
    for text, kind in (("A", LETTER), ("Ba", LETTER), ("B12", PIECE), ("U3", MADE), ("Ua", SHAPE)):
        assert kind.fullmatch(text)
    assert not LETTER.fullmatch("B1")
    assert not PIECE.fullmatch("Ba")
