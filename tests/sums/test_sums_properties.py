"""Sums on anything that is typed: notations agree, answers turn back, broken input gets sentences, answers show."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import write_eighths

from kit import KitError, sums
from kit.sums.question_list import GROUPS, ask_sum, list_quick_sums

pytestmark = pytest.mark.slow

NOTATIONS = ["inches", "hyphen", "decimal"]
EVERY = [*NOTATIONS, "centimetres", "millimetres"]
ALL = {question.name: question for question in list_quick_sums()}


@settings(max_examples=60, deadline=None)
@given(st.integers(12, 96), st.sampled_from(NOTATIONS), st.integers(8, 400), st.sampled_from(NOTATIONS))
def test_every_notation_of_one_length_gives_one_answer(cut, how, long, other):
    plain = sums.squares(write_eighths(cut, "inches"), out_of=write_eighths(8 * (long // 8 + 12), "inches"))
    again = sums.squares(write_eighths(cut, how), out_of=write_eighths(8 * (long // 8 + 12), other))
    bare = sums.squares(cut / 8, out_of=float(long // 8 + 12))
    assert dict(plain.figures) == dict(again.figures) == dict(bare.figures)
    assert str(plain) == str(again)


@settings(max_examples=40, deadline=None)
@given(
    st.integers(20, 200), st.sampled_from(["centimetres", "millimetres"]), st.sampled_from(["half-square", "square"])
)
def test_a_sum_in_centimetres_is_metric_and_allows_for_its_own_seam(cut, how, kind):
    answer = sums.cut_size(write_eighths(cut, how), kind=kind)
    assert answer.system == "metric"
    assert answer["added"] * 2.54 == pytest.approx({"square": 1.5, "half-square": 2.5607}[kind], abs=1e-4)
    assert "cm" in str(answer)
    assert " in," not in str(answer)


@pytest.mark.parametrize(
    ("text", "pair"),
    [("4 x 2 in", (4, 2)), ("4 in x 2 in", (4, 2)), ("4 by 2 in", (4, 2)), ("4 × 2 in", (4, 2)), ("4x2 in", (4, 2)),
     ('4 1/2" x 2 1/4"', (4.5, 2.25)), ("10.16 cm by 2 in", (4, 2)), ((4, "2 in"), (4, 2)), ("3 in", (3, 3))],
)  # fmt: skip
def test_sizes_are_read_as_makers_write_them(text, pair):
    assert sums.batting(package=text, overhang="0 in")["largest"] == pytest.approx(pair)


# backwards

SIZES = st.integers(8, 100).map(lambda n: n / 8)


@settings(max_examples=60, deadline=None)
@given(SIZES, st.sampled_from(["square", "half-square", "quarter-square"]))
def test_what_a_cut_size_finishes_is_cut_that_size(size, kind):
    cut = sums.cut_size(size, kind=kind)["cut"]
    assert sums.cut_size(cut=cut, kind=kind)["finished"] == pytest.approx(size, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(SIZES, st.sampled_from(["half_squares", "quarter_squares"]))
def test_each_way_of_a_unit_turns_back(size, name):
    forth = getattr(sums, name)(size)
    for way in ("one by one", "two at a time"):
        back = getattr(sums, name)(square=forth[way])
        assert back[way] == pytest.approx(size, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(SIZES)
def test_geese_hexagons_octagons_wheels_and_setting_triangles_turn_back(size):
    assert sums.geese(large=sums.geese((2 * size, size))["large"])["height"] == pytest.approx(size, abs=1e-6)
    assert sums.hexagons(strip=sums.hexagons(size)["strip"])["side"] == pytest.approx(size, abs=1e-6)
    assert sums.diamonds(strip=sums.diamonds(size)["strip"])["height"] == pytest.approx(size, abs=1e-6)
    if size > 2:  # the corner of a smaller octagon cannot be sewn
        assert sums.octagons(square=sums.octagons(size)["square"])["across"] == pytest.approx(size, abs=1e-6)
        wheel = sums.wheels(12, 2 * size, hole=1)
        assert sums.wheels(12, strip=wheel["strip"], hole=1)["outside"] == pytest.approx(2 * size, abs=1e-6)
        block = sums.setting_triangles(size)
        assert sums.setting_triangles(square=block["side"])["block"] == pytest.approx(size, abs=1e-5)


@settings(max_examples=40, deadline=None)
@given(st.integers(10, 200), st.integers(0, 50))
def test_shrinking_undoes_enlarging(size, loss):
    before = sums.shrink(after=size, loss=loss / 100)["before"]
    assert sums.shrink(before, loss=f"{loss} %")["after"] == pytest.approx((size, size))
    assert sums.shrink(before, after=size)["loss"] == pytest.approx((loss / 100, loss / 100))


@settings(max_examples=30, deadline=None)
@given(st.integers(20, 110), st.integers(20, 110))
def test_the_binding_of_a_quilt_is_what_its_strips_bind(wide, high):
    needed = sums.binding((wide, high))
    enough = sums.binding(strips_on_hand=needed["strips"])
    assert enough["edge"] >= needed["around"] - 1e-6
    if needed["strips"] > 1:
        assert sums.binding(strips_on_hand=needed["strips"] - 1)["gives"] < needed["needed"]


@settings(max_examples=40, deadline=None)
@given(st.integers(8, 40).map(lambda n: n / 4), st.integers(1, 300), st.integers(36, 44))
def test_the_cloth_that_squares_take_gives_at_least_so_many_and_a_strip_less_does_not(cut, count, width):
    needed = sums.squares(cut, count=count, width=width)
    assert sums.squares(cut, out_of=needed["cloth"], width=width)["squares"] >= count
    less = needed["cloth"] - cut
    assert less <= 0 or sums.squares(cut, out_of=less, width=width)["squares"] < count


@settings(max_examples=30, deadline=None)
@given(st.integers(30, 90), st.integers(30, 90), st.integers(38, 46))
def test_a_quilt_is_backed_by_the_cloth_that_it_asks_for(wide, high, usable):
    forth = sums.backing((wide, high), width=usable, one_way=True)
    back = sums.backing(cloth=forth["cloth"], width=usable)
    assert forth["way"] != "lengthwise" or forth["widths"] > 3 or any(
        size[0] >= wide - 1e-6 and size[1] >= high - 1e-6 for size in back.figures.values()
    )  # fmt: skip


@settings(max_examples=60, deadline=None)
@given(st.lists(st.integers(8, 40), min_size=2, max_size=12), st.integers(8, 40))
def test_the_seam_that_was_sewn_is_found_from_any_set(eighths, sixteenths):
    cut = [1 + n / 8 for n in eighths]
    sewn = sixteenths / 128
    measured = sum(cut) - 2 * sewn * (len(cut) - 1)
    assert sums.seam(cut, measured)["allowance"] == pytest.approx(sewn, abs=1e-9)


# what is typed wrongly

TYPED = st.one_of(
    st.text(max_size=12),
    st.sampled_from(["", "4 1/2", "4 1/2 in", "-3 in", "0 in", "1e9 in", "nan", "inf in", "4 x", "x 4 in", "12 cm",
                     "3 of 2 in",
                     "999999999 of 2 in", "4 in, 5", "40 %", "2,5 cm", "1/0 in", "queen", "butted", "½ in",
                     "4 x 2 x 3 in"]),
    st.integers(-5, 10**7).map(str),
)  # fmt: skip


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(sorted(ALL)), st.data())
def test_whatever_is_typed_is_answered_or_refused_in_words(name, data):
    fields = [field.name for field in ALL[name].fields]
    texts = dict(ALL[name].example) if data.draw(st.booleans()) else {}
    for field in data.draw(st.lists(st.sampled_from(fields), max_size=3, unique=True)):
        texts[field] = data.draw(TYPED)
    try:
        answer = ask_sum(name, **texts)
    except KitError as error:
        refused = str(error)
    else:
        refused = ""
        assert answer.says
        assert str(answer)
        assert "<script" not in answer._repr_html_()
    assert not refused or refused.endswith((".", "?"))


@pytest.mark.parametrize("value", [None, True, float("nan"), float("inf"), 10**400, b"4", object(), [], {}, -1, 0])
def test_what_is_not_a_length_is_refused_in_words(value):
    with pytest.raises(KitError):
        sums.squares(value, out_of="1 yd")


def test_an_unknown_name_is_refused_with_the_nearest():
    with pytest.raises(KitError, match="squares"):
        ask_sum("square", cut="3 in")
    with pytest.raises(KitError, match="out_of"):
        ask_sum("squares", cut="3 in", outof="1 yd")
    with pytest.raises(KitError, match="no figure"):
        sums.squares("3 in", out_of="1 yd")["colour"]


# how answers show themselves


@pytest.mark.parametrize("question", list_quick_sums(), ids=lambda question: question.name)
def test_the_example_of_each_sum_shows_itself(question):
    answer = ask_sum(question.name, **question.example)
    assert answer.says
    assert answer.figures
    assert answer.asked.replace("\N{NO-BREAK SPACE}", " ") in str(answer)
    html = answer._repr_html_()
    assert all(line.split("\N{NO-BREAK SPACE}")[0].split("&")[0][:8] in html or "'" in line for line in answer.says)
    assert "\N{NO-BREAK SPACE}" not in str(answer)
    if answer.drawing:
        assert answer.svg.startswith("<svg")
        assert answer.drawing.title
        assert "data:image/svg+xml" in html
    assert not re.search(r"\b1 (strips|panels|seams|joins|squares|batches|bobbins|spools)\b", str(answer))


def test_most_answers_have_a_picture():
    drawn = [name for name, question in ALL.items() if ask_sum(name, **question.example).drawing]
    assert len(drawn) >= 35


def test_every_field_has_its_words_and_every_sum_is_public():
    assert {sum_.__name__ for group in GROUPS.values() for sum_ in group} <= set(sums.__all__)
    for question in list_quick_sums():
        assert all(field.help for field in question.fields), question.name
        assert set(question.example) <= {field.name for field in question.fields}


def test_text_in_an_answer_is_escaped():
    with pytest.raises(KitError) as told:
        sums.bed("<script>alert(1)</script>")
    assert "<script" in str(told.value)  # an error is plain text; screens escape it
    assert "&lt;" in sums.SumAnswer("<b>", ("<i>",))._repr_html_()
