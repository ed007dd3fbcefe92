"""A pattern with a known fault, two testers who find it, and the errata that name it."""

import csv
import shutil
from dataclasses import replace
from math import ceil, floor

import pytest
from filled_forms import fill, pattern_of_plain, write_empty, write_plain, write_rows
from printed import read_text

import kit
from kit.__main__ import main
from kit.output.words.errata_words import say_correction
from kit.testers.print_records import make_record, open_record, write_record

pytestmark = pytest.mark.slow

BOTH = ["3", "4", "8", "10", "14", "finishing"]
"""Places in which both testers stumble; the first is the known fault."""
ANNA, BERTA = ["2", "5", "6", "notes", "map", "16"], ["7", "11", "cutting"]
"""Places in which one of them does: 12 and 9 in all."""


@pytest.fixture(scope="module")
def study(tmp_path_factory):
    """A study file whose pieces are cut one by one."""
    path = tmp_path_factory.mktemp("study") / "ferry.toml"
    path.write_text(write_plain("ferry-steps"), encoding="utf-8")
    return str(path)


def plain(text):
    return text.replace("\N{NO-BREAK SPACE}", " ").replace("\N{NARROW NO-BREAK SPACE}", " ")


@pytest.fixture(scope="module")
def faulty():
    """What the old edition printed: strip A1 a quarter of an inch too narrow, where it is listed and in its step."""
    record = make_record(pattern_of_plain("ferry-steps"))
    piece = next(piece for piece in record.pieces if piece.id == "A1")
    wrong = replace(piece, size=(("width", 2.25), ("length", 8.5)))
    steps = tuple(replace(step, words=step.words.replace("A1, cut 2½", "A1, cut 2¼")) for step in record.steps)
    pieces = tuple(wrong if one is piece else one for one in record.pieces)
    return replace(record, pieces=pieces, steps=steps)


def fill_two(asked, folder):
    """Return the forms of two testers: one names the piece of the known fault, the other the step that takes it up."""
    rows = write_empty(asked)
    known = "A1, cut 2¼ in × 8½ in", "2½ in, as the other strips", "cloth lost"
    small = ("read as it is", "another word", "read twice")
    anna = [("A1", *known), *((place, *small) for place in [*BOTH[1:], *ANNA])]
    berta = [("step 3", *known), *((place, *small) for place in [*BOTH[1:], *BERTA])]
    sizes = {"3": "8 1/4 x 8 1/2 in", "6": "31 1/2 x 8 1/2 in", "9": "32 1/2 x 8 1/2 in"}
    other = {"3": "8.25 x 8.5 in", "6": "32 3/8 in x 8 1/2 in"}
    return [
        write_rows(
            folder / "anna.csv",
            fill(rows, "Anna", sizes, {"Swell": "12 in", "Railing": "1/2 yd"}, {"cutting": "55"}, anna),
        ),
        write_rows(folder / "berta.csv", fill(rows, "Berta", other, {"Swell": "1/3 yd"}, {"cutting": 75}, berta), ";"),
    ]


@pytest.fixture(scope="module")
def found(faulty, tmp_path_factory):
    return kit.read_findings(fill_two(faulty.asked, tmp_path_factory.mktemp("forms")), faulty)


def test_two_testers_who_found_a_known_fault_lead_to_the_line_of_the_errata(faulty, found):
    errata = kit.find_errata(faulty, pattern_of_plain("ferry-steps"), [found])
    (line,) = errata.corrections
    assert (line.part, line.subject, line.change, line.step, line.remedy) == ("piece", "A1", "size", 3, "recut")
    assert line.found_by == ("Anna", "Berta")
    assert plain(say_correction(line, "inch")) == (
        "Step 3, piece A1, cut size: printed 2¼ in × 8½ in, correct 2½ in × 8½ in. Cut too small: cut all 20 again."
        " That takes 12 in of Ferry hull. Found by Anna and Berta."
    )


def test_the_cloth_for_what_is_cut_again_is_what_a_count_of_strips_allows(faulty):
    # Counted here: strips across 42 in hold four pieces 8 1/2 in long; squaring up takes an inch.
    (line,) = kit.find_errata(faulty, pattern_of_plain("ferry-steps")).corrections
    ((_, amount),) = dict(line.facts)["cloth"].amounts
    strips = ceil(20 / floor(42 / 8.5)) * 2.5 + 1
    assert 20 * 2.5 * 8.5 / 42 < amount.amount <= strips


def test_the_estimate_of_what_is_unfound_is_the_formula_s(found):
    # 12 and 9 found, 6 in common: 12 x 9 / 6 = 18 (the figures of the job; Lincoln and Petersen).
    assert found.unfound.by_tester == (12, 9)
    assert found.unfound.common == 6
    assert found.unfound.whole == pytest.approx(18)
    assert found.unfound.left == pytest.approx(3)


def test_findings_are_merged_by_step_and_nothing_that_was_written_is_lost(found):
    first = next(place for place in found.places if place.step == 3)
    assert first.testers == ("Anna", "Berta")
    assert first.places == ("A1", "3")
    assert first.severity == "cloth lost"
    assert sum(len(place.stumbles) for place in found.places) == 12 + 9
    steps = [place.step for place in found.places]
    assert steps == sorted(steps)


def test_sizes_are_compared_with_the_plan_and_a_fault_of_the_pattern_is_told_from_one_of_a_tester(found):
    block, row, other = (next(size for size in found.sizes if size.asked.step == step) for step in (3, 6, 9))
    assert block.out == ("Anna", "Berta")
    assert block.all_out
    assert row.out == ("Anna",)
    assert not row.all_out
    assert other.off == (("Anna", (0.0, 0.0)),)
    assert other.out == ()


def test_cloth_and_minutes_are_compared_with_what_is_stated(found):
    swell, railing = (next(row for row in found.cloth if row.place == name) for name in ("Swell", "Railing"))
    assert dict(swell.taken) == {"Anna": 12.0, "Berta": 12.0}
    assert swell.over == ()
    assert (railing.bought, railing.over) == (13.5, ("Anna",))
    cutting = next(row for row in found.times if row.place == "cutting")
    assert dict(cutting.taken) == {"Anna": 55.0, "Berta": 75.0}


def test_the_loop_by_command(tmp_path, capsys, faulty, study):
    pack, out = tmp_path / "pack", tmp_path / "out"
    assert main(["testers", study, "--to", str(pack)]) == 0
    record = pack / "ferry-steps-1-record.json"
    assert open_record(record) == make_record(pattern_of_plain("ferry-steps"))
    forms = [str(path) for path in fill_two(open_record(record).asked, tmp_path)]
    for tested in (study, str(pack)):
        capsys.readouterr()
        assert main(["findings", tested, *forms, "--to", str(out)]) == 0
        told = plain(capsys.readouterr().out)
        assert "18.0 in all by the estimate of Lincoln and Petersen, so some 3.0 still unfound" in told
        assert "step 3 (A1): cloth lost; Anna, Berta" in told
        assert "More than the pattern says to buy: Anna" in told
    with (out / "ferry-steps-1-findings.csv").open(encoding="utf-8") as file:
        assert len(list(csv.DictReader(file))) == 21
    record.write_text(write_record(faulty))
    for old in (str(record), str(pack)):
        assert main(["errata", old, study, "--findings", *forms, "--to", str(out)]) == 0
        assert "Found by Anna and Berta" in capsys.readouterr().out
    with (out / "ferry-steps-1-errata.csv").open(encoding="utf-8") as file:
        (row,) = csv.DictReader(file)
    assert (row["Step"], row["Subject"], row["Printed, exact (in)"]) == ("3", "A1", "width 2.2500, length 8.5000")
    assert (row["Printed"], row["Correct"]) == ("2-1/4 in × 8-1/2 in", "2-1/2 in × 8-1/2 in")
    page = plain(" ".join(" ".join(read_text((out / "ferry-steps-1-errata.pdf").read_bytes())).split()))
    assert "Corrections to" in page
    assert "2¼ in × 8½" in page
    assert (out / "ferry-steps-1-errata.txt").read_text(encoding="utf-8").startswith("Corrections to")


def test_the_printed_form_lists_what_to_measure_with_the_plan_s_figures():
    pages = plain(" ".join(" ".join(read_text(kit_form())).split()))
    for size in pattern_of_plain("ferry-steps").sewing.units:
        assert size.name in pages
    assert "3 block 20 8½ in × 8½ in" in pages
    assert "E Railing 12 in ⅜ yd" in pages
    assert "17 top 1 36½ in × 44½ in" in pages
    assert pages.count("cloth lost") >= 12


def kit_form():
    from kit.output.document.tester_pages import set_tester_form

    return set_tester_form(make_record(pattern_of_plain("ferry-steps")).asked, "A4")


def test_a_form_of_another_print_is_refused(tmp_path, capsys, study):
    pack = tmp_path / "pack"
    assert main(["testers", study, "--to", str(pack)]) == 0
    changed = tmp_path / "changed.toml"
    shutil.copyfile(study, changed)
    changed.write_text(changed.read_text().replace('title = "', 'title = "Other ', 1))
    capsys.readouterr()
    assert main(["findings", str(changed), str(pack / "ferry-steps-1-test.csv")]) == 1
    assert "is a form for another print" in capsys.readouterr().err


def test_the_pack_has_the_same_bytes_twice(tmp_path):
    one, two = (
        {
            path.name: path.read_bytes()
            for path in kit.write_tester_pack(pattern_of_plain("ferry-steps"), tmp_path / name)
        }
        for name in ("one", "two")
    )
    assert one == two
    assert len(one) == 3
