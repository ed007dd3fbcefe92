"""The reader of the printed sewing: it sews every study from its words alone, and refuses damaged cards by name."""

import re
from dataclasses import replace
from functools import cache

import pytest
from changed_words import find_missed, is_meaningless, list_texts, make_composed, put
from printed import metric_of, pattern_of
from printed_elements import list_elements
from printed_sewing_pages import is_seen_in, read_sewing
from random_studies import make_keys
from read_documents import find_unreadable

import kit
from kit.checks.sewing_words_check import check_sewing_words, sew_by_words
from kit.errors import CheckError, KitError
from kit.output.document.document import set_document
from kit.output.document.sewing_texts import print_sewing
from kit.study import editions, study_from_keys

STUDIES = (
    "boat-shed", "chandlery", "ferry-steps", "gull-point", "harbour-light", "harbour-wheel", "lamplight", "millwheel",
    "net-loft", "regatta-bay", "saltmarsh", "slipway", "tideline", "town-quay",
)  # fmt: skip
NO_METRIC = ("boat-shed", "town-quay")
"""Studies whose units do not close in round centimetres: they are refused before anything is sewn."""
CHANDLERY = "data/studies/chandlery.toml"
SHOWN = ("millwheel", "harbour-wheel", "harbour-light", "slipway")
"""Studies that together have every kind of step: partial and set-in seams, trims, lists, turned units, batches."""
NBSP = "\N{NO-BREAK SPACE}"


@cache
def printed_of(name):
    pattern = pattern_of(name)
    return print_sewing(pattern, pattern.sewing)


def sew(name, printed):
    pattern = pattern_of(name)
    return sew_by_words(printed, pattern.cut_list, pattern.sewing)


# Every quilt comes out


@pytest.mark.parametrize("name", STUDIES)
def test_every_study_is_sewn_from_its_words(name):
    pattern = pattern_of(name)
    found = check_sewing_words(printed_of(name), pattern.cut_list, pattern.sewing)
    assert found == pattern.words_sewn
    assert found.pieces == len(pattern.patchwork.patches)
    assert found.seams + found.ready == sum(step.kind != "trim" for step in pattern.sewing.steps)
    assert found.dots >= sum(len(step.stops) for step in pattern.sewing.steps)


@pytest.mark.parametrize("name", [name for name in STUDIES if name not in NO_METRIC])
def test_a_study_is_sewn_from_its_words_in_centimetres(name):
    pattern = metric_of(name)
    assert pattern.words_sewn.faults == ()
    assert pattern.words_sewn.pieces == len(pattern.patchwork.patches)


def read_file(pattern, paper="Letter", edition="standard"):
    """Return what is printed about sewing, its words as they stand in the finished file."""
    data = set_document(pattern, paper, pattern.study.measures.system, edition=edition)
    (read,) = read_sewing([pattern], list_elements(data))
    return read


def test_the_words_that_stand_in_the_file_give_the_quilt():
    assert sew("slipway", read_file(pattern_of("slipway"))).faults == ()


# tests/sweeps/read_documents.py does all studies, on both papers, in both systems and print sizes, in all their sizes


@pytest.mark.slow
@pytest.mark.parametrize(("name", "paper", "edition"), [
    ("millwheel", "A4", "large print"), ("harbour-wheel", "Letter", "standard"), ("saltmarsh", "A4", "standard"),
])  # fmt: skip
def test_the_words_of_every_kind_of_file_give_the_quilt(name, paper, edition):
    assert find_unreadable([pattern_of(name)], paper, edition) == []


@pytest.mark.slow
@pytest.mark.parametrize(("name", "edition"), [("tideline", "standard"), ("gull-point", "large print")])
def test_a_metric_file_gives_the_quilt(name, edition):
    assert find_unreadable([metric_of(name)], "A4", edition) == []


@pytest.mark.slow
@pytest.mark.parametrize(("system", "edition"), [("metric", "large print")])
def test_every_size_of_one_file_is_sewn_and_cut_by_its_own_words(system, edition):
    sizes = [kit.redraft(kit.make_pattern(one), system) for one in editions(kit.open_study(CHANDLERY))]
    assert len(sizes) == 3
    assert find_unreadable(sizes, "Letter", edition) == []


def test_a_picture_with_another_letter_or_dot_does_not_serve_for_a_later_size():
    pictures = [card.picture for unit in printed_of("slipway").units for card in unit.cards if card.picture.dots]
    first = pictures[0]
    assert is_seen_in(first, first)
    assert not is_seen_in(first, replace(first, dots=()))
    letters = {**first.letters, "a": first.letters["b"]}
    assert not is_seen_in(first, replace(first, letters=letters))


def assert_composed(seeds):
    for seed in seeds:
        pattern = kit.make_pattern(make_composed(seed), "quick")
        assert pattern.words_sewn.faults == (), seed
        assert pattern.words_sewn.pieces == len(pattern.patchwork.patches)


def test_ten_composed_designs_are_sewn_from_their_words():
    assert_composed(range(10))


@pytest.mark.slow
@pytest.mark.parametrize("block", range(1, 4))
def test_thirty_more_composed_designs_are_sewn_from_their_words(block):
    assert_composed(range(10 * block, 10 * block + 10))


PINNED = (18, 124, 211, 426, 495)
"""A partial seam out of a batch; partial seams with uneven ends; trims told from a square; a top of one piece."""


@pytest.mark.parametrize("seed", PINNED)
def test_designs_that_were_misread_once_are_sewn_from_their_words(seed):
    assert kit.make_pattern(study_from_keys(make_keys(seed)), "quick").words_sewn.faults == ()


@pytest.mark.slow
@pytest.mark.parametrize("block", range(3))
def test_random_designs_of_every_family_are_sewn_from_their_words(block):
    made, seed = 0, 1000 + 100 * block
    while made < 10:
        seed += 1
        try:
            pattern = kit.make_pattern(study_from_keys(make_keys(seed)), "quick")
        except (KitError, KeyError) as error:  # a KeyError of the batches of split patches is not the reader's
            if "words that give the design" in str(error):
                raise
            continue  # a design that cannot be built
        assert pattern.words_sewn.faults == (), seed
        made += 1


# Every word and number is read


@pytest.mark.parametrize("name", SHOWN)
def test_a_sample_of_changed_words_and_numbers_is_noticed(name):
    missed, tried = find_missed(pattern_of(name), printed_of(name), every=29, start=STUDIES.index(name))
    assert tried > 40
    assert [one for one in missed if not is_meaningless(*one)] == []


@pytest.mark.slow
def test_every_third_changed_word_and_number_is_noticed():
    """Every one of every study, and of composed designs: tests/sweeps/sewn_words.py."""
    missed, tried = find_missed(pattern_of("harbour-wheel"), printed_of("harbour-wheel"), every=3)
    assert tried > 400
    assert [one for one in missed if not is_meaningless(*one)] == []


@pytest.mark.slow
@pytest.mark.parametrize(("name", "system"), [("harbour-wheel", "metric")])
def test_every_third_changed_word_and_number_of_a_finished_file_is_noticed(name, system):
    pattern = kit.redraft(pattern_of(name), system)
    missed, tried = find_missed(pattern, read_file(pattern), every=3, start=1)
    assert tried > 400
    assert [one for one in missed if not is_meaningless(*one)] == []


# Damaged cards


def damage(printed, old, new):
    """Return everything printed with the first text that holds an expression changed."""
    for at, text in list_texts(printed):
        plain = text.replace(NBSP, " ")
        if re.search(old, plain):
            return put(printed, at, re.sub(old, new, plain, count=1))
    raise AssertionError(old)


@pytest.mark.parametrize(
    ("name", "old", "new", "said"),
    [
        ("millwheel", "lower right edge", "lower left edge", "takes 0.0000 of"),
        ("millwheel", "from a to b only", "from b to a only", "the letter b is named before a"),
        ("millwheel", "over about 7¾ in", "over about 6¾ in", "from letter to letter it is 7.75"),
        ("millwheel", "reaching 2 in", "reaching 3 in", "it reaches 2.000 in beyond it"),
        ("millwheel", r"a to b to c to d", "a to c to b to d", "the letter c is named before b"),
        ("millwheel", r"the added part", "the centre", "does not say what to sew"),
        ("millwheel", r"\(1\) panel with a quarter", "(4) panel with a quarter", "and 1 are made"),
        ("millwheel", r"\(1\) panel with a quarter turn to the right to", "(1) panel to", "by 0° in the words"),
        ("millwheel", r"part of step 3", "part of step 2", "has been sewn on since"),
        ("millwheel", r"left blade D2, strip", "right blade D2, strip", "neither a piece of the list nor a unit"),
        ("millwheel", r"toward the lower left in", "toward the upper right in", "not the side that is planned"),
        ("millwheel", r"toward the lower left in", "toward the upper left in", "along the seam"),
        ("millwheel", r"panel: make 4|Panel: make 4", "Panel: make 5", "5 are to be made"),
        ("slipway", r"^b$", "", "dots"),
        ("slipway", r"^b to c$", "c to b", "is named before|the seam before ends"),
        ("slipway", r"away from it", "toward it", "not the side that is planned"),
        ("tideline", r" The picture lies on its side: its top is at the right\.", "", "edge|shape|turned"),
        ("tideline", r"4 to 30, every second", "4 to 28, every second", "is not its list"),
        ("ferry-steps", r"^7 to 9, every second$", "7", "leaves out|holds steps|not its list"),
        ("gull-point", r"^(\d+) to \d+$", r"\1", "leaves out|holds steps"),
        ("tideline", r"until 14 of those", "until 13 of those", "is not its list"),
    ],
)  # fmt: skip
def test_a_damaged_card_is_refused_by_name(name, old, new, said):
    (fault, *_) = sew(name, damage(printed_of(name), old, new)).faults
    assert re.search(said, fault), fault
    assert re.search(r"[Ss]teps? \d+|Unit|unit|panel", fault)


def test_the_check_raises_what_the_reader_found_and_says_that_nothing_is_written():
    pattern = pattern_of("millwheel")
    broken = damage(printed_of("millwheel"), "reaching 2 in", "reaching 3 in")
    with pytest.raises(CheckError, match="nothing is written"):
        check_sewing_words(broken, pattern.cut_list, pattern.sewing)


def test_a_picture_without_a_dot_or_with_a_letter_elsewhere_is_refused():
    printed = printed_of("slipway")
    for u, unit in enumerate(printed.units):
        for c, card in enumerate(unit.cards):
            if not card.picture.dots:
                continue
            bare = replace(card, picture=replace(card.picture, dots=()))
            x, y = card.picture.letters["a"]
            moved = replace(card, picture=replace(card.picture, letters=card.picture.letters | {"a": (x + 0.5, y)}))
            for broken, said in ((bare, "no dot is drawn"), (moved, "takes|reach|pieces|drawn")):
                cards = (*unit.cards[:c], broken, *unit.cards[c + 1 :])
                units = (*printed.units[:u], replace(unit, cards=cards), *printed.units[u + 1 :])
                (fault, *_) = sew("slipway", replace(printed, units=units)).faults
                assert re.search(said, fault), fault
            return
