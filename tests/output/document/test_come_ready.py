"""A strip set gives the middle of a block: what the block takes is told as a part of the batch, not as its pieces."""

import re
from dataclasses import replace

import pytest
from printed_twin import Paper

import kit
from kit.checks.sewing_words_check import sew_by_words
from kit.output.document.document import set_document
from kit.output.document.sewing_texts import print_sewing
from kit.output.files.twin import write_twin
from kit.study import study_from_keys

COLOURS = {"mud": "#5b4a3e", "tide": "#4f7f8c", "pearl": "#efe6d8"}


@pytest.fixture(scope="module")
def pattern():
    return kit.make_pattern(
        study_from_keys({
            "title": "Net Posts",
            "design": {
                "family": "grid blocks", "columns": 3, "rows": 2, "cell_finished": "2 1/2 in",
                "pattern": ["mud/tide tide tide\\mud", "tide pearl tide", "mud\\tide tide tide/mud"],
            },
            "fabric": [{"slot": slot, "name": slot.capitalize(), "colour": colour} for slot, colour in COLOURS.items()],
        })
    )  # fmt: skip


def find_block(pattern):
    printed = print_sewing(pattern, pattern.sewing)
    return printed, next(unit for unit in printed.units if "part from" in unit.parts)


def test_no_piece_is_named_that_is_cut_out_of_a_strip_set(pattern):
    _, block = find_block(pattern)
    listed = {piece.id for piece in pattern.making.pieces}
    named = set(re.findall(r"[A-Z]\d+", block.parts.replace("U", "")))
    assert named <= listed
    assert re.match(r"Each takes \(1\) part from U\d ", block.parts)


def test_every_figure_of_the_instructions_as_data_is_on_paper_or_comes_in_a_batch(pattern):
    paper = Paper(write_twin(pattern))
    told = [pattern_ for _, part, pattern_ in paper.said if part == "Sewing" and "parts? from" in pattern_]
    assert told
    assert any("out of batches" in reason for reason in paper.unsaid.values())


def test_it_is_printed(pattern):
    assert set_document(pattern, "A4", "inch")[:5] == b"%PDF-"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [("(1) part from", "(2) parts from", "come ready"), ("from U", "from V", "do not come ready"),
     ("(1) part from U1 and ", "", "come ready"), ("(2) row", "(3) row", "went into it")],
)  # fmt: skip
def test_another_part_or_number_is_refused(pattern, old, new, said):
    printed, block = find_block(pattern)
    number = re.search(r"from (U\d)", block.parts)[1]
    old = old.replace("U1", number)
    assert old in block.parts
    changed = replace(block, parts=block.parts.replace(old, new))
    units = tuple(changed if unit is block else unit for unit in printed.units)
    faults = sew_by_words(replace(printed, units=units), pattern.cut_list, pattern.sewing).faults
    assert said in " ".join(faults)
