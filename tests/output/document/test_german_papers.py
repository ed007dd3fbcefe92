"""All that is printed is whole in German: pattern, supply list, papers, testers' forms, errata; forms are read back."""

import csv
import re

import pytest
from blocks import enlarge, sawtooth_star
from english_left import find_english, list_fragments
from filled_forms import fill, pattern_of_plain, write_empty, write_rows
from printed import pattern_of, read_text

import kit
from kit.errors import KitError
from kit.model.patchwork import patchwork_from_outlines
from kit.output.document.document import set_document
from kit.output.document.supply_list import set_supply_list
from kit.output.document.tester_pages import set_errata
from kit.output.words.errata_words import list_errata, write_errata_texts
from kit.output.words.strings import use_language, write_as_read
from kit.output.words.tester_words import list_report
from kit.paper_pages import write_foundations
from kit.planning.foundations.foundation_plan import foundation_plan
from kit.testers.print_records import make_record
from kit.testers.questions import list_questions

pytestmark = pytest.mark.slow


def whole(data):
    return " ".join(read_text(data))


def test_the_search_finds_the_english_of_an_english_document():
    assert len(list_fragments("German")) > 700
    assert len(find_english(whole(set_document(pattern_of("tideline"))))) > 150


@pytest.mark.parametrize("name", ["tideline", "ferry-steps"])
def test_no_sentence_of_the_english_file_is_left_in_a_german_pattern(name):
    pattern = pattern_of(name)
    assert find_english(whole(set_document(pattern, "A4", language="German"))) == []
    with use_language("German"):
        assert find_english(whole(set_supply_list(pattern, "A4"))) == []


def test_papers_are_german_from_the_first_word_to_the_last(tmp_path):
    plan = foundation_plan(patchwork_from_outlines(enlarge(sawtooth_star(), 1)), "top")
    english = read_text(write_foundations(plan, tmp_path / "e.pdf").read_bytes())
    german = read_text(write_foundations(plan, tmp_path / "g.pdf", "A4", "metric", language="German").read_bytes())
    assert len(find_english(" ".join(english))) > 15
    assert find_english(" ".join(german)) == []
    assert "Top, auf Papier genäht" in german[0]
    assert re.search(r"Nahtzugabe auf (?:ca\. )?\d,\d+ cm zurück", " ".join(german[0].split()))
    with pytest.raises(KitError, match="English, German"):
        write_foundations(plan, tmp_path / "x.pdf", language="Latin")


def test_a_form_for_testers_is_german_and_its_record_is_the_same_in_every_language(tmp_path):
    pattern = pattern_of_plain("ferry-steps")
    english = kit.write_tester_pack(pattern, tmp_path / "e")
    german = kit.write_tester_pack(pattern, tmp_path / "g", language="German")
    assert english[2].read_bytes() == german[2].read_bytes()
    assert find_english(whole(german[0].read_bytes())) == []
    assert len(find_english(whole(english[0].read_bytes()))) > 15
    rows = list(csv.DictReader(german[1].read_text(encoding="utf-8-sig").splitlines()))
    assert find_english(" ".join(f"{row['what']} {row['as printed']}" for row in rows)) == []
    assert {"kind": "about", "place": "language", "as printed": "German"}.items() <= rows[3].items()


def test_a_form_filled_in_german_says_what_the_english_one_says(tmp_path):
    asked = list_questions(pattern_of_plain("ferry-steps"))
    step, fabric = asked.sizes[0].place, asked.cloth[0].fabric
    ours = fill(write_empty(asked), "Anna", {step: "8 1/4 x 8 1/2 in"}, {fabric: "30.5 cm"}, {"cutting": "55.5"},
                [("cutting", "a", "b", "cloth lost"), ("step 3", "c", "d", "read twice")])  # fmt: skip
    with use_language("German"):
        empty = write_empty(asked)
    theirs = fill(empty, "Anna", {step: "8 1/4 x 8 1/2 Zoll"}, {fabric: "30,5 cm"}, {"cutting": "55,5"},
                  [("Zuschnitt", "a", "b", "Stoff verloren"), ("Schritt 3", "c", "d", "zweimal gelesen")])  # fmt: skip
    pattern = pattern_of_plain("ferry-steps")
    one = kit.read_findings([write_rows(tmp_path / "e.csv", ours)], pattern)
    two = kit.read_findings([write_rows(tmp_path / "g.csv", theirs)], pattern)
    assert one.places == two.places
    assert (one.sizes, one.cloth, one.times) == (two.sizes, two.cloth, two.times)
    with use_language("German"):
        assert find_english("\n".join(list_report(two))) == []


def test_figures_of_another_language_are_read_and_words_are_left_alone():
    assert write_as_read("2,5 Yard und 3 Zoll", "German") == "2.5 yd und 3 in"
    assert write_as_read("Zollstock, 1", "German") == "Zollstock, 1"
    assert write_as_read("2,5 Zoll", "English") == "2,5 Zoll"


def test_errata_are_german_and_never_quote_the_english_words_of_a_step():
    pattern = pattern_of_plain("ferry-steps")
    record = make_record(pattern)
    other = kit.make_pattern(kit.study_from_keys({**kit.study_keys(pattern.study), "edition": "2"} | _wider(pattern)))
    errata = kit.find_errata(record, other)
    assert errata.corrections
    english = "\n".join(list_errata(errata))
    with use_language("German"):
        lines = "\n".join(list_errata(errata))
        page = whole(set_errata(write_errata_texts(errata), "A4"))
    assert len(find_english(english)) > 1
    assert find_english(lines) == find_english(page) == []


def _wider(pattern):
    """Return the keys of the measures with a wider allowance: every piece, step and length differs."""
    return {"measures": {**kit.study_keys(pattern.study).get("measures", {}), "seam_allowance": "3/8 in"}}
