"""The grain of drawn patches: equal patches at several turns are cut alike, so that equal parts are one unit."""

from cmath import rect
from dataclasses import replace
from itertools import pairwise
from math import cos, pi, radians, sin, sqrt

import pytest
import shapely

from kit.checks.cut_list_check import check_cut_list
from kit.errors import CheckError
from kit.geometry.outlines import turn_outline
from kit.pipeline import make_pattern
from kit.planning.pieces.cut_list import cut_list
from kit.study.read_file import read_study

FABRIC = """
[[fabric]]
slot = "{slot}"
name = "{slot} cloth"
colour = "#336699"
form = "yardage"
width = "42 in"
price = 1
"""
FLAT = cos(pi / 12)
"""From the middle of a twelve-sided top of radius 1 to its sides."""


def write_study(outlines, slots, more=""):
    """Write a study of bare outlines, its lower left corner at the origin."""
    left, low = min(x for o in outlines for x, _ in o), min(y for o in outlines for _, y in o)
    rows = [
        f'"{slot}: ' + " ".join(f"{abs(x - left):.9f}in,{abs(y - low):.9f}in" for x, y in outline) + '"'
        for slot, outline in zip(slots, outlines, strict=True)
    ]
    cloth = "".join(FABRIC.format(slot=slot) for slot in dict.fromkeys(slots))
    return f'title = "Drawn"\n[design]\nfamily = "outlines"\noutlines = [\n{", ".join(rows)}]\n{more}{cloth}'


def draw_arm(radius, shares, last):
    """Cut a wedge of a twelfth turn, its tip in the middle, into 16 patches that lean: a tip, pairs, and threes."""

    def place(height, along):
        return height * FLAT, height * sin(pi / 12) * along

    rings = [radius * part / 12 for part in (3, 4.5, 6, 7.5, 9, 10.5, 12)]
    arm = [[(0.0, 0.0), place(rings[0], -1), place(rings[0], 1)]]
    for k, (low, high) in enumerate(pairwise(rings)):
        lean = [(-1, -1), shares[k], (1, 1)] if k < 3 else [(-1, -1), last[k - 3], shares[k], (1, 1)]
        for (a, b), (c, d) in pairwise(lean):
            arm.append([place(low, a), place(high, b), place(high, d), place(low, c)])
    return arm


def draw_wedges(radius=12.0, shares=None, last=None):
    """Draw twelve equal arms and the four corners that fill the square; four arms reach the edge of the drawing."""
    shares = shares or [(0.21, -0.07), (-0.17, 0.2), (0.11, 0.26), (0.31, 0.24), (0.4, 0.22), (0.35, 0.3)]
    last = last or [(-0.35, -0.21), (-0.24, -0.41), (-0.2, -0.3)]
    arm = draw_arm(radius, shares, last)
    outlines = [turn_outline(o, 30 * k) for k in range(12) for o in arm]
    ring = [rect(radius, radians(15 + 30 * k)) for k in range(12)]
    half = radius * FLAT
    for k, corner in enumerate([(half, half), (-half, half), (-half, -half), (half, -half)]):
        outlines.append([corner, *((z.real, z.imag) for z in reversed(ring[3 * k : 3 * k + 3]))])
    return outlines, ["arm"] * 192 + ["corner"] * 4


def test_twelve_equal_arms_of_sixteen_pieces_are_one_unit_made_twelve_times():
    pattern = make_pattern(read_study(write_study(*draw_wedges())), "quick")
    arms = [unit for unit in pattern.sewing.units if len(unit.copies[0]) == 16]
    assert [unit.count for unit in arms] == [12]
    assert sum(piece.count == 12 for piece in pattern.cut_list.pieces if piece.slot == "arm") == 16
    assert [step.unit for step in pattern.sewing.steps].count(arms[0].name) < 16  # its steps are written once


@pytest.mark.parametrize("radius", [11.0, 13.37, 17.2])
def test_arms_of_other_sizes_are_cut_alike_too(radius):
    study = read_study(write_study(*draw_wedges(radius)))
    pieces = cut_list(study.make_patchwork()).pieces
    assert sorted(piece.count for piece in pieces if piece.slot == "arm") == [12] * 16


def test_a_star_of_kites_is_one_piece_cut_on_one_grain():
    # twelve kites round a point, the angle at the middle 30 degrees; both long edges tie for the grain
    r = 8.0
    kite = [(0.0, 0.0), (r * FLAT, -r * sin(pi / 12)), (r * 1.2, 0.0), (r * FLAT, r * sin(pi / 12))]
    tips = [rect(r * 1.2, radians(30 * k)) for k in range(12)]
    valleys = [rect(r, radians(30 * k + 15)) for k in range(12)]
    outlines = [turn_outline(kite, 30 * k) for k in range(12)]
    half = r * 1.2
    for k, corner in enumerate([(half, half), (-half, half), (-half, -half), (half, -half)]):
        ring = [z for n in range(3 * k, 3 * k + 3) for z in (tips[n], valleys[n])] + [tips[(3 * k + 3) % 12]]
        outlines.append([corner, *((z.real, z.imag) for z in reversed(ring))])
    study = read_study(write_study(outlines, ["kite"] * 12 + ["corner"] * 4))
    cuts = cut_list(study.make_patchwork())
    kites = [piece for piece in cuts.pieces if piece.slot == "kite"]
    assert [piece.count for piece in kites] == [12]
    assert not all(kites[0].bias)


def test_a_flower_of_hexagons_is_one_piece_as_before():
    side, out = 2.0, sqrt(3)
    middles = [0j, *(rect(side * out, radians(60 * k)) for k in range(6))]
    flower = [
        [((m + rect(side, radians(60 * k + 30))).real, (m + rect(side, radians(60 * k + 30))).imag) for k in range(6)]
        for m in middles
    ]
    study = write_study([*flower, *fill_round(flower)], ["petal"] * 7 + ["ground"] * 2)
    read = read_study(study)
    patchwork = read.make_patchwork()
    petals = [piece for piece in cut_list(patchwork).pieces if piece.slot == "petal"]
    assert [piece.count for piece in petals] == [7]
    assert {round(patch.grain % 90, 3) for patch in patchwork.patches if patch.slot == "petal"} == {0.0}


def fill_round(flower):
    """Return the left and right half of the ground round a flower, in a square of 13 in about its middle."""
    petals = shapely.union_all([shapely.Polygon(p).buffer(1e-7, join_style="mitre") for p in flower])
    around = shapely.box(-6.5, -6.5, 6.5, 6.5).difference(petals)
    halves = [around.intersection(shapely.box(-7, -7, 0, 7)), around.intersection(shapely.box(0, -7, 7, 7))]
    return [list(half.exterior.coords)[:-1] for half in halves]


def test_a_grain_that_the_designer_gave_stands_and_leaves_the_others_alike():
    outlines, slots = draw_wedges()
    left, low = -12 * FLAT, -12 * FLAT
    x, y = (sum(p[i] for p in outlines[20]) / len(outlines[20]) - (left, low)[i] for i in (0, 1))
    study = read_study(write_study(outlines, slots, f'[design.grain]\n"17" = "{x:.4f}in,{y:.4f}in"\n'))
    patchwork = study.make_patchwork()
    assert [patch.grain for patch in patchwork.patches].count(17.0) == 1
    assert sorted(p.count for p in cut_list(patchwork).pieces if p.slot == "arm") in ([1, 11] + [12] * 15, [12] * 16)


def test_right_triangles_with_equal_legs_keep_legs_or_long_side_on_the_grain():
    # a square on point in a square, twice: outside the legs, inside the long sides run along the edges
    outlines = [
        [(0, 0), (4, 0), (0, 4)], [(8, 0), (8, 4), (4, 0)], [(8, 8), (4, 8), (8, 4)], [(0, 8), (0, 4), (4, 8)],
        [(4, 0), (8, 4), (4, 4)], [(8, 4), (4, 8), (4, 4)], [(4, 8), (0, 4), (4, 4)], [(0, 4), (4, 0), (4, 4)],
    ]  # fmt: skip
    study = read_study(write_study(outlines, ["sail"] * 8))
    pieces = cut_list(study.make_patchwork()).pieces
    assert [(piece.kind, piece.count) for piece in pieces] == [("half-square triangle", 8)]


def test_a_piece_with_the_grain_of_one_arm_turned_is_refused():
    study = read_study(write_study(*draw_wedges()))
    patchwork = study.make_patchwork()
    cuts = cut_list(patchwork)
    check_cut_list(patchwork, cuts)
    template = next(p for p in cuts.pieces if p.kind == "template" and p.slot == "arm" and len(p.patches) == 12)
    turned = replace(patchwork.by_id[template.patches[5]], grain=patchwork.by_id[template.patches[5]].grain + 10)
    patches = tuple(turned if patch.id == turned.id else patch for patch in patchwork.patches)
    with pytest.raises(CheckError, match=template.id):
        check_cut_list(replace(patchwork, patches=patches), cuts)
