"""Newer families: what the keys say is what is cut, and keys that contradict one another are refused in words."""

from collections import Counter
from math import sqrt

import pytest
from hypothesis import given, settings
from random_designs import FAMILIES
from redrawing import attempt
from strategies import Case, random_cases

from kit.checks.cut_list_check import check_cut_list
from kit.errors import PatchworkError
from kit.geometry.outlines import measure_area, measure_box
from kit.lengths import read_length
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

ROOT2, ROOT3 = sqrt(2), sqrt(3)
MANY = settings(max_examples=60)


def build(family, allowance="1/4 in", **keys):
    return Case({"family": family, "columns": 1, "rows": 1} | keys, allowance).build().verify()


def pieces(patchwork):
    cuts = cut_list(patchwork)
    check_cut_list(patchwork, cuts)
    return cuts.pieces


def by_kind(patchwork, slot):
    """Return the only piece of a slot."""
    (piece,) = [piece for piece in pieces(patchwork) if piece.slot == slot]
    return piece


def slots_of(patchwork):
    """Return the slot at each place, a corner of the patch standing for it."""
    return {tuple(sorted(patch.outline)): patch.slot for patch in patchwork.patches}


@pytest.mark.parametrize("family", sorted(FAMILIES))
def test_every_family_tiles_its_top_and_its_cut_list_is_accepted(family):
    built = []

    @settings(max_examples=12)
    @given(random_cases(family, "straight", borders=0))
    def try_one(case):
        patchwork, refusal = attempt(lambda: case.build().verify())
        if refusal:
            assert refusal.do
            return
        width, height = patchwork.finished
        assert patchwork.area == pytest.approx(width * height, rel=1e-6)
        assert sum(piece.count for piece in pieces(patchwork)) == len(patchwork.patches)
        built.append(case)

    try_one()
    assert len(built) >= 3, "too few of the drawn designs could be built"


@MANY
@given(random_cases())
def test_the_keys_of_a_family_are_read_back_as_they_were_written(case):
    family = case.family
    written = family.model_dump(mode="json", exclude_none=True, exclude_defaults=True) | {"family": family.family}
    assert type(family).model_validate(written) == family


# Grid blocks: the notation


def test_the_first_slot_lies_left_of_the_stroke_as_it_is_read():
    up, down = build("grid blocks", pattern=["a/b"]), build("grid blocks", pattern=["a\\b"])
    assert slots_of(up) == {((0, 0), (0, 3), (3, 3)): "a", ((0, 0), (3, 0), (3, 3)): "b"}
    assert slots_of(down) == {((0, 0), (0, 3), (3, 0)): "a", ((0, 3), (3, 0), (3, 3)): "b"}


def test_four_slots_go_round_from_the_top_by_the_clock():
    patchwork = build("grid blocks", pattern=["a:b:c:d"])
    middle = (1.5, 1.5)
    assert slots_of(patchwork) == {
        tuple(sorted([middle, (0, 3), (3, 3)])): "a",
        tuple(sorted([middle, (3, 0), (3, 3)])): "b",
        tuple(sorted([middle, (0, 0), (3, 0)])): "c",
        tuple(sorted([middle, (0, 0), (0, 3)])): "d",
    }


def test_a_halved_cell_that_is_not_square_gives_half_rectangle_triangles_of_one_hand():
    patchwork = build("grid blocks", pattern=["a/b"], column_widths=[2], cell_finished="2 in")
    found = [(piece.kind, piece.hand) for piece in pieces(patchwork)]
    other = [(piece.kind, piece.hand) for piece in pieces(build("grid blocks", pattern=["a\\b"], column_widths=[2]))]
    assert {kind for kind, _ in found + other} == {"half-rectangle triangle"}
    assert {hand for _, hand in found} | {hand for _, hand in other} == {"left", "right"}
    assert len({hand for _, hand in found}) == 1


@pytest.mark.parametrize(
    ("keys", "said"),
    [
        ({"pattern": ["a b", "a"]}, "`design.pattern` has rows of 2, 1 cells"),
        ({"pattern": ["a/b/c"]}, "holds the word `a/b/c`"),
        ({"pattern": ["a:b"]}, "holds the word `a:b`"),
        ({"pattern": ["a/"]}, "holds the word `a/`"),
        ({"pattern": ["a b"], "column_widths": [1]}, "`design.column_widths` is [1] for a pattern of 2"),
        ({"pattern": ["a b"], "symmetry": "turned"}, '`design.symmetry` is "turned" for a quarter that finishes 6 x 3'),
        ({"pattern": ["a"], "cell_finished": "3/8 in"}, "`design.cell_finished` is 0.375 in"),
        ({"pattern": ["a " * 20_001]}, "The design would have 20,001 patches"),
    ],
)
def test_grids_that_cannot_be_read_are_refused_with_what_to_write(keys, said):
    with pytest.raises(PatchworkError) as caught:
        build("grid blocks", **keys)
    assert said in str(caught.value)
    assert caught.value.do


# Blocks


@pytest.mark.parametrize("height", ["1 1/2 in", "2 in", "3 in", "4 1/4 in"])
def test_a_goose_comes_from_twice_its_height_and_its_sky_from_once_and_the_amounts(height):
    h = read_length(height)
    patchwork = build("flying geese", geese=4, goose_finished=height)
    goose, sky = by_kind(patchwork, "goose"), by_kind(patchwork, "sky")
    assert (goose.count, sky.count, goose.kind, sky.kind) == (4, 8, "quarter-square triangle", "half-square triangle")
    assert goose.cut["square"] == pytest.approx(2 * h + (2 + 2 * ROOT2) / 4)
    assert sky.cut["square"] == pytest.approx(h + (2 + ROOT2) / 4)
    assert goose.outside_bias == sky.outside_bias == 0


def test_every_other_flight_goes_back_when_flights_alternate():
    flights = build("flying geese", columns=2, geese=1, running="alternate")
    tips = [min(patch.outline, key=lambda p: abs(p[0] % 4 - 2)) for patch in flights.patches if patch.slot == "goose"]
    assert tips == [(2, 2), (6, 0)]


@pytest.mark.parametrize("rounds", [1, 2, 3, 5])
def test_each_round_makes_a_square_in_a_square_root_two_times_as_wide(rounds):
    patchwork = build(
        "square in square", block_finished="16 in", rounds=rounds, round_slots=["r1", "r2", "r3", "r4", "r5"]
    )
    centre = by_kind(patchwork, "centre")
    assert centre.finished["side"] == pytest.approx(16 / ROOT2**rounds)
    for n in range(1, rounds + 1):
        piece = by_kind(patchwork, f"r{n}")
        assert (piece.count, piece.kind, piece.outside_bias) == (4, "half-square triangle", 0)
        assert piece.finished["square"] == pytest.approx(16 / ROOT2**rounds * ROOT2 ** (n - 2))


@pytest.mark.parametrize("edge", [2, 3, 3.75])
def test_a_star_is_two_and_root_two_edges_of_its_diamonds_wide(edge):
    block = f"{edge * (2 + ROOT2):.9f} in"
    patchwork = build("eight-pointed star", block_finished=block, point_slots=["point"])
    diamond = by_kind(patchwork, "point")
    assert (diamond.kind, diamond.count) == ("parallelogram", 8)
    assert diamond.finished["step"] == pytest.approx(edge, abs=1e-6)
    ground = {piece.kind: piece for piece in pieces(patchwork) if piece.slot == "ground"}
    assert ground["square"].finished["side"] == pytest.approx(edge, abs=1e-6)
    assert ground["quarter-square triangle"].finished["square"] == pytest.approx(edge * ROOT2, abs=1e-6)


def test_a_star_of_half_squares_has_twenty_four_of_them_and_four_corners():
    kinds = Counter()
    for piece in pieces(build("eight-pointed star", drafting="half squares")):
        kinds[piece.kind] += piece.count
    assert kinds == {"half-square triangle": 24, "square": 4}


def test_w10_a_whirl_round_4_inches_with_rectangles_of_3_finishes_10_and_they_are_7_long():
    patchwork = build("whirl", centre_finished="4 in", rectangle_finished="3 in")
    rectangle = by_kind(patchwork, "rectangle")
    assert patchwork.finished == (10, 10)
    assert (rectangle.count, rectangle.finished) == (4, {"width": 3, "length": 7})
    assert len(patchwork.patches) == 5


# Columns and panels


def test_a_pair_of_chevron_columns_rises_by_the_diagonal_of_its_strips():
    one, two = (build("chevron", strips=n, column_finished="5 in") for n in (4, 5))
    assert one.finished == pytest.approx((10, 4 * 2 * ROOT2 + 5))
    assert two.finished[1] - one.finished[1] == pytest.approx(2 * ROOT2)


def test_in_a_herringbone_no_seam_of_one_column_meets_one_of_the_next_and_both_are_as_high():
    chevron, bone = (build("chevron", strips=6, kind=kind) for kind in ("chevron", "herringbone"))
    assert bone.finished == chevron.finished
    middle = bone.finished[0] / 2

    def ends(patchwork, side):
        inside = [p for patch in patchwork.patches if f"-{side}" in patch.id for p in patch.outline]
        return {round(y, 6) for x, y in inside if abs(x - middle) < 1e-6} - {0, round(patchwork.finished[1], 6)}

    assert ends(chevron, "L") == ends(chevron, "R")
    assert not ends(bone, "L") & ends(bone, "R")
    assert [(piece.name, piece.count) for piece in pieces(bone) if piece.kind == "template"] == [("end trapezoid", 2)]
    rehearsal = rehearse(cut_list(bone), sewing_plan(bone))
    assert rehearsal.agrees


def test_a_bargello_column_that_is_moved_up_shows_at_its_foot_what_left_at_the_top():
    patchwork = build("bargello", strip_slots=["a", "b", "c"], loops=1, widths_cut=["2 in"], shifts=[0, 1, -1, 1.5])
    columns = {}
    for patch in sorted(patchwork.patches, key=lambda patch: measure_box(patch.outline)[:2]):
        columns.setdefault(patch.group[-1], []).append(patch.slot)
    assert list(columns.values()) == [list("abc"), list("cab"), list("bca"), list("bcab")]
    assert patchwork.finished == (4 * 1.5, 6)


@pytest.mark.parametrize("shape", ["triangles", "diamonds", "hexagons", "tumbling blocks"])
def test_sixty_degree_panels_have_straight_edges_and_whole_shapes_of_one_edge_length(shape):
    patchwork = build("sixty degrees", shape=shape, across=4, down=3, edge_finished="2 in")
    t = ROOT3
    wanted = {"triangles": (8, 3 * t), "diamonds": (8, 6 * t), "hexagons": (8 * t, 10), "tumbling blocks": (8 * t, 10)}
    assert patchwork.finished == pytest.approx(wanted[shape])
    whole = {"triangles": t, "diamonds": 2 * t, "hexagons": 6 * t, "tumbling blocks": 2 * t}[shape]
    name = {"triangles": "triangle", "hexagons": "hexagon"}.get(shape, "diamond")
    found = [measure_area(patch.outline) for patch in patchwork.patches if patch.name == name]
    assert found == pytest.approx([whole] * len(found))
    counts = {"triangles": 3 * 7, "diamonds": 3 * 4 + 2 * 3, "hexagons": 4 + 3 + 4, "tumbling blocks": 11 * 3 + 2}
    assert len(found) == counts[shape]


def test_the_strips_of_a_string_panel_are_cut_as_wide_as_told_and_cover_the_square_with_its_allowance():
    patchwork = build("string panels", panel_finished="8 in", strips_cut=["2 in", "1 3/4 in"])
    assert patchwork.finished == pytest.approx((8, 8))
    assert {round(piece.cut["width"], 6) for piece in pieces(patchwork)} == {1.75, 2.0}
    assert all(patch.sewn for patch in patchwork.patches)
    reach = max((y - x) / ROOT2 for patch in patchwork.patches for x, y in patch.sewn)
    assert reach + 0.25 >= (4 + 0.25) * ROOT2 - 1e-9


def test_a_string_that_would_hardly_show_in_its_corner_is_left_out_and_the_one_before_cut_to_reach_it():
    patchwork = build("string panels", panel_finished="8 in", strips_cut=["2 in", "1 1/2 in"])
    widths = [piece.cut["width"] for piece in pieces(patchwork)]
    outermost = 0.5 + (8 / ROOT2 + 0.25 * (ROOT2 - 1)) - (0.75 + 1 + 1.5 + 1)
    assert sorted({round(width, 6) for width in widths}) == [1.5, 2.0, round(outermost, 6)]


@pytest.mark.parametrize(
    ("family", "keys", "said"),
    [
        ("flying geese", {"goose_finished": "1/4 in"}, "`design.goose_finished` is 0.25 in"),
        ("square in square", {"block_finished": "2 in", "rounds": 6}, "after 6 rounds"),
        ("eight-pointed star", {"block_finished": "1 in"}, "the edge of the diamonds"),
        ("chevron", {"strip_cut": "3/4 in"}, "`design.strip_cut` is ¾"),
        ("bargello", {"shifts": [0.3]}, "`design.shifts` holds 0.3"),
        ("bargello", {"strip_cut": "1 1/4 in", "shifts": [0.5]}, "halved by the `shifts`"),
        ("bargello", {"widths_cut": ["7/8 in"]}, "`design.widths_cut` less two allowances"),
        ("sixty degrees", {"shape": "triangles", "slots": ["one"]}, "`design.slots` holds 1 slots for triangles"),
        ("sixty degrees", {"edge_finished": "3/4 in"}, "the shortest edge of the halves"),
        ("whirl", {"rectangle_finished": "3/8 in"}, "`design.rectangle_finished` is 0.375 in"),
        ("pinwheel", {"block_finished": "3/4 in"}, "a square of"),
        ("string panels", {"strips_cut": ["7/8 in"]}, "`design.strips_cut` less two allowances"),
        ("string panels", {"panel_finished": "400 in", "columns": 100}, "patches"),
    ],
)
def test_keys_that_leave_no_room_are_refused_by_name(family, keys, said):
    with pytest.raises(PatchworkError) as caught:
        build(family, **keys)
    assert said in str(caught.value)
    assert caught.value.needed
    assert caught.value.do


def test_each_goose_with_its_sky_is_a_unit_of_its_flight():
    patchwork = build("flying geese", columns=2, geese=5, running="alternate")
    assert {unit.name: unit.copies for unit in patchwork.units.list_all()} == {"goose unit": 10, "flight": 2, "top": 1}
