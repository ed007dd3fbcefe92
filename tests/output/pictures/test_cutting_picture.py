"""Cutting diagrams against the plans: every piece drawn once, inside the cloth, over no other, to scale.

Overlaps are found with shapely, a general geometry library.
"""

from collections import Counter
from dataclasses import replace
from math import ceil

import pytest
import shapely

import kit
from kit.designs import Braid
from kit.output.pictures.cutting_picture import BOUGHT, LEFT, LEFT_OVER, LOSS, SPARE, SQUARED, draw_cloth, draw_cutting
from kit.output.pictures.svg import write_svg
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list
from kit.study import study_from_keys, study_keys

PALE = {LEFT_OVER, LOSS, BOUGHT}
CASES = {
    "tideline": {}, "gull-point": {"geese": "four at a time"}, "ferry-steps": {"strip_sets": "sewn and cut across"},
    "chandlery": {}, "slipway": {}, "lamplight": {},
}  # fmt: skip


@pytest.fixture(scope="module", params=CASES)
def sketch(request):
    keys = study_keys(kit.open_study(f"data/studies/{request.param}.toml"))
    cutting = CASES[request.param]
    return kit.make_sketch(study_from_keys(keys | ({"cutting": cutting} if cutting else {})))


def list_pieces(drawing):
    return [polygon for polygon in drawing.polygons if polygon.fill not in PALE]


def test_every_piece_of_the_plan_is_drawn_once_under_its_name(sketch):
    drawings = draw_cutting(sketch)
    hands = {piece.id: piece.hand for piece in sketch.making.pieces}
    assert len(drawings) == len(sketch.cutting.cloths)
    for plan, drawing in zip(sketch.cutting.cloths, drawings.values(), strict=True):
        drawn = Counter(polygon.label for polygon in list_pieces(drawing))
        wanted = Counter()
        for strip in plan.strips:
            for cut in strip.cuts:
                name = f"{cut.piece}, {hands[cut.piece]}" if hands[cut.piece] else cut.piece
                wanted[f"{cut.piece}, to be joined" if cut.joined else name] += 1 if cut.joined else cut.count
        assert drawn == wanted


def test_pieces_lie_inside_the_cloth_and_over_no_other(sketch):
    for plan, drawing in zip(sketch.cutting.cloths, draw_cutting(sketch).values(), strict=True):
        left, _, right, top = drawing.box
        shapes = [shapely.Polygon(polygon.points) for polygon in list_pieces(drawing)]
        cloth = shapely.box(left, 0, right, top).buffer(1e-6)
        assert all(cloth.covers(shape) for shape in shapes)
        assert shapely.union_all(shapes).area == pytest.approx(sum(shape.area for shape in shapes), rel=1e-6)
        wide = max(strip.length for strip in plan.strips)
        assert right - left == wide


def test_the_drawing_is_as_long_as_what_is_bought(sketch):
    for plan, drawing in zip(sketch.cutting.cloths, draw_cutting(sketch).values(), strict=True):
        if plan.supply.form != "yardage":
            continue
        _, bottom, _, top = drawing.box
        strips = plan.used + plan.squaring_up
        need = strips + ceil(max(0.05 * strips, 1.0) * 8 - 1e-6) / 8  # the margin: five in a hundred, an inch at least
        assert top - bottom == pytest.approx(ceil((need - 1e-6) / 4.5) * 4.5)  # eighths of a yard
        bands = {polygon.label: polygon for polygon in drawing.polygons}
        assert bands[SQUARED].fill == LOSS
        heights = sum(max(y for _, y in p.points) - min(y for _, y in p.points)
                      for p in drawing.polygons if p.label == LEFT)  # fmt: skip
        assert heights == pytest.approx(plan.used)
        assert (SPARE in bands) == (top > plan.used + 1e-6)


def test_the_title_says_what_is_used_and_left(sketch):
    for plan, drawing in zip(sketch.cutting.cloths, draw_cutting(sketch).values(), strict=True):
        assert drawing.title.startswith(plan.supply.fabric)
        area = sum(shapely.Polygon(polygon.points).area for polygon in list_pieces(drawing))
        whole = sum(strip.height * strip.length for strip in plan.strips)
        assert drawing.title.endswith(f"{100 * (1 - area / whole):.0f} % of the strips is left over")


def test_each_kind_of_piece_in_a_strip_is_named(sketch):
    for plan, drawing in zip(sketch.cutting.cloths, draw_cutting(sketch).values(), strict=True):
        words = Counter(polygon.word for polygon in list_pieces(drawing) if polygon.word)
        wanted = Counter(name for strip in plan.strips for name in {cut.piece for cut in strip.cuts})
        assert words == wanted


# Folded strips


@pytest.fixture(scope="module")
def folded():
    patchwork = Braid(family="braid", columns=2, pairs=12).patchwork(0.25).verify()
    cuts = cut_list(patchwork)
    cloth = next(cloth for cloth in cutting_plan(cuts).cloths if any(strip.folded for strip in cloth.strips))
    return cuts, cloth


def test_a_folded_strip_is_drawn_half_as_long_with_one_piece_of_each_pair(folded):
    cuts, cloth = folded
    pieces = {piece.id: piece for piece in cuts.pieces}
    single, double = (draw_cloth(cloth, layers=layers, pieces=pieces) for layers in ("single", "folded"))
    both, one = (Counter(polygon.label for polygon in list_pieces(drawing)) for drawing in (single, double))
    lefts, rights = (sum(n for label, n in both.items() if label.endswith(hand)) for hand in ("left", "right"))
    assert lefts == rights > 0
    in_pairs = sum(n for label, n in one.items() if label.endswith(("left", "right")))
    assert in_pairs == lefts  # k double cuts are k left and k right
    count = sum(strip.folded for strip in cloth.strips)
    assert f"{count} folded, cut through two layers" in double.title
    halves = [p for p in double.polygons if p.label == LEFT and max(x for x, _ in p.points) == cloth.supply.width / 2]
    assert len(halves) == count
    folds = [line for line in double.lines if line.dash]
    assert {x for line in folds for x, _ in line.points} == {cloth.supply.width / 2}
    shapes = [shapely.Polygon(polygon.points) for polygon in list_pieces(double)]
    assert shapely.union_all(shapes).area == pytest.approx(sum(shape.area for shape in shapes), rel=1e-6)


def test_without_a_fold_both_drawings_are_the_same(sketch):
    for plan, drawing in zip(sketch.cutting.cloths, draw_cutting(sketch, "folded").values(), strict=True):
        if not any(strip.folded for strip in plan.strips):
            other = draw_cutting(sketch)[plan.supply.fabric]
            assert drawing == other


# On paper and screen


def test_names_reach_the_picture_as_text_only(folded):
    _, cloth = folded
    nasty = replace(cloth, supply=replace(cloth.supply, fabric="<script>alert(1)</script> & co"))
    text = write_svg(draw_cloth(nasty))
    assert "<script" not in text
    assert "&lt;script&gt;" in text


def test_a_pattern_writes_one_diagram_a_cloth_and_no_two_under_one_name():
    keys = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
    keys["fabric"][0]["name"], keys["fabric"][1]["name"] = "Fog & Foam", "Fog, Foam"
    pattern = kit.make_pattern(study_from_keys(keys))
    files = dict(kit.output.files.files.list_files(pattern))
    names = [name for name in files if "-cutting-" in name]
    assert len(names) == len(pattern.cutting.cloths)
    assert {"ferry-steps-cutting-fog-foam.svg", "ferry-steps-cutting-fog-foam-2.svg"} <= set(names)
    assert all(files[name].startswith("<svg") for name in names)
