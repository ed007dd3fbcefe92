"""The road from a study to a checked pattern: every plan is there, is checked, and is the same each time."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from printed import pattern_of
from strategies import cases, studies

from kit.errors import KitError
from kit.model.pattern import Pattern, Sketch
from kit.pipeline import make_pattern, make_sketch
from kit.study import open_study, read_study, save_study, study_from_keys

pytestmark = pytest.mark.slow

FOLDER = Path("data/studies")
STUDIES = sorted(path.stem for path in FOLDER.glob("*.toml"))
RAIL = FOLDER.joinpath("ferry-steps.toml").read_text(encoding="utf-8")
BRAID = FOLDER.joinpath("tideline.toml").read_text(encoding="utf-8")


class Patterns:
    """The pattern of each study, made when it is asked for, once for all tests of a run."""

    def __getitem__(self, name):
        return pattern_of(name)


@pytest.fixture(scope="module")
def patterns():
    return Patterns()


def test_the_demonstration_studies_are_there():
    assert {"ferry-steps", "lamplight", "tideline"} <= set(STUDIES)


@pytest.mark.parametrize("name", STUDIES)
def test_a_pattern_holds_every_plan_and_every_patch_is_in_each(patterns, name):
    pattern = patterns[name]
    assert isinstance(pattern, Pattern)
    ids = set(pattern.patchwork.by_id)
    assert set(pattern.colouring.assignment) == ids
    assert {patch for piece in pattern.cut_list.pieces for patch in piece.patches} == ids
    assert pattern.cut_list.count == len(ids)
    assert set(pattern.cutting.cloth) == set(pattern.patchwork.slots)
    assert pattern.cutting.assumptions
    assert pattern.colouring.violations == 0
    assert not any(pattern.cutting.short.values())


@pytest.mark.parametrize("name", STUDIES)
def test_a_colophon_says_what_the_pattern_follows_from(patterns, name):
    pattern = patterns[name]
    colophon = pattern.colophon
    assert colophon["title"] == pattern.study.title
    assert colophon["seed"] == str(pattern.study.seed)
    assert colophon["fingerprint"] == pattern.study.fingerprint
    assert all(colophon[library] for library in ("numpy", "shapely", "pydantic", "pint"))


@pytest.mark.parametrize("name", STUDIES[::2])
def test_the_same_study_gives_the_same_pattern(patterns, name, tmp_path):
    again = make_pattern(open_study(save_study(patterns[name].study, tmp_path / "copy.toml")))
    for part in Pattern.__dataclass_fields__:
        assert getattr(again, part) == getattr(patterns[name], part), part


@pytest.mark.parametrize("name", STUDIES)
def test_a_sketch_is_the_pattern_without_its_checks(patterns, name):
    sketch = make_sketch(patterns[name].study, "steady")
    assert isinstance(sketch, Sketch)
    for part in Sketch.__dataclass_fields__:
        assert getattr(sketch, part) == getattr(patterns[name], part), part


def test_another_seed_places_the_scraps_in_another_way_and_changes_nothing_else(patterns):
    other = make_pattern(read_study(BRAID.replace("seed = 7", "seed = 8")))
    assert other.colouring.assignment != patterns["tideline"].colouring.assignment
    assert other.cut_list == patterns["tideline"].cut_list
    assert other.patchwork == patterns["tideline"].patchwork


def test_a_hundred_and_fifty_patches_of_the_braid_finish_as_worked_by_hand(patterns):
    # Three columns of 6 in and four sashes of 1 in are 22 in; 16 pairs rise 45.2548 in, less 1/2 in at the ends, and
    # two sashes of 1 in: 46.7548 in.
    pattern = patterns["tideline"]
    assert pattern.patchwork.finished == pytest.approx((22, 46.7548), abs=1e-4)
    assert len(pattern.patchwork.patches) == 150


# Warnings


def test_cloth_that_is_too_short_is_a_warning_with_the_slot():
    pattern = make_pattern(read_study(RAIL.replace('width = "42 in"', 'width = "42 in"\nlength = "3 in"', 1)))
    assert pattern.cutting.short["deep"]
    assert any(warning.startswith("deep: not enough cloth") for warning in pattern.warnings)


def test_too_few_strips_are_a_warning_and_enough_are_none(patterns):
    pattern = make_pattern(read_study(BRAID.replace("count = 2", "count = 1").replace("40 in", "20 in")))
    assert pattern.cutting.short["blade"]
    assert any("blade: not enough cloth" in warning for warning in pattern.warnings)
    assert not any("not enough cloth" in warning for warning in patterns["tideline"].warnings)


def test_a_fabric_of_which_there_is_little_covers_as_many_patches_as_it_yields():
    # One strip of 20 in among twenty-two of 40 in: evenly shared it would have to give eight blades.
    little = 'form = "strips"\nwidth = "2 1/2 in"\nlength = "20 in"\ncount = 1'
    text = BRAID.replace('form = "strips"\nwidth = "2 1/2 in"\nlength = "40 in"\ncount = 2', little, 1)
    assert little in text
    pattern = make_pattern(read_study(text))
    assert not any(pattern.cutting.short.values())
    assert 0 < pattern.colouring.uses["Harbour"] < 8
    assert pattern.colouring.violations == 0


def test_a_fabric_that_the_design_does_not_use_is_a_warning():
    extra = '\n[[fabric]]\nslot = "moon"\nname = "Pebble"\ncolour = "#aaaaaa"\n'
    pattern = make_pattern(read_study(RAIL + extra))
    assert any("Pebble" in warning for warning in pattern.warnings)


def test_neighbours_that_share_a_fabric_are_a_warning_with_their_number():
    # Two logs of a block that meet at a corner of it touch, and so do those of the next block: two fabrics are too few.
    text = FOLDER.joinpath("lamplight.toml").read_text(encoding="utf-8")
    head, *fabrics = text.split("[[fabric]]")
    kept = [f for f in fabrics if 'slot = "light"' not in f or "Shell" in f or "Candle" in f]
    pattern = make_pattern(read_study("[[fabric]]".join([head, *kept])))
    assert pattern.colouring.violations > 0
    assert any(f"{pattern.colouring.violations} pairs of" in warning for warning in pattern.warnings)


@pytest.mark.parametrize(("columns", "rows", "said"), [(4, 5, True), (8, 10, False), (2, 2, False)])
def test_a_quilt_of_crib_size_says_that_bedding_does_not_belong_in_an_infants_sleep_space(columns, rows, said):
    text = RAIL.replace("columns = 4", f"columns = {columns}").replace("rows = 5", f"rows = {rows}")
    pattern = make_pattern(read_study(text))
    assert any("infant's sleep space" in warning for warning in pattern.warnings) == said


# Metric


def test_a_metric_study_is_drafted_with_three_quarters_of_a_centimetre():
    pattern = make_pattern(read_study(RAIL + '\n[measures]\nsystem = "metric"\n'))
    assert pattern.patchwork.allowance * 2.54 == pytest.approx(0.75)
    assert pattern.cut_list.step * 2.54 == pytest.approx(0.1)
    rail = next(piece for piece in pattern.cut_list.pieces if piece.name == "strip")
    # A strip cut 6.35 cm wide finishes 4.85 cm; four of them make a block of 19.4 cm, cut 20.9 cm long.
    assert rail.cut["width"] * 2.54 == pytest.approx(6.35)
    assert rail.cut["length"] * 2.54 == pytest.approx(20.9)
    assert rail.finished["width"] * 2.54 == pytest.approx(4.85)


def test_a_metric_study_is_not_the_inch_study_converted():
    inch = make_pattern(read_study(RAIL))
    metric = make_pattern(read_study(RAIL + '\n[measures]\nsystem = "metric"\n'))
    assert metric.patchwork.finished[0] < inch.patchwork.finished[0]


# Any study


@settings(max_examples=18)
@given(studies(cases(), yardage=True))
def test_any_study_with_cloth_enough_makes_a_pattern_whose_checks_pass(keys):
    pattern = make_pattern(study_from_keys(keys))
    assert not any(pattern.cutting.short.values())


@settings(max_examples=18)
@given(studies())
def test_any_study_makes_a_pattern_or_is_refused_in_a_sentence(keys):
    pattern, message = None, ""
    try:
        pattern = make_pattern(study_from_keys(keys))
    except KitError as error:
        message = str(error)
    assert message.isprintable()
    assert len(message) < 700
    for slot, missing in pattern.cutting.short.items() if pattern else ():
        assert any(warning.startswith(f"{slot}: not enough cloth") for warning in pattern.warnings) == bool(missing)
