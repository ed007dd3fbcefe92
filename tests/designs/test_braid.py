"""Braids: how long and wide a column comes out, what it is cut from, and what is refused."""

from math import sqrt

import pytest
import shapely
from hypothesis import given, settings
from strategies import Case, cases

from kit.errors import PatchworkError
from kit.geometry.outlines import clip_outline, measure_area, mirror_outline, offset_outline, turn_outline
from kit.lengths import read_length
from kit.model.patchwork import Within
from kit.planning.pieces.cut_list import cut_list

ROOT2 = sqrt(2)
MANY = settings(max_examples=60)


def braid(allowance="1/4 in", **keys):
    return Case({"family": "braid", "columns": 1, **keys}, allowance)


def counts_of_hands(cuts, name="blade"):
    """Return how many pieces of a name there are of each hand."""
    counts = {"left": 0, "right": 0, None: 0}
    for piece in cuts.pieces:
        if piece.name == name:
            counts[piece.hand] += piece.count
    return counts


def find_height(case):
    return case.family.make_block(case.allowance).height


def same_outline(one, other):
    return shapely.Polygon(one).symmetric_difference(shapely.Polygon(other)).area < 1e-6


# How long and how wide


@MANY
@given(cases("braid", by_length=False))
def test_a_column_is_as_long_as_its_pairs_rise_less_what_the_ends_take(case):
    a, family = case.allowance, case.family
    strip, pairs, column = family.strip_cut - 2 * a, family.pairs, family.column_finished
    right = strip / (2 * ROOT2) + column / 2
    expected = {
        "triangle": pairs * strip * ROOT2 - 2 * a,
        "open": pairs * strip * ROOT2 - right - 3 * a,
        "square": pairs * strip * ROOT2 - right - 3 * a + strip / ROOT2,
    }[family.start]
    block = family.make_block(a)
    assert (block.width, block.height) == pytest.approx((column, expected), abs=1e-9)


def test_sixteen_pairs_from_a_triangle_rise_by_the_figure_worked_out_by_hand():
    # 2 1/2 in strips finish at 2 in; each pair rises 2·√2 = 2.8284 in; 16 rise 45.2548 in; two allowances are cut off.
    assert find_height(braid(pairs=16, start="triangle")) == pytest.approx(44.7548, abs=1e-4)


@MANY
@given(cases("braid", by_length=True))
def test_a_column_of_a_given_length_has_that_length_to_the_last_digits(case):
    assert find_height(case) == pytest.approx(case.family.length_finished, abs=1e-9)


@pytest.mark.parametrize("start", ["triangle", "square", "open"])
def test_one_pair_more_makes_the_column_longer_by_a_strip_width_times_root_two(start):
    less, more = (find_height(braid(pairs=n, start=start)) for n in (9, 10))
    assert more - less == pytest.approx(2 * ROOT2)


@MANY
@given(cases("braid"))
def test_no_cloth_is_missing_where_a_column_is_cut_along_its_seam_allowance(case):
    patchwork = case.build()
    for trim in patchwork.trims:
        sewn = [offset_outline(p.sewn or p.outline, case.allowance) for p in patchwork.patches if p.group == trim.group]
        cloth = shapely.union_all([shapely.Polygon(outline).buffer(1e-7, join_style="mitre") for outline in sewn])
        cut = shapely.Polygon(offset_outline(trim.outline, case.allowance))
        assert cut.difference(cloth).area < 1e-5


@pytest.mark.parametrize("sixteenths", range(160, 224))
def test_a_column_of_a_given_length_shows_every_blade_that_its_allowance_needs(sixteenths):
    case = braid(length_finished=f"{sixteenths / 16} in")
    (trim,) = case.build().verify().trims
    cut = shapely.Polygon(offset_outline(trim.outline, 0.25))
    whole = [shapely.Polygon(offset_outline(p.sewn or p.outline, 0.25)) for p in case.build().patches]
    assert cut.difference(shapely.union_all(whole).buffer(1e-7)).area < 1e-5


@MANY
@given(cases("braid", blades="rectangles"))
def test_rectangles_of_length_l_trim_to_a_column_of_twice_l_less_a_less_s_over_root_two(case):
    a, family = case.allowance, case.family
    strip = family.strip_cut - 2 * a
    accented = {"none": [], "left": ["L"], "right": ["R"], "both": ["L", "R"]}[family.accents]
    patchwork = case.build()
    names = set(patchwork.by_id)
    for piece in cut_list(patchwork).pieces:
        if piece.name != "blade":
            continue
        assert piece.kind in ("rectangle", "square")
        area = measure_area(piece.outline)
        for patch in piece.patches:
            # The accent square at the inner end is sewn on and adds its finished width.
            length = area / family.strip_cut + (strip if f"{patch}a" in names else 0.0)
            fits = (2 * (length - a) - strip) / ROOT2
            dropped = fits + strip * ROOT2
            wanted = pytest.approx(family.column_finished + 2 * a, abs=1e-6)
            side = patch.split("-")[1][0]
            assert fits == wanted or (side in accented and dropped == wanted)


# Left and right


@MANY
@given(cases("braid", by_length=False, blades="angled"))
def test_angled_blades_are_as_many_left_as_right_in_whole_columns(case):
    family = case.family
    sewn = [p for p in case.build().patches if p.name == "blade"]
    sides = {side: sum(p.id.split("-")[1][0] == side for p in sewn) for side in "LR"}
    if family.start == "triangle":
        assert sides == {"L": family.columns * family.pairs, "R": family.columns * family.pairs}
    if family.accents in ("none", "both") and family.start == "triangle":
        hands = counts_of_hands(cut_list(case.build()))
        assert hands["left"] == hands["right"]


@pytest.mark.parametrize("running", ["same", "alternate"])
@pytest.mark.parametrize(("columns", "pairs"), [(1, 8), (3, 12), (5, 16)])
def test_columns_of_angled_blades_need_one_left_and_one_right_a_pair(columns, pairs, running):
    case = braid(columns=columns, pairs=pairs, blades="angled", running=running)
    cuts = cut_list(case.build())
    assert counts_of_hands(cuts) == {"left": columns * pairs, "right": columns * pairs, None: 0}
    kinds = {(piece.kind, piece.hand) for piece in cuts.pieces if piece.name == "blade"}
    assert kinds == {("trapezoid", "left"), ("trapezoid", "right")}


def test_rectangular_blades_have_no_hand():
    hands = counts_of_hands(cut_list(braid(pairs=12, blades="rectangles").build()))
    assert hands == {"left": 0, "right": 0, None: 24}


def test_left_blades_are_right_blades_mirrored_in_the_middle_of_the_column_half_a_rise_up():
    case = braid(pairs=12, start="triangle")
    patches = {p.id.removeprefix("c01-"): p.sewn or p.outline for p in case.build().patches}
    for pair in range(2, 11):
        right = mirror_outline(patches[f"R{pair:03d}"], axis=3.0)
        lifted = [(x, y + 2 / ROOT2) for x, y in right]
        assert same_outline(patches[f"L{pair:03d}"], lifted)


def test_the_blade_is_as_wide_as_the_strip_and_longer_on_one_side_by_the_same():
    # A trapezoid with a square end and a 45° end: its long side is longer than its short side by its height.
    piece = next(p for p in cut_list(braid(pairs=12).build()).pieces if p.name == "blade")
    assert piece.cut["strip"] == pytest.approx(2.5)
    assert piece.cut["long side"] - piece.cut["short side"] == pytest.approx(2.5)
    assert sorted(round(angle) for angle in piece.angles) == [45, 90, 90, 135]


# Ends, running, accents, slots


def test_columns_run_alternately_up_and_down():
    patchwork = Case({"family": "braid", "columns": 2, "pairs": 12, "running": "alternate"}, "1/4 in").build()
    height = patchwork.finished[1]
    one = [p for p in patchwork.patches if p.group == (Within("column", "1"),)]
    two = [p for p in patchwork.patches if p.group == (Within("column", "2"),)]
    for up, down in zip(one, two, strict=True):
        turned = turn_outline(up.outline, 180, about=(6.0, height / 2))
        assert same_outline(turned, down.outline)


@pytest.mark.parametrize(("accents", "sides"), [("none", ""), ("left", "L"), ("right", "R"), ("both", "LR")])
def test_accents_sit_on_the_sides_that_were_asked_for(accents, sides):
    patchwork = braid(pairs=12, column_finished="8 in", accents=accents).build()
    found = {p.id.split("-")[1][0] for p in patchwork.patches if p.name == "accent"}
    assert found == set(sides)
    assert all(p.id.endswith("a") for p in patchwork.patches if p.name == "accent")


def test_two_slots_part_the_left_blades_from_the_right_ones():
    patchwork = braid(pairs=8, sides="two slots", blade_slot="wave").build()
    slots = {p.id.split("-")[1][0]: p.slot for p in patchwork.patches if p.name == "blade"}
    assert slots == {"L": "left wave", "R": "right wave"}


@pytest.mark.parametrize(("start", "kind"), [("square", "square"), ("triangle", "quarter-square triangle")])
def test_the_starting_patch_is_a_square_or_a_triangle_with_its_long_side_on_the_straight_grain(start, kind):
    pieces = [p for p in cut_list(braid(pairs=12, start=start).build()).pieces if p.slot == "start"]
    assert [(p.kind, p.count) for p in pieces] == [(kind, 1)]


def test_an_open_column_starts_with_its_blades():
    assert {p.name for p in braid(pairs=12, start="open").build().patches} == {"blade"}


# What is refused


@pytest.mark.parametrize(
    ("keys", "key", "value", "do"),
    [
        ({"strip_cut": "1 in"}, "design.strip_cut", "1", "Widen the strips"),
        ({"strip_cut": "1/2 in"}, "design.strip_cut", "½", "Widen the strips"),
        ({"strip_cut": "3/8 in"}, "design.strip_cut", "⅜", "Widen the strips"),
        ({"column_finished": "2 in"}, "design.column_finished", "2", "Widen the column"),
        ({"column_finished": "4 in", "accents": "left"}, "design.column_finished", "4", "leave out the accents"),
        ({"pairs": 1, "start": "open"}, "design.pairs", "1", "Add pairs"),
        ({"length_finished": "1/4 in"}, "design.length_finished", "¼", "Lengthen the column"),
    ],
)
def test_keys_that_leave_no_room_are_refused_with_key_value_and_remedy(keys, key, value, do):
    with pytest.raises(PatchworkError) as caught:
        braid(**keys).build()
    message = str(caught.value)
    assert f"`{key}` is {value}" in message
    assert "Needed: " in message
    assert do in message


@pytest.mark.parametrize("start", ["open", "square"])
def test_the_number_of_pairs_that_a_refusal_asks_for_is_enough(start):
    with pytest.raises(PatchworkError) as caught:
        braid(pairs=1, start=start, column_finished="20 in").build()
    asked = int(caught.value.needed.removeprefix("at least ").split()[0])
    braid(pairs=asked, start=start, column_finished="20 in").build().verify()
    with pytest.raises(PatchworkError):
        braid(pairs=asked - 1, start=start, column_finished="20 in").build()


def test_the_narrowest_column_that_a_refusal_asks_for_is_wide_enough():
    with pytest.raises(PatchworkError) as caught:
        braid(column_finished="1 in", accents="both").build()
    width = caught.value.needed.removeprefix("at least ").split(" so ")[0]
    assert read_length(width) > 1
    braid(column_finished=width, accents="both").build().verify()


def test_the_narrowest_strip_that_a_refusal_asks_for_is_wide_enough():
    with pytest.raises(PatchworkError) as caught:
        braid(strip_cut="1 in").build()
    width = caught.value.needed.removeprefix("a strip cut at least ").split(" wide")[0]
    assert read_length(width) == 1.25
    braid(strip_cut=width).build().verify()


def test_ten_thousand_pairs_in_many_columns_are_refused_before_they_are_laid():
    with pytest.raises(PatchworkError, match="patches"):
        Case({"family": "braid", "columns": 20_000, "pairs": 10_000}, "1/4 in").build()


def test_clipping_a_blade_at_the_column_is_what_the_trim_does():
    case = braid(pairs=12)
    family, a = case.family, case.allowance
    block = family.make_block(a)
    for shape in block.shapes:
        if shape.sewn:
            seen = shape.sewn
            for line in ((1, 0, block.width), (-1, 0, 0), (0, 1, block.height), (0, -1, 0)):
                seen = clip_outline(seen, *line)
            assert same_outline(seen, shape.outline)
