"""What a maker would say otherwise: the ends of a border, one line as one, and strips cut after the top is measured."""

import re
from dataclasses import replace
from functools import cache

import pytest

import kit
from kit.checks.sewing_words_check import sew_by_words
from kit.output.document.sewing_texts import print_sewing
from kit.output.words.chain_words import list_chains
from kit.output.words.finishing_words import list_finishing_steps
from kit.output.words.notes import list_notes
from kit.output.words.quilting_words import list_stitching
from kit.output.words.strings import say_name, use_language
from kit.study import study_from_keys, study_keys


@cache
def make(name):
    return kit.make_pattern(kit.open_study(f"data/studies/{name}.toml"), "quick")


@pytest.mark.parametrize("name", ["chandlery", "harbour-light"])
def test_the_strips_of_a_border_with_squares_at_its_corners_are_its_ends(name):
    pattern = make(name)
    kinds = {patch.id: patch.name for patch in pattern.patchwork.patches}
    whole = [unit for unit in pattern.sewing.units if all(kinds[p].startswith("border") for p in unit.copies[0])]
    assert whole
    assert [unit.name for unit in whole] == [
        f"border {re.sub(r'-.*', '', unit.copies[0][0])[6:]} end" for unit in whole
    ]
    printed = print_sewing(pattern, pattern.sewing)
    assert not sew_by_words(printed, pattern.cut_list, pattern.sewing).faults
    headings = [unit.heading for unit in printed.units]
    assert all(f"Border {unit.name.split()[1]} end: make {unit.count}" in headings for unit in whole)
    with use_language("German"):
        assert say_name(whole[0].name) == f"Rand {whole[0].name.split()[1]} Ende"


def test_a_line_of_sewing_and_an_echo_by_itself_are_told_as_one():
    pattern = make("boat-shed")
    first, *rest = pattern.chains
    assert "(18) lines of sewing for U1; (2) lines of sewing for U2" in list_chains(pattern)[0].sew
    once = replace(first, links=tuple(replace(link, count=1) if link.made else link for link in first.links))
    assert (
        "(1) line of sewing for U1; (1) line of sewing for U2"
        in list_chains(replace(pattern, chains=(once, *rest)))[0].sew
    )
    keys = study_keys(kit.open_study("data/studies/tideline.toml"))
    keys.pop("editions", None)
    for rounds, told in ((1, "(1) echo line, 1 in inside the edge"), (2, "(2) echo lines from the edge inward")):
        keys["quilting"] = {"stitch": [{"where": "top", "way": "echo", "spacing": "1 in", "rounds": rounds}]}
        stitched = " ".join(list_stitching(kit.make_pattern(study_from_keys(keys), "quick"))).replace("\xa0", " ")
        assert told in stitched


def test_who_cuts_borders_is_told_before_cutting_to_measure_and_after_the_top_only_what_to_do_now():
    pattern = make("ferry-steps")
    notes = [note for note in list_notes(pattern) if "border" in note]
    assert len(notes) == 1
    assert "last, when the top is sewn and measured" in notes[0]
    assert "“Borders”" in notes[0]
    told = " ".join(dict(list_finishing_steps(pattern))["Borders"])
    assert "measure the top through the middle" in told
    assert "before you cut" not in told


def test_a_top_without_a_border_is_not_told_of_any():
    assert not [note for note in list_notes(make("tideline")) if "border" in note]
