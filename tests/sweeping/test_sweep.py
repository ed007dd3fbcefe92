"""A sweep makes every point in full, says what is impossible, stops, remembers, and refuses what no study has."""

import json
from concurrent.futures import ThreadPoolExecutor

import numpy as np
import pandas as pd
import pytest
from small_sweeps import FORTY, SMALL

import kit
from kit.pipeline import make_pattern
from kit.study import open_study, study_from_keys, study_keys
from kit.sweeping import list_sweep_keys, running, sweep
from kit.sweeping.measuring import measure_point

pytestmark = pytest.mark.slow

FEW = {"design.columns": [1, 2, 3], "design.strip_cut": ["2 in", "2 1/2 in"]}


@pytest.fixture
def calls(monkeypatch):
    """Count the patterns that are really made in this process."""
    made = []

    def count(keys):
        made.append(keys)
        return measure_point(keys)

    monkeypatch.setattr(running, "measure_point", count)
    return made


@pytest.fixture(scope="module")
def few():
    return sweep(SMALL, FEW)


def test_each_row_is_what_the_pattern_of_that_study_says(few):
    for place, row in few.table.iterrows():
        keys = study_keys(SMALL)
        keys["design"] |= {"columns": row["design.columns"], "strip_cut": row["design.strip_cut"]}
        pattern = make_pattern(study_from_keys(keys))
        assert few.find_study(place) == pattern.study
        width, length = pattern.patchwork.finished
        assert row["Finished width (in)"] == pytest.approx(width, abs=5e-4)
        assert row["Finished length (in)"] == pytest.approx(length, abs=5e-4)
        assert row["Pieces"] == pattern.cut_list.count == kit.tables.pieces(pattern)["Count"].sum()
        assert row["Seams"] == len(pattern.patchwork.patches) - 1
        assert row["Hours"] == pytest.approx(pattern.finishing.hours, abs=5e-3)
        assert row["Cost"] == pattern.finishing.cost.total
        taken = sum(plan.as_bought * plan.supply.width for plan in pattern.cutting.cloths)
        assert row["Cloth (sq yd)"] == pytest.approx(taken / 1296, abs=5e-5)
        assert row["Error"] == ""


def test_the_last_key_runs_fastest(few):
    assert few.table["design.columns"].tolist() == [1, 1, 2, 2, 3, 3]
    assert few.table["design.strip_cut"].tolist() == ["2 in", "2 1/2 in"] * 3


def test_an_impossible_point_has_its_sentence_and_no_figures():
    found = sweep(SMALL, {"design.strip_cut": ["1/2 in", "2 in"], "design.columns": [0, 1]}).table
    assert "two allowances" in found["Error"][1]
    assert "design.columns" in found["Error"][0]
    assert found["Error"].tolist()[3] == ""
    assert found[["Pieces", "Seams", "Cloth (sq yd)", "Cost", "Hours"]].iloc[:3].isna().all(axis=None)
    assert not found[["Pieces", "Seams", "Cloth (sq yd)", "Cost", "Hours"]].iloc[3].isna().any()


def test_a_fault_of_the_kit_takes_one_row_only_and_is_not_remembered(monkeypatch, tmp_path):
    from kit.sweeping import measuring

    honest = measuring.make_pattern

    def fail(study):
        if study.design.columns == 2:
            raise ZeroDivisionError("a slip")
        return honest(study)

    monkeypatch.setattr(measuring, "make_pattern", fail)
    table = sweep(SMALL, {"design.columns": [1, 2]}, cache=tmp_path).table
    assert table["Error"][0] == ""
    assert "ZeroDivisionError: a slip" in table["Error"][1]
    monkeypatch.setattr(measuring, "make_pattern", honest)
    again = sweep(SMALL, {"design.columns": [1, 2]}, cache=tmp_path)
    assert (again.made, again.recalled) == (1, 1)
    assert again.table["Error"].tolist() == ["", ""]


def test_two_ways_of_writing_one_study_are_made_once(calls):
    found = sweep(SMALL, {"design.strip_cut": ["2 1/2 in", "6.35 cm"]}).table
    assert len(calls) == 1
    assert found["Pieces"][0] == found["Pieces"][1]


def test_cloth_that_is_too_short_is_told_and_is_not_on_the_front():
    keys = study_keys(SMALL)
    keys["fabric"][0]["length"] = "6 in"
    found = sweep(study_from_keys(keys), {"design.columns": [1, 20]})
    assert found.table["Pieces short"][0] == 0
    assert found.table["Pieces short"][1] > 0
    assert found.find_front(["Partial seams"]) == [0]


# ---- the memory ------------------------------------------------------------------------------------------------


def test_nothing_is_made_twice(calls, tmp_path):
    first = sweep(SMALL, FEW, cache=tmp_path)
    assert (len(calls), first.made, first.recalled) == (6, 6, 0)
    again = sweep(SMALL, FEW, cache=tmp_path)
    assert (len(calls), again.made, again.recalled) == (6, 0, 6)
    pd.testing.assert_frame_equal(first.table, again.table)
    wider = sweep(SMALL, {**FEW, "design.columns": [2, 3, 4]}, cache=tmp_path)
    assert (len(calls), wider.made, wider.recalled) == (8, 2, 4)


def test_an_impossible_point_is_remembered_too(calls, tmp_path):
    for _ in range(2):
        assert "two allowances" in sweep(SMALL, {"design.strip_cut": ["1/2 in"]}, cache=tmp_path).table["Error"][0]
    assert len(calls) == 1


DAMAGES = {
    "cut short": lambda text: text[: len(text) // 2],
    "empty": lambda _: "",
    "not text": lambda _: "\udcff",
    "a figure changed": lambda text: text.replace('"pieces": ', '"pieces": 1'),
    "of another point": lambda text: text.replace('"key": "', '"key": "0'),
    "a figure left out": lambda text: json.dumps({**json.loads(text), "figures": {"pieces": 3}}),
    "nested out of reach": lambda _: "[" * 90_000,
    "far too long": lambda text: text + " " * 200_000,
}


@pytest.mark.parametrize("damage", DAMAGES)
def test_a_damaged_file_is_made_again_and_reported(damage, calls, tmp_path):
    one = {"design.columns": [2]}
    whole = sweep(SMALL, one, cache=tmp_path)
    (path,) = tmp_path.iterdir()
    path.write_bytes(DAMAGES[damage](path.read_text()).encode(errors="surrogateescape"))
    mended = sweep(SMALL, one, cache=tmp_path)
    assert len(calls) == 2
    assert len(mended.notes) == 1
    assert mended.notes[0].startswith("Point 0 was made again: ")
    assert path.name in mended.notes[0]
    pd.testing.assert_frame_equal(mended.table, whole.table)
    assert sweep(SMALL, one, cache=tmp_path).recalled == 1


def test_another_version_of_a_library_recalls_nothing(calls, tmp_path, monkeypatch):
    sweep(SMALL, {"design.columns": [1]}, cache=tmp_path)
    versions = running.list_versions()
    monkeypatch.setattr(running, "list_versions", lambda: {**versions, "numpy": "0.0.1"})
    assert sweep(SMALL, {"design.columns": [1]}, cache=tmp_path).recalled == 0
    assert len(calls) == 2


def test_a_memory_that_cannot_be_written_is_refused(tmp_path):
    (tmp_path / "file").write_text("")
    with pytest.raises(kit.KitError, match="cannot remember the points"):
        sweep(SMALL, {"design.columns": [1]}, cache=tmp_path / "file")


# ---- progress and stop -----------------------------------------------------------------------------------------


def test_progress_is_told_point_by_point():
    seen = []
    sweep(SMALL, FEW, progress=lambda _, done, of: seen.append((done, of)))
    assert seen == [(n, 6) for n in range(7)]


@pytest.mark.parametrize("threads", [0, 1])
def test_a_stop_keeps_what_is_done_and_leaves_the_rest(threads, tmp_path):
    def follow(_, done, __):
        return done >= 12

    executor = ThreadPoolExecutor(threads) if threads else None
    stopped = sweep(SMALL, FORTY, executor, tmp_path, follow)
    if executor:
        executor.shutdown()
    assert stopped.left > 20
    assert len(stopped.table) == 40 - stopped.left
    assert len(list(tmp_path.iterdir())) == stopped.made
    whole = sweep(SMALL, FORTY, cache=tmp_path)
    assert (whole.left, whole.recalled) == (0, stopped.made)
    kept = whole.table.iloc[[point.number for point in stopped.points]].reset_index(drop=True)
    pd.testing.assert_frame_equal(kept, stopped.table)


def test_a_stop_before_the_start_makes_nothing(calls):
    found = sweep(SMALL, FEW, progress=lambda *_: True)
    assert (len(calls), found.left, len(found.table)) == (0, 6, 0)
    assert list(found.table.columns) == list(sweep(SMALL, {**FEW, "design.columns": [1]}).table.columns)


def test_an_executor_that_is_gone_is_told_in_words(tmp_path):
    gone = ThreadPoolExecutor(1)
    gone.shutdown()
    with pytest.raises(kit.KitError, match=r"gave up .* same cache"):
        sweep(SMALL, FEW, gone, tmp_path)


def test_a_worker_with_another_kit_is_refused(monkeypatch):
    honest = running.measure_there
    monkeypatch.setattr(running, "measure_there", lambda keys: ("another", honest(keys)[1]))
    with ThreadPoolExecutor(1) as executor, pytest.raises(kit.KitError, match="another kit"):
        sweep(SMALL, {"design.columns": [1]}, executor)


# ---- what is refused -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("ranges", "said"),
    [
        ({"design.strip": ["2 in"]}, "write `design.strip_cut`"),
        ({"design.colums": [2]}, "write `design.columns`"),
        ({"fabric.3.price": [2]}, "no key `fabric.3.price`"),
        ({"design": [2]}, "no key `design`"),
        ({"columns": [2]}, "write `design.columns`"),
        ({}, "names no key"),
        ({"design.columns": []}, "is empty"),
        ({"design.columns": 3}, "is not a list"),
        ({"design.columns": "345"}, "is not a list"),
        ({"design.columns": [3, 4, 3]}, "holds 3 twice"),
        ({"design.columns": [float("nan")]}, "holds nan"),
        ({"design.columns": [None]}, "holds None"),
        ({"design.columns": [{}]}, "holds {}"),
        ({"design.columns": range(1, 102), "design.rows": range(1, 101)}, "10,100 points (101 × 100)"),
        ({"design.columns": iter(range(10**9))}, "does not end"),
    ],
)
def test_a_sweep_that_cannot_be_meant_is_refused_before_a_point_is_made(ranges, said, calls):
    with pytest.raises(kit.StudyError) as refused:
        sweep(SMALL, ranges)
    assert said.lower() in str(refused.value).lower()
    assert not calls


def test_every_key_that_a_study_sets_can_be_swept():
    def leaves(value, place=""):
        if isinstance(value, dict) and not place.endswith("pins."):
            return [leaf for key, held in value.items() for leaf in leaves(held, f"{place}{key}.")]
        if isinstance(value, list) and value and isinstance(value[0], dict):
            return [leaf for n, held in enumerate(value, 1) for leaf in leaves(held, f"{place}{n}.")]
        return [place[:-1]]

    for name in ("tideline", "millwheel", "chandlery", "harbour-light"):
        study = open_study(f"data/studies/{name}.toml")
        swept = {leaf for leaf in leaves(study_keys(study)) if leaf != "title" and not leaf.startswith("edition")}
        assert swept <= set(list_sweep_keys(study))
        assert not {"title", "edition"} & set(list_sweep_keys(study))


def test_numbers_of_numpy_are_taken_as_plain_ones():
    found = sweep(SMALL, {"design.columns": np.arange(1, 3)})
    assert found.table["design.columns"].tolist() == [1, 2]
    assert [type(value) for _, values in found.ranges for value in values] == [int, int]


def test_a_metric_study_has_its_table_in_centimetres():
    keys = study_keys(SMALL)
    keys["measures"]["system"] = "metric"
    found = sweep(study_from_keys(keys), {"design.columns": [2]})
    (figures,) = found.figures
    assert found.table["Finished width (cm)"][0] == pytest.approx(figures["width"] * 2.54, abs=5e-4)
    assert found.table["Cloth (m²)"][0] == pytest.approx(figures["cloth"] * 0.0254**2, abs=5e-5)


def test_a_row_that_is_not_there_is_refused(few):
    with pytest.raises(kit.KitError, match="no row 6"):
        few.find_study(6)
