"""Studies of units: read, written, checked, kept in editions, swept, brought to a size; errors in words."""

from dataclasses import replace
from pathlib import Path

import pytest

import kit
from kit.errors import KitError, StudyError
from kit.pipeline import make_pattern, make_sketch
from kit.study import add_edition, editions, open_study, read_study, save_study, write_study
from kit.sweeping.sweep_points import list_points, list_sweep_keys, read_ranges

HERE = Path(__file__).parent
STUDIES = sorted(HERE.glob("*.toml"))
FABRIC = '[[fabric]]\nslot = "patch"\nname = "Plain"\ncolour = "#8090a0"\n'


def name(path):
    return path.stem


@pytest.mark.parametrize("path", STUDIES, ids=name)
def test_a_study_that_is_saved_and_opened_again_is_the_same(path, tmp_path):
    study = open_study(path)
    assert open_study(save_study(study, tmp_path / "again.toml")) == study
    assert write_study(open_study(tmp_path / "again.toml")) == write_study(study)


def test_a_count_of_a_unit_that_changes_leaves_every_other_line_as_it_was_written(tmp_path):
    path = tmp_path / "sampler.toml"
    text = (
        (HERE / "sampler-row.toml").read_text(encoding="utf-8").replace("pairs = 8", "pairs = 8  # as long as a boat")
    )
    path.write_text(text, encoding="utf-8")
    study = read_study(text.replace("pairs = 8", "pairs = 9"))
    save_study(study, path)
    assert open_study(path) == study
    assert path.read_text(encoding="utf-8") == text.replace("pairs = 8", "pairs = 9")


@pytest.mark.parametrize("path", STUDIES, ids=name)
def test_every_plan_of_each_edition_is_proved(path):
    for study in editions(open_study(path)):
        assert make_pattern(study, "quick").rehearsal.agrees


def test_an_edition_changes_a_shared_length_and_another_the_count_of_one_unit():
    small = editions(open_study(HERE / "star-wings.toml"))[0]
    assert small.make_patchwork().finished == pytest.approx((4 * (2 + 2**0.5),) * 2)
    narrow, long = editions(open_study(HERE / "sampler-row.toml"))
    assert long.design.units["lane"].thaw()["pairs"] == 10
    assert narrow.make_patchwork().finished[0] < long.make_patchwork().finished[0]


def test_an_edition_is_added_for_another_count_of_a_unit():
    study = replace(open_study(HERE / "sampler-row.toml"), editions=())
    text = write_study(study).replace("pairs = 8", "pairs = 9")
    more = add_edition(study, "more", read_study(text))
    assert more.editions[1].overrides() == {"unit": {"lane": {"pairs": 9}}}
    assert editions(more)[1].design == read_study(text).design


def test_a_metric_edition_is_redrafted_by_its_system_and_its_strip():
    text = (HERE / "sampler-row.toml").read_text(encoding="utf-8")
    text += '\n[edition.metric.measures]\nsystem = "metric"\n[edition.metric.design]\nstrip_cut = "6.5 cm"\n'
    metric = editions(read_study(text))[-1]
    assert metric.edition == "1, metric"
    assert make_pattern(metric, "quick").rehearsal.agrees
    assert metric.make_patchwork().allowance == pytest.approx(0.75 / 2.54)


def test_a_sweep_reaches_the_keys_of_units_and_the_shared_lengths():
    study = replace(open_study(HERE / "star-wings.toml"), editions=())
    keys = list_sweep_keys(study)
    assert {"unit.point.side_finished", "unit.whole.join", "design.lengths.side", "design.top"} <= set(keys)
    assert not {"unit", "design.unit"} & set(keys)
    points = list_points(study, read_ranges(study, {"design.lengths.side": ["4 in", "5 in"]}))
    sizes = [kit.study.study_from_keys(point.keys).make_patchwork().finished[0] for point in points]
    assert sizes == pytest.approx([4 * (2 + 2**0.5), 5 * (2 + 2**0.5)])


def test_a_key_that_no_unit_has_is_not_swept():
    study = replace(open_study(HERE / "sampler-row.toml"), editions=())
    with pytest.raises(StudyError, match=r"no key `unit\.lane\.pears`.*Write `unit\.lane\.pairs`"):
        read_ranges(study, {"unit.lane.pears": [3]})


CHAIN = """title = "Chain"
[design]
family = "units"
top = "a"
blocks = ["b"]
columns = {columns}
rows = {rows}
[unit.a]
patch = "square"
side_finished = "4 in"
slot = "dark"
[unit.b]
patch = "square"
side_finished = "4 in"
slot = "light"
[[fabric]]
slot = "dark"
name = "Night"
colour = "#202840"
[[fabric]]
slot = "light"
name = "Foam"
colour = "#e0e8f0"
"""


def test_a_chain_whose_corners_differ_says_so_among_the_warnings():
    def find(columns, rows):
        warnings = make_sketch(read_study(CHAIN.format(columns=columns, rows=rows))).warnings
        return [said for said in warnings if "corners differ" in said]

    assert find(5, 7) == []
    (said,) = find(4, 6)
    assert "4 × 6" in said


def test_a_chain_is_brought_to_a_size():
    ways = kit.fit(read_study(CHAIN.format(columns=5, rows=7)), 36, 44)
    found = [option.sketch.study.design for option in ways.options]
    assert (9, 11) in [(one.columns, one.rows) for one in found]


def test_the_command_that_checks_proves_a_study_of_units(capsys):
    from kit.__main__ import main

    assert main(["check", str(HERE / "medallion.toml")]) in (0, None)
    assert "medallion" in capsys.readouterr().out.lower()


def study(text, top="whole"):
    return f'title = "Wrong"\n[design]\nfamily = "units"\ntop = "{top}"\n{text}\n{FABRIC}'


SQUARE = '[unit.a]\npatch = "square"\nside_finished = "4 in"\n'
WRONG = {
    "an unknown key": (
        study('[unit.whole]\nfamily = "braid"\npears = 5'),
        r"unknown key `unit\.whole\.pears`.*[Ww]rite `pairs`",
    ),
    "an unknown key of a patch": (study(SQUARE + 'colour = "red"'), r"unknown key `unit\.a\.colour`"),
    "a bare number": (
        study('[unit.whole]\npatch = "square"\nside_finished = 4'),
        r"`unit\.whole\.side_finished`.*[Ww]rite \"4 in\"",
    ),
    "a missing size": (study('[unit.whole]\npatch = "square"'), r"`unit\.whole\.side_finished` is missing"),
    "a text for a count": (
        study('[unit.whole]\nfamily = "braid"\npairs = "five"'),
        r"`unit\.whole\.pairs`.*whole number",
    ),
    "a count that is too small": (
        study('[unit.whole]\nfamily = "braid"\npairs = 0'),
        r"`unit\.whole\.pairs` is 0.*at least 1",
    ),
    "a text for a list": (study(SQUARE + '[unit.whole]\nrows = "a"'), r"`unit\.whole\.rows` is 'a'.*a list"),
    "an unknown family": (study('[unit.whole]\nfamily = "braids"'), r"'braids' \(is `braid` meant\?\)"),
    "units within units": (study('[unit.whole]\nfamily = "units"'), r"`unit\.whole\.family` is 'units'"),
    "a name that cannot stand in a row": (
        study('[unit."my unit"]\npatch = "square"'),
        r"'my unit' is not a name of a unit",
    ),
    "a unit that is not a table": (
        'title = "Wrong"\nunit = {a = 3}\n[design]\nfamily = "units"\n' + FABRIC,
        r"`a` is 3.*\[unit\.a\]",
    ),
    "units within the design": (study('[design.unit.a]\npatch = "square"'), r"`design\.unit` stands within \[design\]"),
    "units beside another family": (
        'title = "Wrong"\n[design]\nfamily = "braid"\n' + SQUARE + FABRIC,
        r"\[unit\.a\] stands beside the family `braid`",
    ),
    "a shared length called as a unit of length": (
        'title = "W"\n[design]\nfamily = "units"\nlengths = {in = "3 in"}\n' + SQUARE + FABRIC,
        r"`in` cannot name a shared length",
    ),
    "a sum that leaves nothing": (
        study(SQUARE + '[unit.whole]\npatch = "square"\nside_finished = "a.left - 5 in"'),
        r"comes to less than zero",
    ),
    "no units at all": (study(""), r"there is no unit `whole`.*\[unit\.whole\]"),
    "a date": (study('[unit.whole]\npatch = "square"\nside_finished = 2020-01-01'), r"write texts, numbers"),
}


@pytest.mark.parametrize(("text", "said"), WRONG.values(), ids=WRONG)
def test_what_is_wrong_in_a_study_of_units_is_said_in_words(text, said, tmp_path):
    path = tmp_path / "wrong.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(KitError, match=said) as caught:
        open_study(path)
    told = str(caught.value)
    assert told.startswith("wrong.toml")
    assert not [word for word in ("pydantic", "Input should", "validation error", "Traceback") if word in told]
