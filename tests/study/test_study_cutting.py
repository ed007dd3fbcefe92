"""The [cutting] table of a study: every key, what it refuses, and that it reads back."""

import pytest

import kit
from kit.model.making import MakingWishes
from kit.study import study_from_keys, study_keys
from kit.study.cutting_keys import CuttingKeys, describe_cutting_keys


def make_study(**cutting):
    keys = study_keys(kit.open_study("data/studies/gull-point.toml"))
    return study_from_keys({**keys, "cutting": cutting} if cutting else keys)


def test_without_the_table_nothing_is_asked_and_nothing_is_written():
    study = make_study()
    assert study.cutting == MakingWishes()
    assert "cutting" not in study_keys(study)
    assert "[cutting]" not in kit.study.write_study(study)


@pytest.mark.parametrize(
    ("key", "text", "held"),
    [
        ("wish", "least cloth", "least cloth"), ("wish", "fewest cuts", "fewest cuts"),
        *(("half_squares", way, way) for way in (
            "one by one", "two at a time", "four at a time", "eight at a time", "stitch and flip")),
        ("quarter_squares", "two at a time", "two at a time"), ("geese", "four at a time", "four at a time"),
        ("geese", "stitch and flip", "stitch and flip"), ("corners", "stitch and flip", "stitch and flip"),
        ("strip_sets", "sewn and cut across", "sewn and cut across"), ("oversize", "1/8 in", 0.125),
        ("oversize", "3 mm", pytest.approx(3 / 25.4)), ("set_squaring", "0 in", 0.0),
    ],
)  # fmt: skip
def test_every_key_is_held_and_reads_back(key, text, held, tmp_path):
    study = make_study(**{key: text})
    assert getattr(study.cutting, key) == held
    assert kit.open_study(kit.save_study(study, tmp_path / "x.toml")) == study


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"half_squares": "nine at a time"}, r"`cutting.half_squares` is 'nine at a time'.*'eight at a time'"),
        ({"halfsquares": "two at a time"}, r"unknown key `cutting.halfsquares`.*`half_squares`"),
        ({"wish": "least work"}, r"`cutting.wish` is 'least work'"),
        ({"oversize": 0.125}, r"`cutting.oversize`.*no unit|`cutting.oversize`"),
        ({"oversize": "9 in"}, r"`cutting.oversize`: 9 in is out of range: write at most 4 in"),
        ({"set_squaring": "-1 in"}, r"`cutting.set_squaring`"),
    ],
)
def test_what_a_key_does_not_take_is_refused_by_its_name(keys, said):
    with pytest.raises(kit.StudyError, match=said):
        make_study(**keys)


def test_every_key_is_described():
    rows = describe_cutting_keys()
    assert [name for name, _, _ in rows] == list(CuttingKeys.model_fields)
    assert all(text and usual for _, text, usual in rows)


def test_an_edition_may_be_made_in_another_way():
    keys = study_keys(kit.open_study("data/studies/gull-point.toml"))
    keys["edition"] = {"number": "1", "quick": {"cutting": {"geese": "four at a time"}}}
    (quick,) = kit.editions(study_from_keys(keys))[-1:]
    assert quick.cutting.geese == "four at a time"
    assert make_study().cutting.geese is None


@pytest.mark.parametrize("wish", ["least cloth", "fewest cuts"])
def test_a_pattern_of_batches_is_proved_whole(wish):
    pattern = kit.make_pattern(make_study(wish=wish))
    assert pattern.making.made
    assert pattern.rehearsal.agrees
    assert all(line.passed for line in kit.prove(pattern))
    twin = kit.write_twin(pattern)
    assert kit.rehearse(*kit.read_twin(twin, pattern.sewing.target)).agrees


def test_a_twin_with_a_wrong_count_of_squares_is_refused():
    pattern = kit.make_pattern(make_study(geese="four at a time"))
    twin = kit.write_twin(pattern)
    twin["making"][1]["blanks"][0]["count"] += 1
    with pytest.raises(kit.CheckError, match="Uc, count: 6 is printed and 5 follows"):
        kit.read_twin(twin, pattern.sewing.target)


def test_a_step_of_which_some_come_ready_says_how_many_and_sews_the_others():
    keys = study_keys(kit.open_study("data/studies/chandlery.toml"))
    keys["edition"], keys["cutting"] = "1", {"half_squares": "two at a time"}
    keys["design"] |= {"columns": 2, "rows": 1, "border": []}
    keys["fabric"] = [entry for entry in keys["fabric"] if entry["slot"] != "border"]
    next(entry for entry in keys["fabric"] if entry["name"] == "Wet slate")["one_way"] = True
    pattern = kit.make_pattern(study_from_keys(keys))
    used = {fabric for made in pattern.making.made for fabric in made.fabrics}
    assert "Stockholm tar" in used
    assert "Wet slate" not in used
    mixed = [
        text for text in kit.tables.steps(pattern)["Action"] if "come ready from" in text and "Sew the other" in text
    ]
    assert mixed
    assert all(line.passed for line in kit.prove(pattern))
    twin = kit.write_twin(pattern)
    assert kit.rehearse(*kit.read_twin(twin, pattern.sewing.target)).agrees
