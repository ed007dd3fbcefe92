"""The [quilting] table of a study: read, refused in words, written back, and followed by the plan."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import kit
from kit.model.quilting_wishes import WAYS, QuiltingWishes, Stitching, find_usual_quilting
from kit.planning.quilting.quilting_plan import quilting_plan, suit_wishes
from kit.study import read_study, study_from_keys, study_keys, write_study
from kit.study.quilting_keys import QuiltingKeys, StitchKeys, describe_quilting_keys

BASE = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
WHOLE = {
    "gap_limit": "3 in", "throat": "9 in", "reach": "2 1/2 in", "begin": "anywhere", "straight_speed": "75 in",
    "curve_speed": "1 yd", "stop_minutes": 2.5,
    "stitch": [
        {"where": "top", "way": "ditch", "colour": "#204080"},
        {"where": "sand", "way": "echo", "spacing": "1/2 in", "together": True},
        {"where": "border", "way": "motif", "spacing": "1/4 in", "motif": [[0, 0], [4, 1.5], [1, 3]]},
        {"where": "sea", "way": "grid", "spacing": "0.75 in", "angle": -30},
        {"where": "sand", "way": "pebbles", "spacing": "1/2 in", "within": "inside", "turn": 2, "turns": 3},
        {"where": "sea", "way": "echo", "spacing": "1/2 in", "rounds": 1},
        {"where": "sea", "way": "drawn line", "spacing": "1/2 in", "motif": [[0, 0], [1, 2], [4, 0]]},
    ],
}  # fmt: skip


def make(quilting, **measures):
    keys = BASE | {"quilting": quilting}
    if measures:
        keys["measures"] = BASE["measures"] | measures
    return study_from_keys(keys)


def test_every_key_reaches_the_wishes():
    wishes = make(WHOLE).quilting
    assert (wishes.gap_limit, wishes.throat, wishes.reach, wishes.begin) == (3.0, 9.0, 2.5, "anywhere")
    assert (wishes.straight_speed, wishes.curve_speed, wishes.stop_minutes) == (75.0, 36.0, 2.5)
    assert wishes.stitchings == (
        Stitching(colour="#204080"),
        Stitching("sand", "echo", 0.5, together=True),
        Stitching("border", "motif", 0.25, motif=((0.0, 0.0), (4.0, 1.5), (1.0, 3.0))),
        Stitching("sea", "grid", 0.75, angle=-30.0),
        Stitching("sand", "pebbles", 0.5, within="inside", turn=2, turns=3),
        Stitching("sea", "echo", 0.5, rounds=1),
        Stitching("sea", "drawn line", 0.5, motif=((0.0, 0.0), (1.0, 2.0), (4.0, 0.0))),
    )


def test_without_the_table_the_quilt_is_stitched_in_the_ditch():
    assert make({}).quilting == study_from_keys(BASE).quilting == QuiltingWishes()
    assert "quilting" not in study_keys(study_from_keys(BASE))


def test_a_metric_study_has_round_centimetres_where_it_says_nothing():
    wishes = make({"stitch": [{"where": "sea", "way": "meander"}]}, system="metric").quilting
    assert round(wishes.gap_limit * 2.54, 9) == 20
    assert round(wishes.stitchings[0].spacing * 2.54, 9) == 2.5
    assert round(wishes.straight_speed * 2.54, 9) == 150


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_the_table_survives_writing(system):
    study = make(WHOLE, system=system)
    assert read_study(write_study(study)) == study
    assert study_keys(study)["quilting"]["stitch"][0] == {"where": "top", "way": "ditch", "colour": "#204080"}


lengths = st.integers(32, 256).map(lambda n: n / 64) | st.floats(1, 15, allow_nan=False)
stitchings = st.builds(
    Stitching,
    st.sampled_from(["top", "sea", "x y"]),
    st.sampled_from([way for way in WAYS if way not in ("motif", "drawn line")]),
    lengths,
    st.floats(-360, 360),
    st.booleans(),
    colour=st.from_regex(r"#[0-9a-f]{6}", fullmatch=True),
)


@given(
    st.lists(stitchings, min_size=1, max_size=4).map(tuple),
    lengths,
    st.none() | st.floats(4, 60),
    st.sampled_from(["inch", "metric"]),
)
def test_any_wishes_survive_writing(wished, limit, throat, system):
    study = make({}, system=system)
    own = replace(study, quilting=replace(study.quilting, stitchings=wished, gap_limit=limit, throat=throat))
    assert read_study(write_study(own)) == own


@pytest.mark.parametrize(
    ("table", "said"),
    [
        ({"gaplimit": "3 in"}, "unknown key `quilting.gaplimit`"),
        ({"gap_limit": 3}, "quilting.gap_limit"),
        ({"gap_limit": "30 in"}, "30 in is out of range: write 1/2 in to 24 in"),
        ({"throat": "0 in"}, "quilting.throat"),
        ({"begin": "corner"}, "`quilting.begin` is 'corner'"),
        ({"stop_minutes": "2"}, "quilting.stop_minutes"),
        ({"stop_minutes": float("nan")}, "quilting.stop_minutes"),
        ({"stitch": [{"way": "zigzag"}]}, "`quilting.stitch.1.way` is 'zigzag'"),
        ({"stitch": [{"wai": "grid"}]}, "Write `way`"),
        ({"stitch": [{"way": "grid", "spacing": "1/16 in"}]}, "1/16 in is out of range"),
        ({"stitch": [{"way": "grid", "angle": 400}]}, "at most 360"),
        ({"stitch": [{"colour": "red"}]}, "#rrggbb"),
        ({"stitch": [{"way": "motif"}]}, "motif for `top` has 0 corners"),
        ({"stitch": [{"way": "motif", "motif": [[0, 0], [1], [2, 2]]}]}, "not a pair of numbers"),
        ({"stitch": [{"way": "motif", "motif": [[0, 0], [1, "2"], [2, 2]]}]}, "'2' is not a number"),
        ({"stitch": [{"way": "motif", "motif": [[0, 0], [1, float("inf")], [2, 2]]}]}, "inf is not a number"),
        ({"stitch": [{"together": "yes"}]}, "together"),
        ({"stitch": [{"way": "echo", "rounds": -1}]}, "rounds"),
        ({"stitch": [{"way": "loops", "turn": 3, "turns": 2}]}, "turn 3 of 2"),
        ({"stitch": [{"way": "loops", "within": "beside"}]}, "within"),
        ({"stitch": [{"way": "drawn line"}]}, "drawn line for `top` has 0 corners"),
        ({"stitch": "ditch"}, "quilting.stitch"),
        ({"stitch": [{}] * 201}, "quilting.stitch"),
        ({"stitch": [{"where": "a\nb"}]}, "control character"),
    ],
)
def test_what_cannot_be_is_refused_in_words(table, said):
    with pytest.raises(kit.StudyError) as told:
        make(table)
    assert said in str(told.value)


def test_the_plan_follows_the_study_and_its_seed():
    quilting = {"gap_limit": "3 in", "stitch": [{}, {"where": "border", "way": "meander", "spacing": "3/4 in"}]}
    study = make(quilting)
    pattern = kit.make_pattern(study)
    assert pattern.quilting.wishes == replace(study.quilting, seed=study.seed)
    assert {line.way for line in pattern.quilting.lines} == {"ditch", "meander"}
    assert pattern.finishing.top.gap == pattern.quilting.gap.width
    assert pattern.finishing.gap.limit == 3.0
    assert dict(pattern.finishing.top.paths) == pattern.quilting.threads
    assert pattern.finishing.top.quilting_minutes == pattern.quilting.minutes
    assert not pattern.finishing.thread.estimated


def test_a_part_that_the_top_does_not_have_is_refused_with_those_that_it_has():
    with pytest.raises(kit.KitError, match="The quilting names `river`") as told:
        kit.make_pattern(make({"stitch": [{"where": "river"}]}))
    assert "sea" in told.value.needed


def test_a_top_without_seams_is_crosshatched():
    one = kit.patchwork_from_outlines([[(0, 0), (20, 0), (20, 16), (0, 16)]])
    wishes = suit_wishes(one, find_usual_quilting("inch"), seed=5)
    assert [(s.way, s.spacing) for s in wishes.stitchings] == [("crosshatch", 2.0)]
    assert wishes.seed == 5
    assert quilting_plan(one, wishes).holds
    two = kit.patchwork_from_outlines([[(0, 0), (9, 0), (9, 9), (0, 9)], [(9, 0), (18, 0), (18, 9), (9, 9)]])
    assert suit_wishes(two, QuiltingWishes()) == QuiltingWishes()


def test_every_key_is_described_with_what_holds_without_it():
    rows = describe_quilting_keys("metric")
    known = [name for name in QuiltingKeys.model_fields if name != "stitch"]
    assert [row[0] for row in rows] == known + [f"stitch.{name}" for name in StitchKeys.model_fields]
    assert all(len(row[1]) > 5 and row[2] for row in rows)
    assert {row[0]: row[2] for row in rows}["gap_limit"] == "20 cm"
