"""Units put together: counts and sizes that follow from the words, edges that meet, and what is refused by name."""

from collections import Counter
from math import radians, sqrt, tan

import pytest

from kit.designs import FAMILIES
from kit.errors import KitError
from kit.geometry.outlines import measure_box
from kit.model.notices import notice
from kit.model.patchwork import Within

ROOT2 = sqrt(2)


def square(side="4 in", slot="ground"):
    return {"patch": "square", "side_finished": side, "slot": slot}


def rectangle(width, height, slot="ground"):
    return {"patch": "rectangle", "width_finished": width, "height_finished": height, "slot": slot}


def design(units, **keys):
    return FAMILIES["units"].model_validate({"family": "units", **keys, "unit": units})


def build(units, **keys):
    return design(units, **keys).patchwork().verify()


def find_spots(patchwork, slot):
    """Return the boxes of the patches of a slot, to a thousandth of an inch."""
    return sorted(tuple(round(side, 3) for side in measure_box(p.outline)) for p in patchwork.patches if p.slot == slot)


CHAIN = {"a": square(slot="dark"), "b": square(slot="light")}
ROWS = {"rows": ["a b", "b a"]}


def test_a_chain_of_five_by_seven_has_eighteen_of_the_one_block_and_seventeen_of_the_other():
    top = build({**CHAIN, "whole": {**ROWS, "across": 5, "down": 7}})
    assert Counter(patch.slot for patch in top.patches) == {"dark": 18, "light": 17}
    assert top.finished == (20, 28)


@pytest.mark.parametrize(
    "keys",
    [
        {"top": "a", "blocks": ["b"], "columns": 5, "rows": 7},
        {"top": "a", "alternate": {"unit": "b"}, "columns": 5, "rows": 7},
    ],
    ids=["in turn", "alternate"],
)
def test_a_chain_that_is_set_out_has_the_same_counts_as_one_in_rows(keys):
    top = build(CHAIN, **keys)
    assert Counter(patch.slot for patch in top.patches) == {"dark": 18, "light": 17}
    corners = {(0, 0), (16, 0), (0, 24), (16, 24)}
    assert {measure_box(p.outline)[:2] for p in top.patches if p.slot == "dark"} >= corners
    assert design(CHAIN, **keys).notices() == ()


@pytest.mark.parametrize(
    "made",
    [
        design({**CHAIN, "whole": {**ROWS, "across": 4, "down": 6}}),
        design(CHAIN, top="a", blocks=["b"], columns=4, rows=6),
        design(CHAIN, top="a", alternate={"unit": "b"}, columns=4, rows=6),
        design({**CHAIN, "whole": {"block": "a", "blocks": ["b"], "columns": 4, "rows": 6}}),
    ],
    ids=["rows", "in turn", "alternate", "a unit set out"],
)
def test_a_chain_of_four_by_six_says_that_its_corners_differ(made):
    assert made.notices() == (notice("unlike-corners", across=4, down=6, corners=("a", "b", "a", "b")),)


def test_a_sampler_of_unlike_units_says_nothing_of_its_corners():
    assert design({**CHAIN, "whole": {"rows": ["a b a", "b a b", "a a b"]}}).notices() == ()


def test_three_kinds_in_turn_lie_in_diagonals():
    units = {**CHAIN, "c": square(slot="red")}
    top = build(units, top="a", blocks=["b", "c"], columns=3, rows=3)
    assert [spot[:2] for spot in find_spots(top, "dark")] == [(0, 8), (4, 0), (8, 4)]
    assert Counter(p.slot for p in top.patches) == {"dark": 3, "light": 3, "red": 3}


GOOSE = {"family": "flying geese", "geese": 1, "goose_finished": "2 in", "direction": "left"}


def frame(inside, sides, units=None, finished="4 in", **keys):
    tables = {"goose": GOOSE, "stone": square(slot="stone"), "inside": inside, **(units or {})}
    return {"top": "inside", "border": [{"finished": finished, "pieces": "units", "sides": sides, **keys}]}, tables


def test_five_geese_a_square_and_five_geese_fill_a_side_of_24_inches():
    keys, units = frame(square("24 in", "inside"), ["goose*5 stone goose*5"], corner_unit="stone")
    top = build(units, **keys)
    counts = Counter(patch.slot for patch in top.patches)
    assert (counts["goose"], counts["stone"]) == (40, 8)
    assert top.finished == (32, 32)
    assert (14, 0, 18, 4) in find_spots(top, "stone")


def test_geese_and_a_square_that_do_not_fill_a_side_are_refused_with_both_lengths():
    keys, units = frame(square("24 in", "inside"), ["goose*4 stone goose*5"])
    with pytest.raises(KitError, match=r"units along the ends are 22 in long and what they go round is 24 in"):
        build(units, **keys)


def test_the_spacers_of_48_by_56_inches_for_units_of_6_are_none_and_2_inches():
    keys, units = frame(
        rectangle("48 in", "56 in", "inside"),
        ["unit"],
        {"unit": rectangle("6 in", "3 in", "unit")},
        "3 in",
        fit="spacer",
    )
    top = build(units, **keys)
    spacers = [measure_box(p.outline) for p in top.patches if p.name == "spacer"]
    assert [(right - left, high - low) for left, low, right, high in spacers] == [(48, 2), (48, 2)]
    assert Counter(p.slot for p in top.patches)["unit"] == 2 * 8 + 2 * 10
    assert top.finished == (54, 66)


def test_a_frame_of_unlike_sides_lays_each_with_its_lower_edge_outward():
    units = {
        "unit": {"rows": ["in", "out"]},
        "in": rectangle("6 in", "1 in", "in"),
        "out": rectangle("6 in", "1 in", "out"),
    }
    keys, tables = frame(square("6 in", "inside"), ["unit"], units, "2 in")
    top = build(tables, **keys)
    outer = find_spots(top, "out")
    assert outer == [(0, 2, 1, 8), (2, 0, 8, 1), (2, 9, 8, 10), (9, 2, 10, 8)]


def test_edges_of_a_diamond_star_take_eight_wings_and_four_corners_make_it_square():
    units = {
        "point": {"patch": "diamond", "side_finished": "6 in", "slot": "point"},
        "star": {"around": "point", "times": 8, "corner": 1},
    }
    top = build(
        units | {
            "wing": {"patch": "right triangle", "short_1_finished": "6 in", "short_2_finished": "6 in", "slot": "wing"},
            "whole": {"around": "wing.short 2", "centre": "star.edge 1", "times": 8},
        }
    )  # fmt: skip
    side = 6 * ROOT2
    assert len(top.mesh.trace_outside()[0]) == 8
    assert top.finished == pytest.approx((side * (1 + ROOT2),) * 2)
    assert top.area == pytest.approx(2 * (1 + ROOT2) * side**2)


def test_four_rectangles_whirl_round_a_square():
    units = {"log": rectangle("6 in", "2 in"), "middle": square(slot="middle")}
    top = build({**units, "whole": {"around": "log.bottom", "centre": "middle", "times": 4, "place": "end"}})
    assert top.finished == (8, 8)
    assert find_spots(top, "middle") == [(2, 2, 6, 6)]


def test_half_wedges_in_turn_with_their_mirror_images_close_about_a_corner():
    units = {
        "wedge": {"patch": "right triangle", "short_1_finished": "6 in", "short_2_finished": "6 in", "slot": "sail"}
    }
    top = build({**units, "whole": {"around": "wedge", "corner": 2, "times": 8, "images": "alternate"}})
    assert top.area == pytest.approx(8 * 18)
    assert top.finished == pytest.approx((12, 12))


@pytest.mark.parametrize(
    ("times", "lights"),
    [
        (4, [(0, 3), (3, 0), (5, 9), (9, 5)]),
        (8, [(0, 3), (0, 5), (3, 0), (3, 9), (5, 0), (5, 9), (9, 3), (9, 5)]),
    ],
    ids=["one to an edge", "two to an edge"],
)
def test_copies_round_a_square_are_mirrored_in_turn(times, lights):
    units = {
        "light": rectangle("2 in", "1 in", "light"), "dark": rectangle("2 in", "2 in", "dark"), "middle": square(),
        "low": {"rows": ["dark", "light"]}, "whole": {"around": "low.top", "centre": "middle.bottom", "times": times},
    }  # fmt: skip
    units["whole"] |= {"images": "alternate", "place": "start"}
    top = build(units)
    assert [spot[:2] for spot in find_spots(top, "light")] == lights
    assert top.area == 16 + times * 6


def test_a_quarter_is_mirrored_into_the_whole():
    quarter = {"rows": ["dark light", "light light"]}
    units = {"dark": square(slot="dark"), "light": square(slot="light"), "quarter": quarter}
    top = build({**units, "whole": {"around": "quarter", "corner": "lower right", "times": 4, "images": "mirrored"}})
    assert find_spots(top, "dark") == [(0, 0, 4, 4), (0, 12, 4, 16), (12, 0, 16, 4), (12, 12, 16, 16)]


def test_in_a_mirrored_copy_left_and_right_change_places_and_other_edges_stay():
    units = {"flag": {"rows": ["dark light"]}, "dark": square(slot="dark"), "light": square(slot="light")}
    top = build({**units, "whole": {"join": ["flag", "flag(mirror).left to flag.right"]}})
    assert find_spots(top, "dark") == [(0, 0, 4, 4), (12, 0, 16, 4)]
    plain = build({**units, "whole": {"join": ["flag", "flag.left to flag.right"]}})
    assert find_spots(plain, "dark") == [(0, 0, 4, 4), (8, 0, 12, 4)]


def test_a_place_word_and_a_length_are_counted_counter_clockwise_round_what_is_there():
    units = {"long": rectangle("12 in", "2 in"), "short": square(slot="short")}

    def lay(place):
        (spot,) = find_spots(
            build({**units, "whole": {"join": ["long", f"short.bottom to long.top, {place}"]}}), "short"
        )
        return spot[0]

    assert [lay(place) for place in ("start", "middle", "end", "start 2 in", "end 1 in")] == [8, 4, 0, 6, 1]


def test_a_notch_that_one_join_leaves_is_filled_by_the_next():
    units = {"long": square("8 in"), "short": square(), "rest": square(slot="rest")}
    top = build({**units, "whole": {"join": ["long", "short.left to long.right, start", "rest.bottom to short.top"]}})
    assert top.finished == (12, 8)
    assert find_spots(top, "rest") == [(8, 4, 12, 8)]


def test_fifty_joins_round_a_point_still_meet():
    leg = 12 * tan(radians(7.2))
    wedge = {
        "patch": "right triangle",
        "short_1_finished": f"{leg:.12f} in",
        "short_2_finished": "12 in",
        "slot": "sail",
    }
    join = ["wedge", *["wedge(mirror).long to wedge.long", "wedge.short 2 to wedge.short 2"] * 25][:50]
    top = build({"wedge": wedge, "whole": {"join": join}})
    assert len(top.patches) == 50
    assert top.area == pytest.approx(50 * 6 * leg)
    assert top.finished[0] == pytest.approx(24, abs=0.2)


def test_a_copy_tells_its_unit_and_which_it_is_and_a_patch_its_way_through_the_tree():
    units = {
        "goose": GOOSE, "pair": {"rows": ["goose goose(180)"]},
        "whole": {"join": ["pair(30)", "pair.bottom to pair.top"]},
    }  # fmt: skip
    top = build(units)
    groups = {patch.id: patch.group for patch in top.patches}
    assert len(groups) == 12
    assert groups["pair1-goose2-g001a"] == (Within("pair", "1"), Within("goose", "2"))


def test_an_oversize_triangle_is_sewn_further_out_along_its_open_edges_alone():
    corner = {"patch": "right triangle", "long_finished": "middle.left", "oversize": "1/2 in", "slot": "corner"}
    sides = ("left", "right", "top", "bottom")
    whole = {"join": ["middle", *(f"corner.long to middle.{side}" for side in sides)]}
    top = build({"middle": square("8 in", "middle"), "corner": corner, "whole": whole})
    sewn = [patch for patch in top.patches if patch.sewn]
    assert len(sewn) == 4
    assert [trim.group for trim in top.trims] == [()]
    for patch in sewn:
        left, low, right, high = measure_box(patch.sewn)
        assert max(right - left, high - low) == pytest.approx(4 * ROOT2 + 1)


def test_strips_shared_lengths_and_edges_add_up():
    units = {
        "arm": {"family": "braid", "pairs": 6},
        "pole": rectangle("arm.left - 2 strips + 1/2 in", "1 1/2 gap", "pole"),
    }
    top = build({**units, "whole": {"join": ["pole"]}}, strip_cut="2 in", lengths={"gap": "2 in + 1 strip"})
    arm = build(units, top="arm", strip_cut="2 in")
    assert top.finished == pytest.approx((arm.finished[1] - 3 + 0.5, 1.5 * 3.5))


def test_a_family_of_a_unit_takes_the_strips_that_units_share_unless_it_has_its_own():
    wide = {"arm": {"family": "braid", "pairs": 6}, "whole": {"join": ["arm"]}}
    own = {"arm": {"family": "braid", "pairs": 6, "strip_cut": "2 1/2 in"}, "whole": {"join": ["arm"]}}
    assert build(wide, strip_cut="3 in").finished[1] > build(own, strip_cut="3 in").finished[1]
    assert build(own, strip_cut="3 in").finished == build(wide, strip_cut="2 1/2 in").finished


def test_spacers_bring_units_and_rows_to_one_size():
    units = {"big": square("8 in", "big"), "small": square("6 in", "small")}
    top = build({**units, "whole": {"rows": ["big small big", "small*2"], "spacer_slot": "sash"}})
    assert top.finished == (22, 14)
    assert top.area == pytest.approx(22 * 14)
    sashes = Counter(tuple(sorted((right - left, high - low))) for left, low, right, high in find_spots(top, "sash"))
    assert sashes == {(1.0, 6.0): 2, (5.0, 6.0): 2}


def test_more_copies_than_can_be_sewn_are_refused_before_anything_is_built(monkeypatch):
    def build_nothing(*_):
        raise AssertionError("a unit was made")

    monkeypatch.setattr("kit.designs.units.unit_yard.UnitYard.make", build_nothing)
    a = {"a": square()}
    for units, keys in (
        ({**a, "whole": {"rows": ["a"], "across": 1000, "down": 1000}}, {}),
        ({**a, "whole": {"around": "a", "times": 1_000_000}}, {}),
        ({**a, "whole": {"rows": ["a*1000000"]}}, {}),
        ({**a, "whole": {"block": "a", "columns": 1000, "rows": 1000}}, {}),
        ({**a, "ten": {"rows": ["a*100"]}, "whole": {"rows": ["ten*100"], "down": 100}}, {}),
        (a, {"top": "a", "columns": 1000, "rows": 1000}),
    ):
        with pytest.raises(KitError, match=r"would have 1,000,000 patches\. Needed: at most 20,000"):
            build(units, **keys)


A, B = {"a": square()}, {"b": square("5 in")}
REFUSED = {
    "edges that do not match": (
        {**A, **B, "whole": {"join": ["a", "b.left to a.right"]}},
        r"`b\.left` is 5 in and `a\.right` is 4 in.*[Mm]ake `b\.left` 4 in long, or place it `start`",
    ),
    "an overlap": (
        {**A, "whole": {"join": ["a", "a.left to a.right", "a.left to a 1.right"]}},
        r"`a 2` and `a 3` overlap by 16 square inches",
    ),
    "a hole": (
        {"log": rectangle("8 in", "4 in"), "hub": square(),
         "ring": {"join": ["log", "log.left to log.top, start", "log.left to log.top, start"]},
         "whole": {"join": ["log", "log.left to log.bottom, end", "log.left to log.bottom, end",
                            "log.left to log.bottom, end"]}},
        r"there is a hole of 16 square inches, its sides 4 in, 4 in, 4 in, 4 in, between `log 1`, `log 2`",
    ),
    "a unit inside itself": (
        {"a": {"rows": ["b"]}, "b": {"join": ["c"]}, "c": {"around": "a.left", "times": 2}, "whole": {"rows": ["a"]}},
        r"`a` holds itself \(`a` -> `b` -> `c` -> `a`\).*Take `a` out of `c`",
    ),
    "an unknown unit": ({**A, "whole": {"rows": ["a aa"]}}, r"there is no unit `aa`.*Write `a`"),
    "no top": (A, r"`design\.top` names no other.*one of `a`.*Write for instance top = .a., or add a table"),
    "an unknown edge": ({**A, "whole": {"join": ["a", "a.lefft to a.right"]}}, r"no edge of `a` `lefft`.*Write `left`"),
    "an unknown host": ({**A, **B, "whole": {"join": ["a", "b.left to b.right"]}}, r"no unit so far `b`.*one of `a`"),
    "a copy that is not there": (
        {**A, "whole": {"join": ["a", "a.left to a 3.right"]}}, r"joins to `a 3`, and so far there are 1",
    ),
    "an unknown length": (
        {"a": square("2 gapp"), "whole": {"rows": ["a"]}}, r"there is no length `gapp`.*[Ww]rite `gap`",
    ),
    "a length from itself": (
        {"a": square("b.left"), "b": square("a.left"), "whole": {"rows": ["a"]}},
        r"lengths of `a` follow from themselves \(`a` -> `b` -> `a`\)",
    ),
    "strips without a width": ({"a": square("2 strips"), "whole": {"rows": ["a"]}}, r"`design\.strip_cut` is missing"),
    "an unknown placing word": (
        {**A, **B, "whole": {"join": ["a", "b.left to a.right, midle"]}}, r"no placing word `midle`.*Write `middle`",
    ),
    "a place beyond the edge": (
        {**A, "whole": {"join": ["a", "a.left to a.right, start 4 in"]}},
        r"4 in along `a\.right`, which is 4 in, and not touch",
    ),
    "a turned join": ({**A, "whole": {"join": ["a", "a(90).left to a.right"]}}, r"with a turn.*follows from the edges"),
    "a step under two allowances": (
        {**A, "b": square("4 1/4 in"), "whole": {"join": ["a", "b.left to a.right, start"]}},
        r"`whole` has a side of ¼ in by .*at least two allowances \(½ in\)",
    ),
    "a turn that leaves a sliver": (
        {"a": {"patch": "diamond", "side_finished": "8 in", "angle": 88}, "b": square("8 in"),
         "whole": {"join": ["b", "a(mirror).edge 1 to b.top", "b.left to b.right", "b.bottom to b.top"]}},
        r"leave a sliver of 2° between them.*at least 5°",
    ),
    "rows of unlike height": ({**A, **B, "whole": {"rows": ["a b"]}}, r"`a` is 4 in high and `b` is 5 in.*spacer_slot"),
    "rows of unlike length": ({**A, "whole": {"rows": ["a a", "a"]}}, r"row 2 is 4 in long and row 1 is 8 in"),
    "a spacer too narrow": (
        {**A, "b": square("4 1/4 in"), "whole": {"rows": ["a b"], "spacer_slot": "sash"}}, r"a spacer of ¼ in is left",
    ),
    "a row of what is not a rectangle": (
        {**A, "whole": {"rows": ["a(45)"]}}, r"`a` turned by 45°, which is not a rectangle",
    ),
    "a setting of what is not a rectangle": (
        {"a": {"patch": "60° triangle", "height_finished": "4 in"}, "whole": {"block": "a", "columns": 2}},
        r"`a` is not a rectangle \(it has 3 edges\)",
    ),
    "units of unlike size in turn": (
        {**A, **B, "whole": {"block": "a", "blocks": ["b"], "columns": 2}}, r"`b` is 5 in wide and `a` is 4 in",
    ),
    "no corner that closes": ({**A, "whole": {"around": "a", "times": 5}}, r"no corner of 72°.*corner 1 has 90°"),
    "corners to choose from": ({**A, "whole": {"around": "a", "times": 4}}, r"4 corners of `a` have 90°.*corner = 1"),
    "an odd count of mirrored copies": (
        {**A, "whole": {"around": "a", "times": 5, "images": "alternate"}},
        r"`unit\.whole\.times` is 5, and every second",
    ),
    "a centre that is not the same all round": (
        {**A, "b": rectangle("4 in", "6 in"), "whole": {"around": "a.left", "centre": "b.bottom", "times": 4}},
        r"`b` turned by 90° does not lie on itself",
    ),
    "a family's own refusal": ({"a": {"family": "braid", "pairs": 1, "start": "open"}, "whole": {"rows": ["a"]}},
                               r"`unit\.a\.pairs` is 1"),
    "no way": ({"a": {"jion": ["b"]}, "whole": {"rows": ["a"]}}, r"names no way in which it is made.*[Ww]rite `join`"),
    "two ways": ({"a": {**square(), "rows": ["b"]}, "whole": {"rows": ["a"]}}, r"names `patch` and `rows`"),
    "an unknown patch": ({"a": {"patch": "sqare"}, "whole": {"rows": ["a"]}}, r"'sqare' \(is `square` meant\?\)"),
}  # fmt: skip


@pytest.mark.parametrize(("units", "said"), REFUSED.values(), ids=REFUSED)
def test_what_does_not_close_is_refused_by_name_with_the_remedy(units, said):
    with pytest.raises(KitError, match=said) as caught:
        build(units, lengths={"gap": "2 in"})
    assert caught.value.needed
    assert caught.value.do
    assert "pydantic" not in str(caught.value)


def test_a_unit_that_nothing_uses_is_allowed():
    assert len(build({**A, **B, "whole": {"rows": ["a"]}}).patches) == 1


def test_a_family_without_units_says_that_it_has_none():
    braid = FAMILIES["grid blocks"].model_validate({"family": "grid blocks", "alternate": {"unit": "a"}})
    with pytest.raises(KitError, match="the family `grid blocks` has no units"):
        braid.patchwork()
