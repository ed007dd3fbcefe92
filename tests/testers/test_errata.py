"""Errata between two editions: each planted difference is named, with what to do about what is cut or sewn already."""

from dataclasses import fields, is_dataclass, replace
from math import floor
from pathlib import Path

import pytest
from filled_forms import pattern_of_plain
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from printed import pattern_of

import kit
from kit.model.corrections import ClothAmount
from kit.model.print_record import RecordedCloth
from kit.output.words.errata_words import list_errata, say_correction, say_remedy
from kit.testers.cloth_changes import measure_more
from kit.testers.print_records import make_record, open_record, write_record

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def record():
    return make_record(pattern_of_plain("ferry-steps"))


@pytest.fixture(scope="module")
def pattern():
    return pattern_of_plain("ferry-steps")


def spoil(record, table, place, **cells):
    """Return a record with some cells of one row of a table changed."""
    rows = list(getattr(record, table))
    rows[place] = replace(rows[place], **cells)
    return replace(record, **{table: tuple(rows)})


def find(record, pattern, part, change):
    """Return the one correction of a part and a change."""
    (line,) = [one for one in kit.find_errata(record, pattern).corrections if (one.part, one.change) == (part, change)]
    return line


@pytest.mark.parametrize("name", ["ferry-steps", "millwheel", "gull-point", "tideline"])
def test_an_edition_says_the_same_as_itself_and_as_its_record(name, tmp_path):
    pattern = pattern_of(name)
    path = tmp_path / "x-record.json"
    path.write_text(write_record(make_record(pattern)), encoding="utf-8")
    assert kit.open_record(path) == make_record(pattern)
    errata = kit.find_errata(open_record(path), pattern)
    assert errata.corrections == ()
    assert "there is nothing to correct" in list_errata(errata)[-1]


def test_a_piece_cut_too_large_is_trimmed_and_takes_no_cloth(record, pattern):
    old = spoil(record, "pieces", 0, size=(("width", 2.75), ("length", 8.5)))
    line = find(old, pattern, "piece", "size")
    assert (line.subject, line.remedy, line.facts) == ("A1", "trim", ())


def test_a_piece_with_one_side_too_small_is_cut_again_although_the_other_is_too_large(record, pattern):
    old = spoil(record, "pieces", 0, size=(("width", 2.75), ("length", 8.0)))
    assert find(old, pattern, "piece", "size").remedy == "recut"


def test_more_pieces_take_the_cloth_of_the_missing_ones_alone(record, pattern):
    # Counted here: 4 strips 8 1/2 in long fit across 42 in, so 4 more pieces are one strip of 2 1/2 in and an inch.
    old = spoil(record, "pieces", 0, count=16, fabrics=(("Ferry hull", 16),))
    line = find(old, pattern, "piece", "count")
    assert (line.old, line.new, line.remedy) == (16, 20, "more")
    facts = dict(line.facts)
    assert facts["count"] == 4
    assert facts["cloth"].amounts == (("Ferry hull", ClothAmount("yardage", 3.5, bought=False)),)


def test_pieces_too_many_are_left_over(record, pattern):
    old = spoil(record, "pieces", 0, count=24, fabrics=(("Ferry hull", 24),))
    line = find(old, pattern, "piece", "count")
    assert (line.remedy, dict(line.facts)["count"]) == ("fewer", 4)


def test_a_piece_of_the_other_hand_and_one_of_another_shape_are_cut_again(record, pattern):
    assert find(spoil(record, "pieces", 0, hand="left"), pattern, "piece", "hand").remedy == "recut_hand"
    old = spoil(record, "pieces", 0, kind="square", size=(("side", 8.5),))
    assert find(old, pattern, "piece", "kind").remedy == "recut_shape"


def test_a_piece_that_was_left_out_and_one_that_is_not_needed_are_named(record, pattern):
    missing = replace(record, pieces=record.pieces[1:])
    line = find(missing, pattern, "piece", "count")
    assert (line.subject, line.old, line.remedy) == ("A1", "", "new")
    stray = replace(record.pieces[0], id="Z9", name="stray", slot="stray", patches=())
    line = find(replace(record, pieces=(*record.pieces, stray)), pattern, "piece", "count")
    assert (line.subject, line.new, line.remedy) == ("Z9", "", "gone")


def test_pieces_under_other_names_are_known_again_and_named_in_one_line(record, pattern):
    swapped = replace(record, pieces=(
        *record.pieces[:4], replace(record.pieces[4], id="E2"), replace(record.pieces[5], id="E1"),
    ))  # fmt: skip
    (line,) = kit.find_errata(swapped, pattern).corrections
    assert (line.subject, line.old, line.new) == ("pieces", "E2, E1", "E1, E2")


def test_cloth_that_was_too_little_says_how_much_more_to_buy(record, pattern):
    # Counted here: of 9 in, squaring up and the margin take 2; two strips of 2 1/2 in are cut, the others take 7 in.
    old = spoil(record, "cloth", 4, bought=9.0, needed=8.5, strips=(2.5, 2.5, 2.5))
    line = find(old, pattern, "cloth", "buy")
    assert (line.subject, line.remedy) == ("Railing", "buy_more")
    assert dict(line.facts)["amount"] == ClothAmount("yardage", 9.0)
    assert find(spoil(record, "cloth", 4, bought=18.0), pattern, "cloth", "buy").remedy == "enough"


@settings(max_examples=200, deadline=None)
@given(
    st.lists(st.integers(6, 60), min_size=1, max_size=9),
    st.integers(0, 40),
)
def test_what_is_bought_more_always_holds_the_rest_of_the_strips(eighths, eighth_yards):
    # Judged by trying every choice of strips for the old length.
    strips, bought = [count / 4 for count in eighths], eighth_yards * 4.5
    cloth = RecordedCloth("Fog", "ground", "yardage", 40.0, sum(strips) + 1, 0.0, tuple(strips), 1.0)
    more = measure_more(bought, cloth, "inch")
    best = max(
        (taken for chosen in range(2 ** len(strips)) if (taken := _add(strips, chosen)) <= bought - 1 + 1e-9), default=0
    )
    if bought >= sum(strips) + 1:
        assert more == 0
        return
    assert more >= sum(strips) - best + 1 - 1e-6
    assert more - 4.5 < sum(strips) - best + 1
    assert floor(more / 4.5) == pytest.approx(more / 4.5)


def _add(strips, chosen):
    return sum(strip for place, strip in enumerate(strips) if chosen >> place & 1)


def test_a_unit_of_another_size_sends_to_the_pieces_that_are_wrong_and_is_never_trimmed(record, pattern):
    old = spoil(record, "units", 0, size=(8.25, 8.5))
    assert find(old, pattern, "unit", "unfinished").remedy == "measure"
    both = spoil(old, "pieces", 0, size=(("width", 2.25), ("length", 8.5)))
    line = find(both, pattern, "unit", "unfinished")
    assert (line.remedy, dict(line.facts)["parts"]) == ("unpick", "A1")
    assert "never trim a sewn unit" in say_remedy(line, "inch")


def test_steps_in_another_order_are_one_line_and_their_numbers_another(record, pattern):
    steps = list(record.steps)
    moved = [*steps[:3], *steps[6:9], *steps[3:6], *steps[9:]]
    old = replace(record, steps=tuple(replace(step, number=n) for n, step in enumerate(moved, 1)))
    lines = kit.find_errata(old, pattern).corrections
    assert {line.change for line in lines} == {"order", "number"}
    assert any("unpick nothing" in say_remedy(line, "inch") for line in lines)


def test_a_step_that_was_left_out_is_named_with_its_words(record, pattern):
    steps = [step for step in record.steps if step.number != 2]
    old = replace(record, steps=tuple(replace(step, number=n) for n, step in enumerate(steps, 1)))
    line = find(old, pattern, "step", "steps")
    assert "Sew (20) strip B1" in say_correction(line, "inch").replace("\N{NO-BREAK SPACE}", " ")
    shift = find(old, pattern, "step", "number")
    assert "printed steps 2 to 16, correct steps 3 to 17" in say_correction(shift, "inch")


def test_a_misprint_in_the_words_of_a_step_alone_is_a_line(record, pattern):
    words = record.steps[13].words
    for right, wrong in (("border", "sashing"), ("40½", "41½"), ("(1)", "(2)")):
        assert right in words
        old = spoil(record, "steps", 13, words=words.replace(right, wrong, 1))
        (line,) = kit.find_errata(old, pattern).corrections
        assert (line.subject, line.change, line.remedy) == ("14", "words", "words")


def test_pressing_and_stops_and_the_stretch_of_a_seam_are_lines(record, pattern):
    assert find(spoil(record, "steps", 4, press="open"), pattern, "step", "press").remedy == "press"
    assert find(spoil(record, "steps", 4, stops=(1.0,)), pattern, "step", "stops").new == 0
    wheel = pattern_of_plain("millwheel")
    kept = make_record(wheel)
    place = next(n for n, step in enumerate(kept.steps) if step.kind == "partial")
    ends = kept.steps[place].stretch
    old = spoil(kept, "steps", place, stretch=(ends[0], ends[1] + 1))
    line = find(old, wheel, "step", "stretch")
    assert line.old.inches == pytest.approx(line.new.inches + 1)


def test_units_made_several_at_a_time_are_compared_by_their_fabrics():
    text = Path("data/studies/gull-point.toml").read_text(encoding="utf-8")
    made = kit.make_pattern(kit.read_study(text + '\n[cutting]\ngeese = "four at a time"\n'))
    kept = make_record(made)
    assert kit.find_errata(kept, made).corrections == ()
    first = replace(kept.made[0], batches=kept.made[0].batches + 1, way="eight at a time")
    lines = kit.find_errata(replace(kept, made=(first, *kept.made[1:])), made).corrections
    assert [(line.subject, line.change) for line in lines] == [(first.id, "way"), (first.id, "batches")]
    apart = kit.find_errata(pattern_of_plain("gull-point"), made).corrections
    gone, new = ([line for line in apart if line.remedy == remedy] for remedy in ("gone", "new"))
    assert {line.subject for line in new} == {piece.id for piece in made.making.pieces if piece.id.startswith("U")}
    assert all(line.part == "piece" for line in gone)


def test_every_figure_of_a_record_that_is_changed_is_told(record, pattern):
    """Each cell of every table in turn; what is not printed by itself is left out."""
    silent = {
        ("pieces", "step"), ("pieces", "patches"), ("pieces", "name"), ("pieces", "slot"), ("cloth", "slot"),
        ("cloth", "strips"), ("cloth", "squaring"), ("cloth", "needed"), ("units", "step"), ("units", "parts"),
        ("steps", "taken"), ("steps", "kind"), ("steps", "first"), ("steps", "second"), ("steps", "unit"),
        ("steps", "stretch"), ("finishing", "part"), ("finishing", "figure"),
    }  # fmt: skip
    told = 0
    for table in ("pieces", "cloth", "units", "steps", "finishing"):
        rows = getattr(record, table)
        for place in {0, len(rows) // 2, len(rows) - 1}:
            for cell in fields(rows[place]):
                if (table, cell.name) in silent:
                    continue
                value = _change(getattr(rows[place], cell.name), cell.name)
                errata = kit.find_errata(spoil(record, table, place, **{cell.name: value}), pattern)
                assert errata.corrections, (table, place, cell.name)
                assert all(say_correction(line, "inch") for line in errata.corrections)
                told += 1
    assert told > 50


def _change(value, name):
    if name in ("kind", "form", "fabric", "unit", "name", "id"):
        return {"kind": "partial" if value == "join" else "square", "form": "squares"}.get(name, f"{value}x")
    if isinstance(value, str):
        return {"press": "open", "hand": "left"}.get(name, f"{value} more")
    if isinstance(value, int | float):
        return value + 1
    if name == "fabrics":
        return ((value[0][0], value[0][1] - 1), ("Other", 1))
    if value and isinstance(value[0], tuple):
        return ((value[0][0], value[0][1] + 1), *value[1:])
    return (value[0] + 1, *value[1:]) if value else (1.0,)


def test_editions_are_compared_size_by_size_by_their_names():
    study = pattern_of_plain("ferry-steps").study
    small, large = (
        replace(study, edition=f"1, {name}", design=study.design.model_copy(update={"columns": n, "rows": n}))
        for name, n in (("small", 4), ("large", 6))
    )
    old = [kit.make_pattern(small), kit.make_pattern(large)]
    border = small.design.border[0].model_copy(update={"finished": 2.5})
    better = replace(small, edition="2, small", design=small.design.model_copy(update={"border": (border,)}))
    new = [replace(old[1], study=replace(large, edition="2, large")), kit.make_pattern(better)]
    errata = kit.find_errata(old, new)
    assert {line.size for line in errata.corrections} == {"small"}
    assert (errata.old_edition, errata.new_edition) == ("1", "2")
    borders = [line for line in errata.corrections if line.part == "piece"]
    assert {line.remedy for line in borders} == {"recut"}
    gone = [line for line in kit.find_errata(old, new[1:]).corrections if line.size == "large"]
    assert [(line.old, line.new, line.remedy) for line in gone] == [("large", "", "edition")]
    assert len(errata.old_tops) == 2


def test_what_cannot_be_compared_is_refused(record, pattern):
    with pytest.raises(kit.KitError, match="drafted in the metric system"):
        kit.find_errata(replace(record, system="metric"), pattern)
    with pytest.raises(kit.KitError, match="have hardly a piece in common"):
        kit.find_errata(pattern_of_plain("millwheel"), pattern)
    with pytest.raises(kit.KitError, match="no edition"):
        kit.find_errata([], pattern)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(0, 10**9), st.sampled_from(["cut", "swap", "key"]))
def test_a_damaged_record_is_refused_or_is_whole(record, tmp_path, where, how):
    path = tmp_path / "x-record.json"
    text = write_record(record)
    at = where % len(text)
    other = text.replace('"count"', '"counts"', 1)
    path.write_text({"cut": text[:at], "swap": text[:at] + "#" + text[at + 1 :], "key": other}[how], encoding="utf-8")
    try:
        told = open_record(path)
    except kit.KitError as error:
        told = error
    assert is_dataclass(told) or (told.needed and told.do)


def test_the_table_has_a_row_per_correction_with_exact_figures(record, pattern):
    old = spoil(record, "pieces", 0, size=(("width", 2.25), ("length", 8.5)))
    table = kit.tables.errata(kit.find_errata(old, pattern))
    assert len(table) == 1
    assert table["Correct, exact (in)"][0] == "width 2.5000, length 8.5000"
