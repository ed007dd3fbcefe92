"""Every kind of exercise: the answer worked out twice, every named mistake recognised, and no right answer refused."""

import re
from fractions import Fraction
from itertools import pairwise
from math import ceil, floor, isclose, sqrt

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kit.errors import KitError
from kit.lengths import write_exact, write_length, write_nearest, write_plain
from kit.lessons.exercises.catalogue import KINDS, make_exercise, make_set
from kit.lessons.exercises.exercise import APART, ONE_SEAM, RULE, TAKEN, UNSCALED
from kit.lessons.exercises.marking import mark

pytestmark = pytest.mark.slow

INSTANCES = 200
SYSTEMS = ("inch", "metric")
BUILT = {"½": (1, 2), "¼": (1, 4), "¾": (3, 4), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8), "⅞": (7, 8)}
NUMBER = re.compile(
    r"(?P<whole>\d+)?(?:\u202f)?(?:(?P<over>\d+)\u2044(?P<under>\d+)|(?P<built>[½¼¾⅛⅜⅝⅞]))|\d+(?:\.\d+)?"
)


def read_figures(question):
    """Return every number of a question in its order, as it is printed, read by a reader of the test's own."""
    found = []
    for match in NUMBER.finditer(question.replace("45°", "")):
        whole, over, under, built = match["whole"], match["over"], match["under"], match["built"]
        if built:
            found.append(int(whole or 0) + Fraction(*BUILT[built]))
        elif over and whole and "\u202f" not in match[0]:
            digits = whole + over
            found.append(Fraction(int(digits), int(under)))
        elif over:
            found.append(int(whole or 0) + Fraction(int(over), int(under)))
        else:
            found.append(Fraction(match[0]))
    return [float(number) for number in found]


def up(value, step):
    return ceil(value / step - 1e-6) * step


def times(room, size):
    return floor(room / size + 1e-6)


ROOT2 = sqrt(2)
# What the question asks, from its own printed figures, in its own unit (inches or centimetres); a is the allowance.
FORMULAS = {
    "square": lambda f, a: f + 2 * a,
    "rectangle": lambda _w, f, a: f + 2 * a,
    "finished from cut": lambda w, a: w - 2 * a,
    "another size": lambda b, c, a, other: (c - 2 * a) * other / b + 2 * a,
    "border": lambda w, _h, b, a: w + 2 * b + 2 * a,
    "half-square triangle": lambda f, a: f + (2 + ROOT2) * a,
    "quarter-square triangle": lambda f, a: f + (2 + 2 * ROOT2) * a,
    "blocks on point": lambda b, n: n * sqrt(2 * b * b),
    "side triangle": lambda b, a: sqrt(2) * b + 2 * (1 + sqrt(2)) * a,
    "corner triangle": lambda b, a: b / sqrt(2) + (2 + sqrt(2)) * a,
    "squares from cloth": lambda u, long, c, _f: times(u, c) * times(long, c),
    "strips": lambda n, f, u, a: ceil(n / times(u, f + 2 * a)),
    "cloth to buy": lambda n, f, a, q, *_: n * (f + 2 * a) + q,
    "width of a strip set": lambda n, w, a: n * (w - 2 * a) + 2 * a,
    "number of strip sets": lambda n, f, u, a: ceil(n / times(u, f + 2 * a)),
    "braid": lambda w, a, k: k * (w - 2 * a) * sqrt(2),
    "mirror pairs": lambda columns, pairs, _w: columns * pairs,
    "whirl": lambda f, w, a: f + w + 2 * a,
    "short row": lambda n, _wide, e: (n - 1) * 2 * e,
    "true allowance": lambda n, w, m: (n * w - m) / (2 * (n - 1)),
}


def list_instances(kind, system, count=INSTANCES):
    return [make_exercise(kind, seed, system) for seed in range(count)]


@pytest.mark.parametrize("kind", KINDS)
def test_the_answer_is_what_a_formula_makes_of_the_printed_question_and_each_mistake_is_named(kind):
    """200 instances in inches and 40 in centimetres of each kind."""
    for system, count in (("inch", INSTANCES), ("metric", INSTANCES // 5)):
        for exercise in list_instances(kind, system, count):
            expected = FORMULAS[kind](*read_figures(exercise.question))
            unit = 2.54 if system == "metric" and exercise.asks == "length" else 1.0
            assert exercise.answer * unit == pytest.approx(expected, abs=2e-3 if system == "metric" else 1e-6), exercise
            assert mark(exercise, write_answer(exercise, exercise.answer)).verdict == "right"
            assert mark(exercise, write_answer(exercise, exercise.most)).verdict == "right"
            for wrong in exercise.mistakes:
                found = mark(exercise, write_answer(exercise, wrong.values[0]))
                assert found.verdict == "mistake"
                assert wrong.name in found.mistakes
                assert wrong.why in found.said


def write_answer(exercise, value):
    return write_exact(value) if exercise.asks == "length" else str(round(value))


def test_200_instances_of_each_kind_are_not_one_and_the_same():
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
    for right in {exercise.answer, exercise.least, exercise.most}:
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


def test_a_bare_number_is_not_read_and_the_remedy_is_said():
    found = mark(make_exercise("square", 1), "7.5")
    assert found.verdict == "unread"
    assert '"7.5 in"' in found.said
    half = mark(make_exercise("strips", 1), "11 1/2 strips")
    assert half.verdict == "unread"
    assert "whole number" in half.said


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
    assert mark(exercise, "2 1/4 in").verdict == "wrong"
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
