"""The three studies of units among the demonstration studies: their counts by hand, their sizes, their plans."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import sqrt
from pathlib import Path

import pytest
from pypdf import PdfReader

import kit
from kit.geometry.outlines import measure_box
from kit.pipeline import make_pattern
from kit.study import editions, open_study

FOLDER = Path("data/studies")
THREE = ("harbour-wheel", "boat-shed", "town-quay")
ROOT2 = sqrt(2)
pytestmark = pytest.mark.slow


def read(name):
    return open_study(FOLDER / f"{name}.toml")


def count_units(patchwork):
    return {unit.name: unit.copies for unit in patchwork.units.list_all()}


@pytest.fixture(scope="module")
def sizes():
    return {study.edition.partition(", ")[2]: make_pattern(study, "quick") for study in editions(read("harbour-wheel"))}


def list_design_lines(text):
    """Return the lines of [design] and of the units, without blank ones and notes."""
    held, found = False, []
    for line in text.splitlines():
        if line.startswith("["):
            held = line.startswith(("[design", "[unit", "[[unit", "[[design"))
        if held and line.strip() and not line.startswith("#"):
            found.append(line)
    return found


def test_the_harbour_wheel_is_written_in_45_lines_of_design_and_units():
    text = (FOLDER / "harbour-wheel.toml").read_text(encoding="utf-8")
    assert len(list_design_lines(text)) <= 45
    assert max(map(len, text.splitlines())) <= 120


def test_the_wheel_has_20_patches_in_each_of_8_spokes_8_points_4_coves_and_4_moles_of_two(sizes):
    # a spoke: 4 geese of three patches, a plank, a wing, 4 diamonds and 2 eaves; two geese more in each for the queen
    assert len(sizes["lap"].patchwork.patches) == 8 * (4 * 3 + 2 + 4 + 2) + 8 + 4 + 4 * 2
    assert len(sizes["queen"].patchwork.patches) == 8 * (6 * 3 + 2 + 4 + 2) + 8 + 4 + 4 * 2
    found = count_units(sizes["lap"].patchwork)
    wanted = {"pier": 8, "tide": 8, "wave": 8, "spoke": 8, "swell": 16, "eave": 16, "cove": 4, "mole": 4, "rose": 1}
    assert {name: found[name] for name in wanted} == wanted


@pytest.mark.parametrize(
    ("edition", "strip", "geese"), [("lap", 2.5, 4), ("queen", 3, 6), ("narrow", 2, 4), ("metric", 6 / 2.54, 4)]
)
def test_the_wheel_is_an_octagon_within_two_moles(sizes, edition, strip, geese):
    # a side of the octagon is a plank, two strips wide, and two eaves, each half a square over a pier of so many strips
    side = 2 * strip + 2 * geese * strip / ROOT2
    assert sizes[edition].patchwork.finished == pytest.approx((side * (1 + ROOT2) + 4 * strip,) * 2)


def test_each_size_of_the_wheel_changes_at_most_three_values_and_every_proof_holds(sizes):
    def count(value):
        return sum(map(count, value.values())) if isinstance(value, dict) else 1

    given = {edition.name: edition.overrides() for edition in read("harbour-wheel").editions}
    assert set(given) == {"lap", "queen", "narrow", "metric"}
    assert max(count({key: value for key, value in keys.items() if key != "title"}) for keys in given.values()) <= 3
    for pattern in sizes.values():
        assert pattern.rehearsal.agrees
        assert all(line.passed for line in kit.prove(pattern))


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_all_sizes_of_the_wheel_are_columns_of_one_document_and_each_unit_stands_in_it_once_a_size(
    sizes, system, tmp_path
):
    pages = PdfReader(kit.write_document(list(sizes.values()), tmp_path / "wheel.pdf", system=system)).pages
    text = " ".join(page.extract_text() for page in pages)
    needs = pages[1].extract_text()
    assert needs.startswith("What you need")
    assert all(f"{size}: " in needs for size in ("lap", "queen", "narrow", "metric"))
    for unit in ("Pier", "Arm", "Tide", "Wave", "Spoke"):
        assert text.count(f"{unit}: make 8") == 4


def test_the_wheel_closes_with_eight_set_in_seams_one_partial_seam_and_a_trim_in_every_size(sizes):
    for pattern in sizes.values():
        sewing = pattern.sewing
        kinds = Counter(step.kind for step in sewing.steps)
        assert (sewing.set_in_seams, sewing.partial_seams, kinds["trim"]) == (8, 1, 1)
        assert (sewing.set_in_bound, sewing.partial_bound) == (8, 1)


@pytest.mark.parametrize("name", THREE)
def test_every_unit_that_is_not_a_plain_patch_is_sewn_once_and_as_often_as_the_tree_says(name):
    patchwork = read(name).make_patchwork()
    sewn = {unit.name.removesuffix(" mirrored"): 0 for unit in kit.sewing_plan(patchwork).units}
    for unit in kit.sewing_plan(patchwork).units:
        sewn[unit.name.removesuffix(" mirrored")] += unit.count
    held = {unit.name: unit.copies for unit in patchwork.units.list_all() if unit.size > 1}
    assert {unit: sewn.get(unit) for unit in held} == held


@pytest.mark.parametrize("name", THREE)
def test_no_two_sewn_units_share_a_name(name):
    names = [unit.name for unit in kit.sewing_plan(read(name).make_patchwork()).units]
    assert len(set(names)) == len(names)


def test_the_moles_lie_as_a_whirl_each_as_long_as_the_harbour_and_their_own_width(sizes):
    patchwork = sizes["lap"].patchwork
    (mole,) = [unit for unit in patchwork.units.list_all() if unit.name == "mole"]
    harbour = 5 + 20 / ROOT2  # a side of the octagon for strips of 2 1/2 in and piers of 10 in
    for copy in mole.patches:
        left, bottom, right, top = measure_box([p for name in copy for p in patchwork.by_id[name].outline])
        assert sorted((right - left, top - bottom)) == pytest.approx([5, harbour * (1 + ROOT2) + 5])
    assert sorted(round(placing.degrees) % 360 for placing in mole.placings) == [0, 90, 180, 270]


def test_the_sampler_has_nine_blocks_with_the_counts_of_their_families():
    patchwork = read("boat-shed").make_patchwork()
    found = {unit.name: (unit.copies, unit.size) for unit in patchwork.units.list_all()}
    blocks = {
        "cabin": 1 + 4 * 4, "compass": 8 + 4 + 4, "windmill": 4 * 3, "lantern": 1 + 3 * 4, "gulls": 2 * 5 * 3,
        "capstan": 5, "net": 4 * 9, "flags": 4 * 3, "wake": 2 * (3 + 2),
    }  # fmt: skip
    assert {name: found[name] for name in blocks} == {name: (1, size) for name, size in blocks.items()}
    assert (found["post"][0], found["beam"][0]) == (6, 2)


def test_the_sampler_has_spacers_of_half_of_what_is_missing_above_and_below_and_at_the_ends():
    patchwork = read("boat-shed").make_patchwork()
    spacers = [measure_box(p.outline) for p in patchwork.patches if p.name == "spacer"]
    sizes = Counter(
        tuple(sorted((round(right - left, 3), round(top - bottom, 3)))) for left, bottom, right, top in spacers
    )
    wake = 3 * 1.5 * ROOT2 + 4  # three strips of 1 1/2 in at 45° and the slant of a column of 4 in
    low = round((12 - wake) / 2, 3)
    # cabin, windmill, capstan and net are 10 in of 12, gulls 8 by 10; two rows of 34 in lie in 36
    assert sizes == {(1, 10): 8, (1, 8): 2, (low, 8): 2, (1, 12): 4}
    assert patchwork.finished == (36 + 2 * 7, 40 + 2 * 7)


def test_the_medallion_has_the_patches_that_its_sides_say():
    patchwork = read("town-quay").make_patchwork()
    units = {
        "beacon": (1, 16), "ripple": (4 * 4, 8), "buoy": (4 + 2, 5), "tern": (4 * 10, 3), "swell": (6, 9 * 2),
        "cottage": (6, 11), "inn": (6, 11), "gull": (10, 3), "sun": (1, 9), "windmill": (4, 8), "stone": (2 + 4, 1),
    }  # fmt: skip
    found = {unit.name: (unit.copies, unit.size) for unit in patchwork.units.list_all()}
    assert {name: found[name] for name in units} == units
    plain = 4 * 4  # four plain borders of four strips
    assert len(patchwork.patches) == sum(copies * size for copies, size in units.values()) + plain
    assert patchwork.finished == (58, 58)  # 12 and 4, 8, 8, 4, 12, 2 and 8 in


def test_ten_geese_and_a_square_fill_24_inches_and_six_cottages_36():
    patchwork = read("town-quay").make_patchwork()
    sides = {
        unit.name: sorted(
            side for side in _measure(patchwork, unit.patches[0])
        ) for unit in patchwork.units.list_all() if unit.name.startswith("border")
    }  # fmt: skip
    assert sides["border 3 side B"] == [4, 24]
    assert sides["border 5 side B"] == [6, 36]


def _measure(patchwork, copy):
    left, bottom, right, top = measure_box([p for name in copy for p in patchwork.by_id[name].outline])
    return round(right - left, 6), round(top - bottom, 6)


@pytest.mark.parametrize("name", ["boat-shed", "town-quay"])
def test_every_proof_of_the_sampler_and_of_the_medallion_holds(name):
    pattern = make_pattern(read(name), "quick")
    assert pattern.rehearsal.agrees
    assert all(line.passed for line in kit.prove(pattern))


def test_a_sweep_over_the_geese_of_a_pier_grows_the_wheel_by_the_same_each_time():
    study = replace(read("harbour-wheel"), editions=())
    found = kit.sweep(study, {"unit.pier.geese": [2, 3, 4, 5]})
    wide = [found.make_pattern(number).patchwork.finished[0] for number in found.table.index]
    steps = [after - before for before, after in pairwise(wide)]
    # a goose more is 2 1/2 in, and 2 1/2 in of a pier are 2 1/2 × √2 in of each side of the octagon
    assert steps == pytest.approx([2.5 * ROOT2 * (1 + ROOT2)] * 3)
    assert list(found.table["unit.pier.geese"]) == [2, 3, 4, 5]
