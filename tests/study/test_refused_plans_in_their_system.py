"""What is refused beyond the design, in planning, on the tables and while a file is read, is in the study's lengths."""

import re

import pytest

import kit
from kit.errors import KitError
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.table import NEW
from kit.geometry.outlines import TOLERANCE
from kit.lengths import use_system
from kit.model.patchwork import patchwork_from_outlines
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.planning.finishing.batting import compare_gap
from kit.planning.finishing.bias_strips import cut_parallelogram
from kit.planning.finishing.care import spread_bed
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.finishing.thread_length import find_lockstitch_thread
from kit.study import study_from_keys, study_keys

ACROSS = [[(0, 0), (8, 0), (8, 4), (0, 4)], [(0, 2), (8, 2), (8, 6), (0, 6)]]
AROUND = [
    [(0, 0), (6, 0), (4, 2), (2, 2)], [(6, 0), (6, 6), (4, 4), (4, 2)],
    [(6, 6), (0, 6), (2, 4), (4, 4)], [(0, 6), (0, 0), (2, 2), (2, 4)],
]  # fmt: skip
REFUSED = {
    "an overlap": (lambda: patchwork_from_outlines(ACROSS), "16.0000 square inches", "103.2256 square centimetres"),
    "a gap": (
        lambda: patchwork_from_outlines(AROUND), "4.0000 square inches at (4, 2)",
        "25.8064 square centimetres at (10.16, 5.08)",
    ),
    "a bed": (
        lambda: spread_bed((60, 80), -2, tuck=10), "60 by 80 in with drops of -2 and -2, tuck 10",
        "152.4 by 203.2 cm with drops of -5.08 and -5.08, tuck 25.4",
    ),
    "a gap in the quilting": (lambda: compare_gap(-1, 4), "-1 in and the batting's limit 4 in",
                              "-2.54 cm and the batting's limit 10.16 cm"),
    "a size": (lambda: finishing_plan(600, 80), "600 in wide. Needed: more than zero, at most 500 in",
               "1524 cm wide. Needed: more than zero, at most 1270 cm"),
    "thin layers": (lambda: find_lockstitch_thread(-0.01, 10), "-0.01 in thick", "-0.025 cm thick"),
    "bias strips": (lambda: cut_parallelogram(20, 10, -1), "-1 in are wanted from cloth of 20 by 10 in",
                    "-2.54 cm are wanted from cloth of 50.8 by 25.4 cm"),
    "a spacing": (lambda: Stitching("top", "grid", 200), "200 in. Needed: 0.1 to 100 in",
                  "508 cm. Needed: 0.25 to 254 cm"),
    "a speed": (lambda: QuiltingWishes(curve_speed=-10), "-10 in a minute", "-25.4 cm a minute"),
}  # fmt: skip
"""What refuses, and its figures; the centimetres are those of a pocket calculator, 2.54 to the inch."""


@pytest.mark.parametrize("name", REFUSED)
def test_figures_in_the_system_in_use(name):
    refuse, inches, centimetres = REFUSED[name]
    for system, said, other in (("inch", inches, "cm"), ("metric", centimetres, "in")):
        with use_system(system), pytest.raises(KitError) as refused:
            refuse()
        assert said in str(refused.value)
        assert not re.search(rf"\d {other}\b|{'inches' if system == 'metric' else 'centimetres'}", str(refused.value))


def say(system, changed, make):
    keys = study_keys(kit.open_study("data/studies/tideline.toml"))
    keys["measures"] = {"system": system}
    keys.pop("editions", None)
    for table, values in changed.items():
        keys.setdefault(table, {}).update(values)
    with pytest.raises(KitError) as refused:
        make(study_from_keys(keys))
    return str(refused.value).replace("\N{NO-BREAK SPACE}", " ")


STUDIES = {
    "a test piece": ({"finishing": {"thread": "test", "thread_test": ["25 cm", "20 cm", "28 cm"]}}, kit.make_pattern),
    "lines too far apart": (
        {"quilting": {"gap_limit": "5 cm", "stitch": [{"where": "top", "way": "grid", "spacing": "9 cm"}]}},
        kit.make_pattern,
    ),
    "a key out of range": ({"finishing": {"backing_width": "2 cm"}}, str),
    "a batting out of range": ({"quilting": {"gap_limit": "500 cm"}}, str),
    "a ruler out of range": ({"cutting": {"ruler": "500 cm"}}, str),
    "narrow cloth": ({"measures": {"usable_width": "5 cm"}}, str),
    "coarse rounding": ({"measures": {"round_cuts_to": "50 cm"}}, str),
    "a size that nothing reaches": (
        {}, lambda study: kit.fit(study, "20 in", "21 in", tolerance="0.1 cm", counts=((3, 3), (4, 4))),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", STUDIES)
def test_a_study_hears_its_own_lengths_while_it_is_read_and_planned(name):
    changed, make = STUDIES[name]
    metric, inch = (say(system, changed, make).partition("rite for instance")[0] for system in ("metric", "inch"))
    assert re.search(r"\d cm", metric)
    assert not re.search(r"[\d½¼¾⅛⅜⅝⅞] in\b", metric), metric
    assert re.search(r"[\d½¼¾⅛⅜⅝⅞] in\b", inch)


def lay_apart(system):
    square = {"patch": "square", "side_finished": "6 in", "slot": "light"}
    sheet = ComposeSheet(study_from_keys({**NEW, "measures": {"system": system}}))
    sheet.add("square", square)
    sheet.add("bar", {"patch": "rectangle", "width_finished": "6 in", "height_finished": "2 in", "slot": "sand"})
    sheet.lay("square")
    for unit, *where in (
        ("bar", "square.top", "bottom"), ("square", "square.right"), ("square", "square 2.top", "bottom", "start"),
        ("square", "bar.top"), ("square", "square 4.right", None, "end"),
    ):  # fmt: skip
        sheet.put(unit, *where)
    (trouble,) = sheet.shown.laid.troubles
    return trouble.text


def test_what_overlaps_on_the_table_is_told_in_the_areas_of_the_study():
    assert "overlap by 24 square inches" in lay_apart("inch")
    assert "overlap by 155 square centimetres" in lay_apart("metric")


def test_a_hole_among_units_is_told_in_them_too():
    units = {
        "log": {"patch": "rectangle", "width_finished": "8 in", "height_finished": "4 in"},
        "whole": {"join": ["log", *["log.left to log.bottom, end"] * 3]},
    }
    keys = {
        "title": "Quay", "design": {"family": "units"}, "unit": units, "measures": {"system": "metric"},
        "fabric": [{"slot": "patch", "name": "Slate", "colour": "#556677"}],
    }  # fmt: skip
    with pytest.raises(KitError) as refused:
        study_from_keys(keys).lay_out()
    said = str(refused.value).replace("\N{NO-BREAK SPACE}", " ")
    assert "a hole of 103 square centimetres, its sides 10.16 cm, 10.16 cm, 10.16 cm, 10.16 cm, between" in said


def test_a_length_too_small_for_two_decimals_does_not_read_as_zero():
    with use_system("metric"), pytest.raises(KitError) as refused:
        patchwork_from_outlines([[(0, 0), (4, 0), (4, 4), (0, 4)], [(6, 0), (9, 0), (9, 4), (6, 4)]])
    said = re.search(r"corners within (\S+) cm count as one", str(refused.value))
    assert float(said[1]) == pytest.approx(2.54 * TOLERANCE, rel=0.02)
