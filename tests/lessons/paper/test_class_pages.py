"""Sheets, keys, and what a teacher prepares: counts that add up, pages at full size, names as text only."""

import re
from collections import Counter
from dataclasses import replace
from itertools import pairwise

import pdfplumber
import pytest
from printed import pattern_of
from pypdf import PdfReader

from kit.errors import KitError
from kit.lengths import buying_length
from kit.lessons import (
    LESSONS,
    list_supplies,
    make_set,
    pack_kits,
    plan_day,
    plan_samples,
    write_class_page,
    write_key,
    write_seam_card,
    write_sheet,
)
from kit.lessons.paper.exercise_sheets import describe_key, describe_sheet, find_kinds, sign_set

BUILT = {"½": 0.5, "¼": 0.25, "¾": 0.75, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875, "": 0.0}


def read_yards(text):
    found = re.fullmatch(r"(\d*)([½¼¾⅛⅜⅝⅞]?)\u00a0yd", text)
    return int(found[1] or 0) + BUILT[found[2]]


def read_pdf(path):
    with pdfplumber.open(path) as pdf:
        return [page.extract_text(x_tolerance=1.5) for page in pdf.pages]


# Sheets


def test_sheet_and_key_carry_one_mark_and_only_the_key_has_answers(tmp_path):
    sheet = read_pdf(write_sheet(tmp_path / "s.pdf", list(LESSONS), 4, 20, paper="A4"))
    key = read_pdf(write_key(tmp_path / "k.pdf", list(LESSONS), 4, 20, paper="A4"))
    exercises = make_set(find_kinds(list(LESSONS)), 4, 20)
    sign = sign_set(exercises)
    assert all(sign in page for page in (*sheet, *key))
    whole = " ".join(" ".join(sheet).split())
    answers = " ".join(" ".join(key).split())
    for number, exercise in enumerate(exercises, start=1):
        first = " ".join(exercise.question.split()[:6])
        assert f"{number}. {first}" in whole
        assert " ".join(exercise.shown.split()) in answers
        for wrong in exercise.mistakes:
            assert " ".join(wrong.name.split()[:2]) in answers
    assert "only one seam" not in whole


def test_a_sheet_is_the_same_bytes_again_and_another_number_is_another_sheet(tmp_path):
    first, again, other = (
        write_sheet(tmp_path / f"{name}.pdf", "braid", seed, 5).read_bytes()
        for name, seed in (("a", 1), ("b", 1), ("c", 2))
    )
    assert first == again
    assert first != other


def test_every_kind_has_its_answer_and_slips_in_the_key():
    described = describe_key(list(LESSONS), 2, 20, "metric")
    assert len(described["exercises"]) == 20
    assert all(one["answer"] and one["solution"] and len(one["mistakes"]) >= 3 for one in described["exercises"])
    assert "mistakes" not in str(describe_sheet(list(LESSONS), 2, 20, "metric"))


@pytest.mark.parametrize(
    "wrong",
    [
        {"subjects": "knots"},
        {"subjects": "braid", "count": 0},
        {"subjects": "braid", "paper": "A3"},
        {"subjects": "braid", "system": "ell"},
        {"subjects": []},
    ],
)
def test_a_wrong_wish_for_a_sheet_is_refused_and_nothing_is_written(tmp_path, wrong):
    with pytest.raises(KitError):
        write_sheet(tmp_path / "s.pdf", **wrong)
    assert list(tmp_path.iterdir()) == []


# Kits


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel", "tideline"])
def test_kits_hold_every_strip_of_the_cutting_plan_and_the_cloth_suffices(name):
    pattern = pattern_of(name)
    kits = pack_kits(pattern, 12, spare=2)
    strips = sum(len(plan.strips) for plan in pattern.cutting.cloths)
    assert kits["In each kit"].sum() == strips
    assert (kits["For 14 kits"] == 14 * kits["In each kit"]).all()
    for plan in pattern.cutting.cloths:
        mine = kits[(kits["Fabric"] == (plan.supply.fabric or plan.supply.slot)) & (kits["Cloth"] != "")]
        cloth = mine["Cloth"].iloc[0]
        if plan.supply.form == "yardage":
            need = sum(strip.height for strip in plan.strips) * 14 + plan.squaring_up
            need += max(need / 20, 1)  # for mistakes, as in the study: 5 %, an inch at least
            assert need / 36 <= read_yards(cloth) < need / 36 + 0.13
        else:
            assert cloth.startswith(f"{len(plan.strips) * 14} ")


def test_bought_together_is_never_more_than_what_each_would_buy():
    pattern = pattern_of("ferry-steps")
    table = list_supplies(pattern, 12)
    for row in table.to_dict("records"):
        assert read_yards(row["Bought together for 12"]) <= 12 * read_yards(row["Each brings"])


def test_each_brings_what_the_pattern_says_and_a_margin_of_the_fabric_goes_into_the_lists():
    pattern = pattern_of("ferry-steps")
    plan = pattern.cutting.cloths[0]
    (row,) = [one for one in list_supplies(pattern, 12).to_dict("records") if one["Fabric"] == plan.supply.fabric]
    assert read_yards(row["Each brings"]) * 36 == buying_length(plan.as_bought, "inch")
    more = replace(plan, supply=replace(plan.supply, margin=0.5))
    changed = replace(pattern, cutting=replace(pattern.cutting, cloths=(more,)))
    need = 1.5 * (plan.used * 13 + plan.squaring_up)
    assert 0 <= read_yards(pack_kits(changed, 12)["Cloth"][0]) * 36 - need < 4.5


# Samples


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel", "tideline"])
def test_samples_go_forward_and_the_pieces_of_all_add_up(name):
    table = plan_samples(pattern_of(name), 4)
    found = [re.findall(r"\((\d+)\) (\w+)", text) for text in table["Pieces to cut"]]
    pieces = [Counter({piece: int(n) for n, piece in pairs}) for pairs in found]
    *samples, every = pieces
    assert sum(samples, Counter()) == every
    for earlier, later in pairwise(samples):
        assert not earlier - later
        assert later.total() > earlier.total()
    assert table["Sewn"][0] == "nothing yet"


def test_a_sample_of_a_named_unit_takes_the_pieces_of_that_unit_alone():
    pattern = pattern_of("ferry-steps")
    unit = next(unit for unit in pattern.sewing.units if unit.name == "block")
    table = plan_samples(pattern, 12, "block")
    inside = {pattern.cut_list.piece_of[patch].id for patch in unit.copies[0]}
    assert set(re.findall(r"\) (\w+)", table["Pieces to cut"].iloc[-1])) == inside
    assert len(table) == 1 + sum(step.unit == "block" for step in pattern.sewing.steps)


# The day


@pytest.mark.parametrize(("hours", "pace"), [(3, 1), (6, 1.5), (9, 2.5)])
def test_the_day_holds_all_work_at_the_pace_of_the_class(hours, pace):
    pattern = pattern_of("tideline")
    table = plan_day(pattern, "09:30", hours, pace)
    work = table[table["Work"].str.contains("Cutting|Sewing")]
    planned = sum(line.minutes for line in pattern.finishing.time if line.unit in ("cuts", "seams")) * pace
    assert work["Minutes"].sum() == pytest.approx(planned, abs=len(work))
    day = table[table["From"] != "at home"]
    assert list(day["From"].iloc[1:]) == list(day["To"].iloc[:-1])
    assert day["From"].iloc[0] == "09:30"
    hour, minute = map(int, day["To"].iloc[-1].split(":"))
    assert hour * 60 + minute <= 9.5 * 60 + hours * 60
    assert day["Work"].iloc[-1] == "Questions, clearing away"
    longest = max(run_between_breaks(day))
    assert longest <= 92


def run_between_breaks(day):
    total, runs = 0, []
    for words, minutes in zip(day["Work"], day["Minutes"], strict=True):
        if "reak" in words:
            runs.append(total)
            total = 0
        elif "Welcome" not in words and "Questions" not in words:
            total += minutes
    return [*runs, total]


def test_work_that_does_not_fit_is_done_at_home_and_cutting_may_be():
    pattern = pattern_of("tideline")
    assert (plan_day(pattern, hours=2)["From"] == "at home").any()
    assert not plan_day(pattern, cut_at_home=True)["Work"].str.contains("Cutting").any()


@pytest.mark.parametrize(
    "wrong",
    [
        lambda p: list_supplies(p, 0),
        lambda p: list_supplies(p, 201),
        lambda p: pack_kits(p, 3, -1),
        lambda p: plan_samples(p, 0),
        lambda p: plan_samples(p, 3, "sleeve"),
        lambda p: plan_day(p, "noon"),
        lambda p: plan_day(p, "25:00"),
        lambda p: plan_day(p, hours=0.2),
        lambda p: plan_day(p, pace=0.1),
    ],
)
def test_nonsense_is_refused_in_a_sentence(wrong):
    with pytest.raises(KitError, match="Needed"):
        wrong(pattern_of("ferry-steps"))


# Paper


@pytest.mark.parametrize(("name", "paper"), [("ferry-steps", "Letter"), ("tideline", "A4")])
def test_the_class_page_is_one_page_with_every_figure_of_its_tables(tmp_path, name, paper):
    pattern = pattern_of(name)
    path = write_class_page(pattern, tmp_path / "c.pdf", 12, paper=paper)
    (page,) = read_pdf(path)
    shown = re.sub(r"\s+", "", page)
    for table in (list_supplies(pattern, 12), pack_kits(pattern, 12), plan_samples(pattern), plan_day(pattern)):
        for cell in table.to_numpy().ravel():
            assert re.sub(r"\s+", "", str(cell)) in shown
    assert "close the guard" in page


def test_names_reach_the_class_page_as_text_only(tmp_path):
    pattern = pattern_of("ferry-steps")
    named = replace(pattern, study=replace(pattern.study, title='#panic("x") $ 〜 *b*'))
    (page,) = read_pdf(write_class_page(named, tmp_path / "c.pdf", 3))
    assert '#panic("x") $ [wave dash] *b*' in page.replace("“", '"').replace("”", '"')


@pytest.mark.parametrize(("system", "paper", "reach"), [("inch", "Letter", 3.5 * 72), ("metric", "A4", 9 / 2.54 * 72)])
def test_the_seam_card_measures_true_in_the_printed_file(tmp_path, system, paper, reach):
    """72 points to the inch (PDF, ISO 32000-1, 8.3.2.3); squares of 1 in and 3 cm, the set's bar at its size."""
    path = write_seam_card(tmp_path / "card.pdf", system, paper)
    assert PdfReader(path).root_object["/ViewerPreferences"].get_object()["/PrintScaling"] == "/None"
    with pdfplumber.open(path) as pdf:
        (page,) = pdf.pages
        boxes = [(float(one["width"]), float(one["height"])) for one in page.rects + page.curves]
        text = page.extract_text()
    for side in (72.0, 30 / 25.4 * 72):
        assert any(abs(wide - side) < 0.05 and abs(high - side) < 0.05 for wide, high in boxes), boxes
    assert any(abs(wide - reach) < 0.05 for wide, _ in boxes)
    assert "exactly" in text
