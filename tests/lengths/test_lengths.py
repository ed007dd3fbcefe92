"""Lengths: what reads, what is refused and how, and that what is written reads back."""

import subprocess
import sys
from fractions import Fraction
from math import inf, nan, nextafter

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from kit.errors import KitError, LengthError
from kit.lengths import (
    CM,
    LONGEST,
    MM,
    SLACK,
    YARD,
    buying_length,
    read_length,
    read_number,
    round_up,
    write_buying,
    write_exact,
    write_fraction,
    write_length,
    write_plain,
    write_thread,
)

NBSP, THIN, NARROW = "\N{NO-BREAK SPACE}", "\N{THIN SPACE}", "\N{NARROW NO-BREAK SPACE}"
UNHURRIED = settings(deadline=None)
FRACTIONS = ["1/2", "1/3", "2/3", "1/4", "3/4", "1/8", "3/8", "5/8", "7/8", "1/6"]
SYSTEMS = st.sampled_from(["inch", "metric"])
LENGTHS = st.floats(0, LONGEST, exclude_min=True)
read_length("1 cm")  # the units are loaded here once, so that no timed example pays for it
STEPS = st.sampled_from([1 / 16, 1 / 8, 1 / 4, 1 / 2, 1.0, MM, 2.5 * MM, CM, YARD / 8, 10 * CM, 1 / 3])


# What is written reads back


@UNHURRIED
@given(LENGTHS, SYSTEMS)
@example(5e-324, "inch")
@example(nextafter(2.5, 3), "metric")
@example(1 / 3, "metric")
@example(LONGEST, "metric")
def test_an_exactly_written_length_reads_back_as_the_very_same_float(inches, system):
    assert read_length(write_exact(inches, system)) == inches


@UNHURRIED
@given(st.integers(1, 500 * 64))
def test_a_plainly_written_64th_reads_back(count):
    text = write_plain(count / 64)
    assert read_length(text) == count / 64
    assert text.isascii()


@UNHURRIED
@given(st.integers(1, 500 * 64))
def test_what_people_read_reads_back_too(count):
    assert read_length(write_length(count / 64)) == count / 64


@UNHURRIED
@given(LENGTHS)
def test_a_plainly_written_metric_length_is_within_half_a_tenth_of_a_millimetre(inches):
    assert abs(read_length(write_plain(inches, "metric"), zero_allowed=True) - inches) <= 0.005 * CM + 1e-12


@given(st.integers(1, 127_000), SYSTEMS)
def test_a_metric_length_is_saved_as_the_same_float_in_few_characters(hundredths, system):
    inches = read_length(f"{hundredths / 100} cm")
    text = write_exact(inches, system)
    assert read_length(text) == inches
    assert len(text) <= len("1270.00 cm")


@pytest.mark.parametrize(
    ("inches", "system", "text"),
    [
        (2.5, "inch", "2 1/2 in"),
        (0.25, "inch", "1/4 in"),
        (2.1, "inch", "2.1 in"),
        (0.0, "inch", "0 in"),
        (2.5, "metric", "6.35 cm"),
        (0.0, "metric", "0 cm"),
        (1 / 64, "metric", "1/64 in"),
        (2**0.5, "metric", "1.4142135623730951 in"),
    ],
)
def test_a_saved_length_is_written_the_short_way_of_its_system(inches, system, text):
    assert write_exact(inches, system) == text


# Every way of writing one length


@pytest.mark.parametrize(
    "text",
    [
        "2 1/2 in",
        "2 1/2in",
        "2-1/2in",
        "2-1/2 in",
        "2½ in",
        "2 ½ in",
        '2½"',
        '2 1/2"',
        "2½″",
        "2½\N{RIGHT DOUBLE QUOTATION MARK}",
        "2.5 in",
        "2.50 in.",
        "+2.5 in",
        "02.5 in",
        "2.5 inch",
        "2.5 inches",
        "2.5 INCHES",
        "25e-1 in",
        "2 1\N{FRACTION SLASH}2 in",
        "2\N{HYPHEN}1/2 in",
        "2\N{NON-BREAKING HYPHEN}1/2 in",
        f"2{NBSP}1/2{NBSP}in",
        f"2{THIN}1/2{NARROW}in",
        f"  2{NARROW}½{THIN}in  ",
        "6.35 cm",
        "6.350 centimetres",
        "63.5 mm",
        "63 1/2 mm",
        "0.0635 m",
        "5/72 yd",
        "5/24 ft",
    ],
)
def test_every_way_of_writing_two_and_a_half_inches_gives_the_same_number(text):
    assert read_length(text) == 2.5


@UNHURRIED
@given(st.integers(0, 40), st.sampled_from(FRACTIONS))
def test_a_built_fraction_reads_as_the_same_number_as_a_plain_one(whole, fraction):
    glyph = "½⅓⅔¼¾⅛⅜⅝⅞⅙"[FRACTIONS.index(fraction)]
    ahead = f"{whole} " if whole else ""
    nearest = float(whole + Fraction(fraction))
    assert read_length(f"{ahead}{fraction} in") == read_length(f"{ahead.strip()}{glyph} in") == nearest


@UNHURRIED
@given(st.integers(1, 500), st.integers(1, 63))
def test_hyphen_and_space_join_a_whole_number_and_its_fraction_alike(whole, over):
    value = (whole - 1) + over / 64
    assert read_length(f"{whole - 1}-{over}/64 in") == read_length(f"{whole - 1} {over}/64 in") == value


@UNHURRIED
@given(st.integers(1, 127_000))
def test_millimetres_centimetres_and_metres_agree_to_the_last_bit(tenths):
    tail = f"{tenths % 10}"
    assert (
        read_length(f"{tenths // 10}.{tail} mm")
        == read_length(f"{Fraction(tenths, 100) // 1}.{tenths % 100:02d} cm")
        == read_length(f"{tenths // 10_000}.{tenths % 10_000:04d} m")
    )


@pytest.mark.parametrize(("text", "inches"), [("1 1/4 yd", 45.0), ("½ yd", 18.0), ("1 ft", 12.0), ("25.4 mm", 1.0)])
def test_yards_feet_and_millimetres_are_inches_without_error(text, inches):
    assert read_length(text) == inches


def test_five_hundred_inches_is_still_a_length():
    assert read_length("500 in") == LONGEST == read_length("1270 cm")


def test_zero_passes_only_where_it_is_allowed():
    assert read_length("0 in", zero_allowed=True) == 0.0
    with pytest.raises(LengthError, match="zero"):
        read_length("0 in")


# What is refused, and how


def refusal_of(value, **options):
    """Return the message, after seeing that it is short, of one line and addressed to a person."""
    with pytest.raises(LengthError) as caught:
        read_length(value, **options)
    message = str(caught.value)
    assert len(message) < 320, message
    assert message.isprintable(), message
    assert message.endswith("."), message
    assert isinstance(caught.value, KitError)
    return message


@pytest.mark.parametrize(
    ("value", "said"),
    [
        (3, ["bare number 3", '"3 in"', '"3 cm"']),
        (2.5, ["bare number 2.5", '"2.5 in"', '"2.5 cm"']),
        (-3, ["-3", "2 1/2 in"]),
        (0, ["bare number", "0", "2 1/2 in"]),
        (nan, ["nan", "2 1/2 in"]),
        (inf, ["inf", "2 1/2 in"]),
        (501, ["501", "2 1/2 in"]),
        pytest.param(10**5000, ["bare number", "2 1/2 in"], id="5001 digits"),
        (True, ["True", "2 1/2 in"]),
        (None, ["missing", "2 1/2 in"]),
        (b"3 in", ["bytes", "2 1/2 in"]),
        (["3 in"], ["list", "2 1/2 in"]),
    ],
)
def test_a_value_that_is_not_text_is_refused_with_the_correction(value, said):
    message = refusal_of(value)
    assert [words for words in said if words not in message] == []


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("3", ["`3` has no unit", '"3 in"']),
        ("2½", ["`2½` has no unit", '"2 1/2 in"']),
        ("in", ["`in` does not begin with a number", "2 1/2 in"]),
        ("", ["does not begin with a number", "2 1/2 in"]),
        ("   ", ["does not begin with a number", "2 1/2 in"]),
        ("-3 in", ["`-3 in` is negative", '"3 in"']),
        ("\N{MINUS SIGN}3 in", ["is negative", '"3 in"']),
        ("0 in", ["`0 in` is zero", "above zero"]),
        ("0.00 cm", ["`0.00 cm` is zero", "above zero"]),
        ("nan in", ["`nan in` is not a finite number", "2 1/2 in"]),
        ("NaN", ["`NaN` is not a finite number", "2 1/2 in"]),
        ("inf in", ["`inf in` is not a finite number", "2 1/2 in"]),
        ("-inf in", ["`-inf in` is not a finite number", "2 1/2 in"]),
        ("∞ in", ["not a finite number", "2 1/2 in"]),
        ("501 in", ["501 in", "at most 500 in"]),
        ("500.0000001 in", ["just over 500 in", "at most 500 in"]),
        ("13 m", ["`13 m` is 511.811 in", "at most 500 in"]),
        ("1e300 in", ["`1e300 in`", "more than a million", "at most 500 in"]),
        ("2 1/2 1/4 in", ["`2 1/2 1/4`", "more than one reading", "one fraction"]),
        ("1½½ in", ["`1 1/2 1/2`", "more than one reading"]),
        ("1/2/3 in", ["`1/2/3`", "more than one reading"]),
        ("2 - 1/2 in", ["`2 - 1/2`", "more than one reading"]),
        ("--3 in", ["`--3`", "more than one reading"]),
        ("2,5 in", ["`2,5` has a comma", '"2.5 in"']),
        ("2,500 mm", ["`2,500` has a comma", '"2.500 mm" or "2500 mm"']),
        ("21/2 in", ["`21/2` may have lost a space", '"2 1/2 in"', '"10 1/2 in"']),
        ("21/2 yrd", ["`21/2` may have lost a space", '"2 1/2 in"']),
        ("111/16 in", ["may have lost a space", '"11 1/16 in" or "1 11/16 in" or "6 15/16 in"']),
        ("- ½ in", ["`- ½ in` is negative", '"½ in"']),
        ("1e99999 in", ["`1e99999`", "more than one reading", "2 1/2 in"]),
        ("5/2 in", ["`5/2` has no proper fraction", '"2 1/2 in"']),
        ("8/8 in", ["`8/8` has no proper fraction", '"1 in"']),
        ("2 3/2 in", ["`2 3/2` has no proper fraction", '"3 1/2 in"']),
        ("1/0 in", ["`1/0` has no proper fraction", "2 1/2 in"]),
        ("0/5 in", ["`0/5` has no proper fraction", "2 1/2 in"]),
        ("3 kg", ["`kg`", "not a length but", "mass"]),
        ("3 s", ["`s`", "not a length but", "time"]),
        ("3 degC", ["`degC`", "not a length but", "temperature"]),
        ("3 acre", ["`acre`", "not a length but", "another kind"]),
        ("3 in^2", ["`in^2`", "an area or a volume"]),
        ("3 in²", ["`in²`", "an area or a volume"]),
        ("3 cm2", ["`cm2`", "an area or a volume"]),
        ("3 square inch", ["`square inch`", "an area or a volume"]),
        ("3 sq in", ["`sq in`", "an area or a volume"]),
        ("3 cubic yard", ["`cubic yard`", "an area or a volume"]),
        ("3 inchs", ["`inchs`", "not known", '"3 inches"']),
        ("3 yrd", ["`yrd`", "not known", '"3 yard"']),
        ("3 centimetrs", ["`centimetrs`", "not known", '"3 centimetres"']),
        ("3 parsec", ["`parsec`", "not known", "in, cm, mm, m, yd or ft"]),
        ("3 ft 2 in", ["`ft 2 in`", "one number and one unit"]),
        ("2:1 in", ["`:1 in`", "one number and one unit"]),
        ("5 in or 6 in", ["one number and one unit"]),
        ("x" * 10_000, ["10000 characters", "2 1/2 in"]),
        ("1" * 9_997 + " in", ["10000 characters", "2 1/2 in"]),
        ("3 in\n", ["U+000A", "remove it"]),
        ("3\tin", ["U+0009", "remove it"]),
        ("3\x00in", ["U+0000", "remove it"]),
        ("3 \x1b[31min", ["U+001B", "remove it"]),
        ("3 i\N{ZERO WIDTH SPACE}n", ["U+200B", "remove it"]),
        ("3 \N{RIGHT-TO-LEFT OVERRIDE}ni", ["U+202E", "remove it"]),
        ("3 \ud800", ["U+D800", "remove it"]),
        ("3 <b>in</b>", ["<b>in</b>", "2 1/2 in"]),
    ],
    ids=lambda value: ascii(value)[:40] if isinstance(value, str) else "",
)
def test_a_text_that_is_not_a_length_is_refused_with_what_was_found_and_the_correction(text, said):
    message = refusal_of(text).replace("Remove", "remove")
    assert [words for words in said if words not in message] == []


def test_the_message_says_of_what_the_length_is():
    assert "column width" in refusal_of("2,5 in", name="column width")


def read_or_refuse(text):
    """Return inches and no message, or no inches and the message."""
    try:
        return read_length(text), ""
    except LengthError as error:
        return None, str(error)


@UNHURRIED
@given(st.text(max_size=80))
def test_any_text_at_all_is_either_a_length_of_cloth_or_refused_in_one_line(text):
    inches, message = read_or_refuse(text)
    assert (inches is None) == bool(message)
    assert inches is None or 0 < inches <= LONGEST
    assert len(message) < 420
    assert message.isprintable()


@UNHURRIED
@given(st.text("0123456789/.,-+ ½¼eE", max_size=12), st.sampled_from(["in", '"', "cm", "yd", ""]))
def test_any_row_of_number_signs_is_either_a_length_or_refused(number, unit):
    inches, message = read_or_refuse(f"{number} {unit}")
    assert message.isprintable()
    assert 0 < (LONGEST if inches is None else inches) <= LONGEST


@given(st.from_regex(r"-?[0-9]{1,3}[ ./,-]{0,2}[0-9]{0,3}/?[0-9]{0,2} ?(in|cm|yd)?", fullmatch=True))
@example("21/2 in")
@example("1,000 mm")
@example("999,9 yd")
@example("1/1/")
@example("- 9/8 in")
def test_what_a_refusal_says_to_write_is_a_length_though_perhaps_out_of_range(text):
    corrections = read_or_refuse(text)[1].split('"')[1::2]
    second = [message for message in (read_or_refuse(correction)[1] for correction in corrections) if message]
    assert [m for m in second if "at most 500 in" not in m and "above zero" not in m] == []


def test_a_length_too_small_for_a_float_is_not_taken_for_zero():
    assert "`1e-400 in`" in refusal_of("1e-400 in", zero_allowed=True)


def test_inches_are_read_without_the_cost_of_loading_the_units():
    code = "import sys, kit.lengths as k; assert k.read_length('2 1/2 in') == 2.5; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


# Bare numbers


@pytest.mark.parametrize(
    ("text", "number"),
    [("2 1/2", 2.5), ("2-1/2", 2.5), ("2½", 2.5), ("0.25", 0.25), ("-5/8", -0.625), ("-1 1/4", -1.25), ("7", 7.0)],
)
def test_a_number_reads_with_or_without_fraction_and_sign(text, number):
    assert read_number(text) == number


@pytest.mark.parametrize("text", ["", "2,5", "7/4", "1e999", "two", "1/0", "1 2"])
def test_a_text_that_is_not_a_number_is_refused(text):
    with pytest.raises(LengthError) as caught:
        read_number(text, name="answer")
    assert "answer" in str(caught.value)


@pytest.mark.parametrize(
    ("text", "correction"),
    [("21/2", '"2 1/2" or "10 1/2"'), ("2,5", '"2.5"'), ("1/0", '"2 1/2" or "2.5"'), ("nan", '"2 1/2" or "2.5"')],
)
def test_a_number_is_corrected_without_a_unit(text, correction):
    with pytest.raises(LengthError) as caught:
        read_number(text, name="answer")
    assert f"The answer `{text}`" in str(caught.value)
    assert caught.value.do.endswith(correction)


# Writing for people


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (2.5, "2½ in"),
        (0.5, "½ in"),
        (3.875, "3⅞ in"),
        (12.0, "12 in"),
        (0.1875, "3\N{FRACTION SLASH}16 in"),
        (2.1875, "2 3\N{FRACTION SLASH}16 in"),
        (2.8284271, "2.8284 in"),
        (0.0, "0 in"),
        (-1.25, "-1¼ in"),
    ],
)
def test_a_length_is_written_for_people_with_built_fractions(inches, text):
    assert write_length(inches).replace(NBSP, " ").replace(NARROW, " ") == text


def test_no_line_can_end_between_a_number_and_its_unit():
    written = [write_length(2.1875), write_length(2.5, "metric"), write_buying(40), write_buying(40, "metric")]
    assert [text for text in written if " " in text] == []


def test_a_length_is_written_in_centimetres_to_two_decimals():
    assert [write_length(x, "metric").replace(NBSP, " ") for x in (2.5, 1 / 2.54, 1 / 3)] == [
        "6.35 cm",
        "1 cm",
        "0.85 cm",
    ]


def test_a_length_may_be_rounded_up_as_it_is_written():
    assert write_length(2.8536, step=1 / 8).replace(NBSP, " ") == "2⅞ in"


def test_a_lost_space_in_a_plain_table_changes_no_number():
    assert write_plain(2.5) == "2-1/2 in"
    assert read_length(write_plain(2.5).replace(" ", "")) == 2.5


@UNHURRIED
@given(st.floats(-500, 500))
def test_a_fraction_is_written_only_where_it_is_true(number):
    text = write_fraction(number).replace(NARROW, " ").replace("\N{FRACTION SLASH}", "/")
    assert abs(read_number(text) - number) <= 0.00005 + 1e-9


# Rounding up


@UNHURRIED
@given(LENGTHS, STEPS)
@example(3.8536, 0.125)
@example(3.875 + 9e-7, 0.125)
@example(3.875 + 2e-6, 0.125)
def test_rounding_up_never_loses_more_than_a_millionth_nor_adds_a_whole_step(inches, step):
    up = round_up(inches, step)
    assert inches - SLACK - 1e-12 <= up < inches + step
    assert abs(up / step - round(up / step)) < 1e-6


@UNHURRIED
@given(LENGTHS, STEPS)
def test_rounding_up_twice_is_rounding_up_once(inches, step):
    once = round_up(inches, step)
    assert round_up(once, step) == once


@UNHURRIED
@given(LENGTHS, LENGTHS, STEPS)
def test_the_longer_of_two_lengths_is_not_the_shorter_once_rounded_up(a, b, step):
    assert round_up(min(a, b), step) <= round_up(max(a, b), step)


@UNHURRIED
@given(st.integers(1, 4000))
def test_an_eighth_that_arithmetic_has_blurred_stays_that_eighth(count):
    eighth = count / 8
    assert round_up(eighth, 0.125) == round_up(nextafter(eighth, inf), 0.125) == eighth
    assert round_up(eighth + 1e-7, 0.125) == eighth
    assert round_up(eighth + 2e-6, 0.125) == eighth + 0.125


@pytest.mark.parametrize("step", [0.0, -0.125, inf, nan])
def test_a_step_that_cannot_be_one_is_refused(step):
    with pytest.raises(LengthError, match=r"step.*1/8 in"):
        round_up(1.0, step)


# Buying


@pytest.mark.parametrize(
    ("inches", "bought"), [(33, 36.0), (36, 36.0), (36.01, 40.5), (4.5, 4.5), (0.1, 4.5), (168, 171.0), (180, 180.0)]
)
def test_cloth_is_bought_by_the_eighth_of_a_yard(inches, bought):
    assert buying_length(inches) == bought


@pytest.mark.parametrize(("inches", "metres"), [(33, 0.9), (0.5 / 0.0254, 0.5), (39, 1.0), (40, 1.1)])
def test_cloth_is_bought_by_the_tenth_of_a_metre(inches, metres):
    assert buying_length(inches, "metric") * 0.0254 == pytest.approx(metres, abs=1e-12)


@UNHURRIED
@given(st.floats(0.01, LONGEST), SYSTEMS)
def test_what_is_bought_is_enough_and_less_than_a_step_too_much(inches, system):
    step = YARD / 8 if system == "inch" else 10 * CM
    assert inches - 2 * SLACK <= buying_length(inches, system) < inches + step


@UNHURRIED
@given(st.floats(0.1, 1e5), SYSTEMS)
def test_thread_that_is_needed_is_written_up_and_less_than_a_whole_one_too_much(inches, system):
    per = YARD if system == "inch" else 100 * CM
    whole = int(write_thread(inches, system).split(NBSP)[0])
    assert inches - per * 2 * SLACK <= whole * per < inches + per


@UNHURRIED
@given(st.integers(1, 20_000), SYSTEMS)
def test_what_a_spool_holds_in_its_own_system_is_written_as_it_was_given(tenths, system):
    per, unit = (YARD, "yd") if system == "inch" else (100 * CM, "m")
    text = write_thread(tenths / 10 * per, system, of="held")
    assert read_length(text.replace(NBSP, " "), longest=1e9) == pytest.approx(tenths / 10 * per)
    assert text.endswith(unit)


@UNHURRIED
@given(st.floats(1, 1e5), SYSTEMS)
def test_a_spool_never_holds_less_than_is_written(inches, system):
    per = YARD if system == "inch" else 100 * CM
    held = read_length(write_thread(inches, system, of="held").replace(NBSP, " "), longest=1e9)
    assert inches - 0.011 * per < held <= inches + per * 2 * SLACK


def test_the_same_length_is_rounded_up_where_it_is_needed_and_down_where_it_is_held():
    assert write_thread(71.9).replace(NBSP, " ") == "2 yd"
    assert write_thread(71.9, of="held").replace(NBSP, " ") == "1.99 yd"


@pytest.mark.parametrize(
    ("inches", "system", "text"),
    [(40, "inch", "1⅛ yd"), (36, "inch", "1 yd"), (168, "inch", "4¾ yd"), (40, "metric", "1.1 m"), (1, "inch", "⅛ yd")],
)
def test_a_length_to_buy_is_written_as_it_is_asked_for(inches, system, text):
    assert write_buying(inches, system).replace(NBSP, " ") == text
