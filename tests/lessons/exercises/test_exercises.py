"""Every kind of exercise: the answer worked out twice, every named mistake recognised, and no right answer refused."""

from fractions import Fraction
from itertools import pairwise
from math import isclose

import pytest
from exercises_sweep import check_exercise
from hypothesis import example, given, settings
from hypothesis import strategies as st
from marking_sweep import gather

from kit.errors import KitError
from kit.lengths import write_exact, write_length, write_nearest, write_plain
from kit.lessons.exercises.catalogue import KINDS, make_exercise, make_set
from kit.lessons.exercises.exercise import APART, CUT_DOWN, NEED, ONE_SEAM, RULE, TAKEN, UNSCALED, WRONG_UNIT
from kit.lessons.exercises.marking import mark

pytestmark = pytest.mark.slow

INSTANCES = 60
SYSTEMS = ("inch", "metric")


def list_instances(kind, system, count=INSTANCES):
    return [make_exercise(kind, seed, system) for seed in range(count)]


@pytest.mark.parametrize("kind", KINDS)
def test_the_answer_is_what_a_formula_makes_of_the_printed_question_and_each_mistake_is_named(kind):
    """60 instances in inches and 12 in centimetres of each kind; `tests/sweeps/exercises_sweep.py` takes 200 and 40."""
    for system, count in (("inch", INSTANCES), ("metric", INSTANCES // 5)):
        for exercise in list_instances(kind, system, count):
            check_exercise(kind, exercise, system)


def test_instances_of_each_kind_are_not_one_and_the_same():
    for kind in KINDS:
        assert len({exercise.question for exercise in list_instances(kind, "inch", 40)}) > 8


def spell(inches, way):
    """Write one length in many ways; None where a way cannot write it exactly enough."""
    fraction = Fraction(inches).limit_denominator(64)
    exact = isclose(float(fraction), inches, abs_tol=1e-9)
    whole, rest = divmod(fraction, 1)
    text = f"{whole} {rest}" if whole and rest else f"{rest or whole}"
    return {
        "decimal": f"{inches:.4f} in",
        "two decimals": f"{inches:.2f} inch",
        "closed": f'{inches:.3f}"',
        "centimetres": f"{inches * 2.54:.2f} cm",
        "millimetres": f"{inches * 25.4:.1f} mm",
        "metres": f"{inches * 0.0254:.5f} m",
        "yards": f"{inches / 36:.6f} yd",
        "feet": f"{inches / 12:.6f} ft",
        "fraction": f"{text} in" if exact else None,
        "hyphen": f"{text.replace(' ', '-')}in" if exact else None,
        "built": write_length(inches),
        "metric built": write_length(inches, "metric"),
        "plain": write_plain(inches),
        "exact": write_exact(inches),
    }[way]


WAYS = ("decimal", "two decimals", "closed", "centimetres", "millimetres", "metres", "yards", "feet", "fraction")
WAYS += ("hyphen", "built", "metric built", "plain", "exact")


@settings(max_examples=300)
@given(st.sampled_from(sorted(KINDS)), st.integers(0, 10**9), st.sampled_from(SYSTEMS), st.sampled_from(WAYS))
@example("half-square triangle", 4, "inch", "two decimals")
@example("cloth to buy", 3, "inch", "yards")
def test_a_right_answer_is_right_in_every_notation(kind, seed, system, way):
    exercise = make_exercise(kind, seed, system)
    if exercise.asks == "count":
        n = round(exercise.answer)
        for text in (f"{n}", f" {n} ", f"{n}.0", f"{n} {exercise.noun}", f"{n} {exercise.noun[:-1]}"):
            assert mark(exercise, text).verdict == "right"
        return
    for right in {exercise.least, exercise.most}:
        text = spell(right, way)
        if text is not None:
            assert mark(exercise, text).verdict == "right", (text, exercise)


@settings(max_examples=150)
@given(st.sampled_from(sorted(KINDS)), st.integers(0, 10**9), st.sampled_from(SYSTEMS))
def test_no_named_mistake_lies_near_a_right_answer(kind, seed, system):
    exercise = make_exercise(kind, seed, system)
    for wrong in exercise.mistakes:
        value = wrong.values[0]
        assert not exercise.accepts(value)
        if wrong.name in (CUT_DOWN, NEED):  # slips of rounding are near by nature
            continue
        far = max(exercise.least - value, value - exercise.most)
        assert far >= (APART - 1e-9 if exercise.asks == "length" else 1)


@settings(max_examples=150)
@given(st.sampled_from(sorted(KINDS)), st.integers(0, 10**6), st.text(max_size=30))
@example("square", 1, "")
@example("strips", 1, "strips")
@example("square", 1, "3 7/8")
@example("strips", 1, "11.3")
@example("square", 1, "-3 in")
@example("square", 1, "nan in")
@example("square", 1, "3 7/8 kg")
@example("strips", 1, "9" * 400)
@example("strips", 1, "1e308")
@example("strips", 1, "1e999")
def test_whatever_is_typed_gets_a_verdict_in_words(kind, seed, typed):
    found = mark(make_exercise(kind, seed), typed)
    assert found.verdict in ("right", "mistake", "wrong", "unread")
    assert found.said
    assert found.icon
    assert found.word


def test_a_bare_number_takes_the_unit_of_the_question_and_a_half_strip_is_not_read():
    """From the question: inches, centimetres; yards and metres where cloth is bought."""
    for kind, system in (
        ("square", "inch"),
        ("square", "metric"),
        ("cloth to buy", "inch"),
        ("cloth to buy", "metric"),
    ):
        exercise = make_exercise(kind, 1, system)
        in_one = {"in": 1, "cm": 1 / 2.54, "yd": 36, "m": 100 / 2.54}[exercise.unit]
        assert mark(exercise, f"{exercise.most / in_one:.4f}").verdict == "right"
    half = mark(make_exercise("strips", 1), "11 1/2 strips")
    assert half.verdict == "unread"
    assert "whole number" in half.said


@pytest.mark.parametrize(
    ("typed", "verdict"),
    [
        ("7½", "right"), ("7.5''", "right"), ("7 1/2 in square", "right"), ("7,5", "right"), ("19,05 cm", "right"),
        ("seven and a half", "right"), ("7 1/2 x 7 1/2", "right"), ("15/2", "right"), ("71/2", "right"),
        ("7 inches and a half", "right"), ("7 1/2 by 8", "unread"), ("7 1/2 square inches", "unread"),
        ("7.5 cm", "mistake"), ("7", "mistake"), ("-7 1/2", "unread"), ("7 1/2 kg", "unread"),
    ],
)  # fmt: skip
def test_a_square_that_finishes_seven_is_cut_seven_and_a_half_however_it_is_written(typed, verdict):
    """Derived: 7 in and two allowances of 1/4 in."""
    exercise = next(one for seed in range(200) if (one := make_exercise("square", seed)).answer == 7.5)
    assert mark(exercise, typed).verdict == verdict


def test_the_nearest_sixteenth_is_right_and_a_cut_rounded_down_is_named():
    """Derived: 3 in and 0.8536 are 3.8536; nearest sixteenth 3 7/8. 3.6 in and 0.8536 lie between marks."""
    below = 0
    for seed in range(60):
        exercise = make_exercise("half-square triangle", seed)
        sixteenth = round(exercise.answer * 16) / 16
        assert mark(exercise, f"{sixteenth:.4f}").verdict == "right"
        eighth_below = int(exercise.answer * 8) / 8
        if not exercise.accepts(eighth_below):
            below += 1
            assert CUT_DOWN in mark(exercise, f"{eighth_below} in").mistakes
    assert below > 30


def test_bought_is_what_the_shop_cuts():
    exercise = make_exercise("cloth to buy", 3)
    assert exercise.answer == 41
    assert mark(exercise, "41 in").mistakes == (NEED,)
    assert mark(exercise, "1 1/4 yd").verdict == mark(exercise, "45 in").verdict == "right"
    assert mark(exercise, "1 1/4").verdict == "right"


def test_the_right_number_in_another_unit_is_named():
    assert mark(make_exercise("square", 1), "7.5 cm").mistakes == (WRONG_UNIT,)


def test_an_answer_after_the_way_was_shown_is_not_right():
    exercise = make_exercise("square", 1)
    assert mark(exercise, exercise.shown, shown=True).verdict == "shown"
    assert mark(exercise, "2 in", shown=True).verdict == mark(exercise, "2 in").verdict


def test_right_answers_in_many_notations_are_right_and_slips_are_named_or_honestly_unknown():
    """Some hundreds of what `tests/sweeps/marking_sweep.py` tries ten thousand of; the generator knows no reader."""
    ways, faults, slips, missed = gather(600, seeds=3)
    assert len(ways) >= 20
    assert faults == []
    assert missed == []
    assert slips["named"] > 400


def test_two_mistakes_with_one_answer_are_both_named():
    seen = 0
    for seed in range(100):
        exercise = make_exercise("strips", seed)
        values = {wrong.name: wrong.values[0] for wrong in exercise.mistakes}
        for a, b in [(a, b) for a in values for b in values if a < b and values[a] == values[b]]:
            seen += 1
            found = mark(exercise, str(round(values[a])))
            assert {a, b} <= set(found.mistakes)
            assert found.said.startswith("One of these: ")
            assert " Or: " in found.said
    assert seen > 10


def test_the_mistakes_of_the_trade_are_there_by_their_names():
    """Finished taken for cut, allowance forgotten, not subtracted before scaling, wrong triangle rule, and so on."""
    names = {wrong.name for kind in KINDS for wrong in make_exercise(kind, 1).mistakes}
    assert {
        TAKEN, "allowance forgotten", UNSCALED, RULE, "area instead of strips", ONE_SEAM, "rounded down",
    } <= names  # fmt: skip


def test_an_answer_rounded_to_the_ruler_is_right_and_the_mark_says_so():
    exercise = make_exercise("half-square triangle", 4)
    assert exercise.answer == pytest.approx(2.3536, abs=1e-4)
    found = mark(exercise, "2 3/8 in")
    assert found.verdict == "right"
    assert "rounded up to the next eighth" in found.said
    assert mark(exercise, "2 1/4 in").mistakes == (CUT_DOWN,)
    assert mark(exercise, "2 7/16 in").verdict == "wrong"


def test_the_same_seed_gives_the_same_exercise_and_others_do_not():
    for kind in KINDS:
        one, again = make_exercise(kind, 5), make_exercise(kind, 5)
        assert one == again
    questions = [make_exercise("border", seed).question for seed in range(20)]
    assert all(a != b for a, b in pairwise(questions))


def test_a_set_takes_the_kinds_in_turn():
    exercises = make_set(("square", "braid"), seed=3, count=5)
    assert [one.kind for one in exercises] == ["square", "braid", "square", "braid", "square"]
    assert len({one.seed for one in exercises}) == 3
    assert write_nearest(exercises[0].answer)


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: make_exercise("circle"),
        lambda: make_exercise("square", -1),
        lambda: make_exercise("square", 1.5),
        lambda: make_exercise("square", seed=True),
        lambda: make_exercise("square", 1, "furlong"),
        lambda: make_set((), 1),
        lambda: make_set(("square",), 1, 0),
    ],
)
def test_nonsense_is_refused_in_a_sentence(wrong):
    with pytest.raises(KitError, match=r"`|asked|named|number of exercises is 0"):
        wrong()
