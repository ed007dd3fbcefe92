"""Beds, drops, shrinkage and friendly sizes: figures of published tables and of worked cases."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from published_tables import read_table

import kit
from kit.fitting.beds import SIZES, read_beds


@pytest.mark.parametrize("row", read_table("bed_drop_table.csv"), ids=lambda row: row["bed"])
def test_a_bed_of_the_published_table_gives_its_four_sizes(row):
    # a guild's handout of bed-quilt sizes: seven beds, a comforter and a bedspread each (head of the table)
    bed = float(row["mattress_w_in"]), float(row["mattress_l_in"])
    comforter = kit.aim(bed=bed, drop="14 in")
    spread = kit.aim(bed=bed, drop="21 in", tuck="12 in")
    assert (comforter.width, comforter.height) == (float(row["comforter_w"]), float(row["comforter_l"]))
    assert (spread.width, spread.height) == (float(row["bedspread_w"]), float(row["bedspread_l"]))


def test_beds_come_from_the_table_with_their_sources_in_inches_and_in_centimetres():
    rows = {row["item"]: row for row in read_table(SIZES.name)}
    beds = kit.read_beds()
    assert beds["crib"] == (27, 52)
    assert beds["queen"] == (float(rows["queen mattress"]["width"]), float(rows["queen mattress"]["length"]))
    assert beds["UK double"] == pytest.approx((135 / 2.54, 190 / 2.54))
    assert not any("package" in name or "interior" in name for name in beds)
    assert all(row["source"] and row["seen"] for row in rows.values())


def test_the_table_of_beds_is_data_that_can_be_edited(tmp_path):
    mine = tmp_path / "beds.csv"
    mine.write_text("# mine\nitem,width,length\nbox bed mattress,30,70\nbunk (cm),80,190\n", encoding="utf-8")
    beds = read_beds(mine)
    assert list(beds) == ["box bed", "bunk"]
    assert beds["box bed"] == (30, 70)
    assert beds["bunk"] == pytest.approx((80 / 2.54, 190 / 2.54))
    mine.write_text("item,width,length\nbox bed mattress,wide,70\n", encoding="utf-8")
    with pytest.raises(kit.KitError, match="`box bed mattress` has no width and length"):
        read_beds(mine)
    with pytest.raises(kit.KitError, match="cannot be read"):
        read_beds(tmp_path / "none.csv")


@given(st.floats(20, 90), st.floats(40, 100), st.floats(0, 30), st.floats(0, 20), st.floats(0, 0.2))
def test_what_is_wanted_is_the_mattress_with_its_drops_before_what_is_lost(width, length, drop, tuck, loss):
    target = kit.aim(bed=(width, length), drop=drop, tuck=tuck, shrinkage=loss)
    assert target.width * (1 - loss) == pytest.approx(width + 2 * drop)
    assert target.height * (1 - loss) == pytest.approx(length + drop + tuck)


def test_w21_ninety_inches_after_five_per_cent_are_94_74_before_not_94_50():
    # data/published/worked_cases.csv, W21: common question, answer derived
    target = kit.aim("90 in", "90 in", shrinkage=0.05)
    assert (target.width, target.height) == pytest.approx((94.74, 94.74), abs=0.005)
    assert target.width - 90 * 1.05 == pytest.approx(0.24, abs=0.005)
    assert 94.5 * 0.95 < 90


def test_w09_seven_strips_across_twelve_inches():
    # data/published/worked_cases.csv, W09: common question, answer derived
    seventh = 12 / 7 + 0.5
    assert seventh == pytest.approx(2.214, abs=0.0005)
    mixed = kit.mix_parts(7, 12)
    assert mixed == ((5, 1.75), (2, 1.625))
    assert [(count, size + 0.5) for count, size in mixed] == [(5, 2.25), (2, 2.125)]
    assert 7 * 1.75 == 12.25
    coarse = [size.finished for size in kit.friendly_sizes(7, 12) if size.step == 0.5]
    assert coarse == [10.5, 14]


@given(st.integers(1, 40), st.floats(1, 60))
def test_friendly_sizes_are_whole_parts_on_the_ruler_with_none_nearer(parts, near):
    found = kit.friendly_sizes(parts, near)
    for size in found:
        assert size.part / size.step == pytest.approx(round(size.part / size.step))
        assert size.finished == pytest.approx(size.part * parts)
        assert size.cut == pytest.approx(size.part + 0.5)
    if found:
        eighths = [n * parts / 8 for n in range(4, 8 * 61) if n / 8 >= 0.5]
        assert abs(found[0].off) == pytest.approx(min(abs(size - near) for size in eighths))


@given(st.integers(1, 30), st.integers(1, 400))
def test_mixed_parts_make_up_the_block_exactly_and_differ_by_one_step(parts, eighths):
    if eighths < parts:
        with pytest.raises(kit.KitError, match="not a whole number of steps"):
            kit.mix_parts(parts, eighths / 8)
        return
    mixed = kit.mix_parts(parts, eighths / 8)
    assert sum(count for count, _ in mixed) == parts
    assert sum(count * size for count, size in mixed) == pytest.approx(eighths / 8)
    assert max(size for _, size in mixed) - min(size for _, size in mixed) <= 0.125


# Cautions and refusals


@pytest.mark.parametrize("asked", [{"bed": "crib"}, {"width": 36, "height": 52}, {"bed": (28, 52.375), "drop": 0}])
def test_a_quilt_of_crib_size_carries_the_caution(asked):
    # the interior of a full-size crib is 28 x 52 3/8 in (16 CFR 1508.3(a), see the table of beds)
    (caution,) = kit.aim(**asked).cautions
    assert "does not belong in an infant's sleep space" in caution
    assert "current paediatric and local guidance" in caution


def test_a_quilt_for_a_bed_carries_none():
    assert kit.aim(bed="twin").cautions == ()


@pytest.mark.parametrize(
    ("asked", "said", "do"),
    [
        ({}, "No size is given", 'bed="queen"'),
        ({"width": "60 in"}, "No size is given", "a width"),
        ({"width": 60, "height": 80, "bed": "twin"}, "A size and a bed are given", "Leave one out"),
        ({"bed": "quen"}, "no bed `quen`", "Is `queen` meant?"),
        ({"bed": "queen", "drop": "fourteen"}, "fourteen", ""),
        ({"bed": "queen", "drop": -1}, "`drop` is -1 in", ""),
        ({"width": 401, "height": 80}, "The wanted width is 401 in", ""),
        ({"width": 60, "height": 80, "shrinkage": 1.0}, "", ""),
    ],
)
def test_an_impossible_wish_is_refused_in_words(asked, said, do):
    with pytest.raises(kit.KitError) as caught:
        kit.aim(**asked)
    assert said in str(caught.value)
    assert caught.value.do
    assert do in str(caught.value)
