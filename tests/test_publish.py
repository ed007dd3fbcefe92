"""Publishing: redrafted in the other system, several sizes in columns, every file or none."""

import re
from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace

import pytest
from printed import cut_out, find_numbers, pattern_of, read_cover, read_text
from pypdf import PdfReader

import kit
from kit.lengths import write_buying, write_length
from kit.model.sewing import Rehearsal
from kit.output.document.document import set_document
from kit.output.proof.proof import prove
from kit.publish import _tell_change, redraft, write_document, write_publication

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def sizes():
    """Two sizes of a class sampler: more blocks across and down."""
    study = pattern_of("ferry-steps").study
    larger = replace(study, edition="1, large", design=study.design.model_copy(update={"columns": 6, "rows": 6}))
    return kit.make_pattern(replace(study, edition="1, small")), kit.make_pattern(larger)


def test_a_metric_edition_is_cut_and_proved_again_and_nothing_is_converted():
    inch, metric = pattern_of("millwheel"), redraft(pattern_of("millwheel"), "metric")
    assert metric.cut_list.allowance * 2.54 == pytest.approx(0.75)
    assert metric.patchwork.finished == pytest.approx(inch.patchwork.finished, abs=1e-9)
    assert all(line.passed for line in prove(metric))
    rolls = {fabric.slot: fabric.width for fabric in metric.study.fabrics if fabric.form == "strips"}
    for piece in metric.cut_list.pieces:
        for size in piece.rounded.values():
            if size == rolls.get(piece.slot):  # as wide as its strip: a roll stays what it is
                assert size * 25.4 == pytest.approx(63.5)
                continue
            assert size * 25.4 == pytest.approx(round(size * 25.4), abs=1e-6)
    converted = {round(size, 3) for piece in inch.cut_list.pieces for size in piece.rounded.values()}
    drafted = {round(size, 3) for piece in metric.cut_list.pieces for size in piece.rounded.values()}
    assert converted & drafted == {2.5}  # the roll


def test_drafted_back_it_is_the_pattern_it_was():
    inch = pattern_of("ferry-steps")
    assert redraft(inch, "inch") is inch
    assert redraft(redraft(inch, "metric"), "inch").cut_list == inch.cut_list


def test_a_pattern_without_a_study_is_not_redrafted():
    inch = pattern_of("ferry-steps")
    facts = SimpleNamespace(title="x", measures=inch.study.measures)
    with pytest.raises(kit.KitError, match="has no study, so it cannot be redrafted"):
        redraft(replace(inch, study=facts), "metric")


def test_a_redraft_has_round_sizes_of_its_own_when_they_are_asked_for():
    inch = pattern_of("ferry-steps")
    metric = redraft(inch, "metric", round_sizes_to="0.5 cm")
    assert all(line.passed for line in prove(metric))
    for patch in metric.patchwork.patches:
        for (x, y), (x1, y1) in pairwise(patch.outline):
            side = abs(x1 - x) + abs(y1 - y)
            if min(abs(x1 - x), abs(y1 - y)) < 1e-9:  # a side along the grain
                assert side * 2.54 * 2 == pytest.approx(round(side * 2.54 * 2), abs=1e-4)
    assert redraft(inch, "metric").patchwork.finished != metric.patchwork.finished
    with pytest.raises(kit.KitError, match="round_sizes_to"):
        redraft(inch, "metric", round_sizes_to="wide")


def test_a_redraft_names_each_piece_that_is_counted_otherwise():
    inch = pattern_of("ferry-steps")
    first, *others = inch.making.pieces
    more = replace(inch, making=replace(inch.making, pieces=(replace(first, count=first.count + 3), *others)))
    assert _tell_change(inch, inch) == inch
    told = _tell_change(more, inch).warnings[-1]
    assert told.endswith(f"{first.id}: {first.count} here, {first.count + 3} there")


def test_sizes_of_two_systems_have_a_document_each(sizes, tmp_path):
    metric = redraft(sizes[1], "metric")
    written = {path.name: path for path in write_publication([sizes[0], metric], tmp_path)}
    widths = {
        name: round(float(PdfReader(written[name]).pages[0].mediabox.width) / 72 * 25.4)
        for name in ("ferry-steps-pattern.pdf", "ferry-steps-pattern-metric.pdf")
    }
    assert list(widths.values()) == [216, 210]  # Letter and A4
    sewing = cut_out(read_text(written["ferry-steps-pattern.pdf"].read_bytes()), "Sewing", "The top")
    assert "in" in sewing.split()
    assert "cm" not in sewing.split()
    assert {"ferry-steps-supplies-small.pdf", "ferry-steps-supplies-large.pdf"} <= set(written)


def test_write_document_redrafts_by_itself(tmp_path):
    path = write_document(pattern_of("ferry-steps"), tmp_path / "x.pdf", "A4", "metric")
    assert path.read_bytes() == set_document(redraft(pattern_of("ferry-steps"), "metric"), "A4", "metric")


def test_several_sizes_stand_in_columns(sizes):
    pages = read_text(set_document(sizes))
    table = cut_out(pages, "What you need", "Tools")
    small, large = ([pattern.study.edition, *pattern.patchwork.finished] for pattern in sizes)
    assert f"small: {small[1]:g}" in table.replace("\N{NO-BREAK SPACE}", " ")
    assert f"large: {large[1]:g}" in table.replace("\N{NO-BREAK SPACE}", " ")
    for place, fabric in enumerate(sizes[0].study.fabrics):
        plans = [pattern.cutting.cloths[place] for pattern in sizes]
        bought = [f"{write_buying(plan.as_bought)} ({write_length(plan.enough.width)})" for plan in plans]
        row = next(line for line in table.splitlines() if fabric.name in line)
        assert row.replace("\N{NO-BREAK SPACE}", " ").endswith(" ".join(bought).replace("\N{NO-BREAK SPACE}", " "))


def test_the_pieces_of_several_sizes_have_their_counts_side_by_side(sizes):
    table = cut_out(read_text(set_document(sizes)), "The pieces", "Where each fabric goes: small: 36 in × 44 in")
    for pattern in sizes:
        assert {str(piece.count) for piece in pattern.making.pieces} <= find_numbers(table)


def test_every_size_has_its_own_cutting_and_steps_and_its_column_in_the_proof(sizes):
    pages = read_text(set_document(sizes))
    text = "\n".join([read_cover(pages), *pages[1:]])
    for part in ("Cutting", "Sewing", "Where each fabric goes", "The top", "Finishing"):
        assert len(re.findall(rf"^{part}: small", text, re.MULTILINE)) == 1
        assert len(re.findall(rf"^{part}: large", text, re.MULTILINE)) == 1
    assert len(re.findall(r"^Colouring page$", text, re.MULTILINE)) == 1
    proof = " ".join(cut_out(pages, "Proof sheet", "About this pattern").split())
    for pattern in sizes:
        assert f"{len(pattern.patchwork.patches)} pieces by units" in proof


def test_what_a_size_shares_with_the_first_is_printed_with_the_first(sizes):
    small, large = sizes
    text = " ".join(" ".join(read_text(set_document([small, large]))).split())
    alone = " ".join(" ".join(read_text(set_document(large))).split())
    assert "Pictures: small, " in text
    for step in re.findall(r"Sew \(\d+\)[^.]*\.", alone):  # the words of every step stay
        assert step in text


def test_sizes_of_two_designs_are_refused(sizes):
    with pytest.raises(kit.KitError, match="cannot share a document"):
        set_document([sizes[0], pattern_of("millwheel")])
    with pytest.raises(kit.KitError, match="The number of sizes is 5"):
        set_document([sizes[0]] * 5)
    with pytest.raises(kit.KitError, match="There is no pattern"):
        set_document([])


def test_one_size_that_is_not_proved_stops_the_whole(sizes, tmp_path):
    wrong = replace(sizes[1], rehearsal=Rehearsal((1.0, 1.0), agrees=False, differences=("Step 3: no",)))
    with pytest.raises(kit.KitError, match="Step 3: no"):
        write_publication([sizes[0], wrong], tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_progress_is_told_from_beginning_to_end():
    told = []
    set_document(pattern_of("ferry-steps"), progress=lambda what, done, whole: told.append((what, done, whole)))
    assert all(0 <= done <= whole for _, done, whole in told)
    assert told[-1] == ("pages", 1, 1)
    assert {what for what, _, _ in told} == {"proofs", "steps", "pages"}
