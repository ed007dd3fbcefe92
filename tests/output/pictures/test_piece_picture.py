"""Every shaped piece is drawn with its measures; a trim is drawn from nearby; the top is drawn taken apart."""

from math import ceil, dist
from pathlib import Path

import pytest
import shapely
from printed import pattern_of

import kit
from kit.output.pictures.exploded_picture import draw_exploded
from kit.output.pictures.piece_picture import draw_pieces
from kit.output.pictures.trim_picture import draw_trim
from kit.output.words.step_words import StepSentences

STUDIES = sorted(path.stem for path in Path("data/studies").glob("*.toml"))
MEASURES = {
    "half-square triangle": 2, "quarter-square triangle": 1, "half-rectangle triangle": 2, "60° triangle": 2,
    "parallelogram": 2, "trapezoid": 3, "template": 2,
}  # fmt: skip
"""How many measures a maker sets on the ruler or checks for each shape (common practice, no source)."""
LEGIBLE = 8 * 25.4 / 72
"""Millimetres of 8 pt."""


def is_oblong(outline):
    """Four corners, all square: told from the corners alone."""
    if len(outline) != 4:
        return False
    (a, b, c, d) = outline
    return abs(dist(a, c) - dist(b, d)) < 1e-6 and abs(dist(a, b) - dist(c, d)) < 1e-6


def fits_up(inches, step):
    return ceil(inches / step - 1e-6) * step


@pytest.mark.parametrize("name", STUDIES)
def test_every_shaped_piece_has_one_drawing_with_its_measures(name):
    """Counted from the outlines of the cut list, whatever the kit calls the shapes."""
    pattern = pattern_of(name)
    wanted = sorted(piece.id for piece in pattern.making.pieces if not is_oblong(piece.outline))
    drawn = draw_pieces(pattern)
    assert sorted(piece for one in drawn for piece in one.pieces) == wanted
    pieces, step = {piece.id: piece for piece in pattern.making.pieces}, pattern.cut_list.step
    for one in drawn:
        for piece in map(pieces.get, one.pieces):
            said = [note.text for note in one.drawing.notes]
            lengths = [kit.read_length(text) for text in said if not text.endswith("°")]
            assert len(lengths) == MEASURES[piece.kind]
            turned = shapely.Polygon(piece.outline)
            edges = [dist(a, b) for a, b in zip(piece.outline, (*piece.outline[1:], piece.outline[0]), strict=True)]
            heights = [2 * turned.area / edge for edge in edges] if len(edges) == 3 else []
            sides = [rest_on(piece.outline, edge) for edge in range(len(edges))]
            box = turned.bounds
            could = [*edges, *heights, *sides, box[2] - box[0], box[3] - box[1]]
            for length in lengths:
                assert min(abs(length - fits_up(inches, step)) for inches in could) < 1e-6, (piece.id, length)
            angles = [float(text[:-1]) for text in said if text.endswith("°")]
            right = len(edges) - len(angles)
            assert sum(angles) + 90 * right == pytest.approx(180 * (len(edges) - 2), abs=0.3)


def rest_on(outline, edge):
    """Return how high the outline stands on an edge."""
    a, b = outline[edge], outline[(edge + 1) % len(outline)]
    long = dist(a, b)
    nx, ny = (a[1] - b[1]) / long, (b[0] - a[0]) / long
    return max((x - a[0]) * nx + (y - a[1]) * ny for x, y in outline)


@pytest.mark.parametrize("name", ["regatta-bay", "boat-shed"])
def test_words_in_the_pictures_lie_within_them_at_eight_points_and_clear_of_one_another(name):
    for one in draw_pieces(pattern_of(name)):
        left, bottom, right, top = one.drawing.box
        scale = one.room[0] / (right - left)
        assert scale == pytest.approx(one.room[1] / (top - bottom), rel=1e-6)
        boxes = []
        for note in one.drawing.notes:
            assert note.height * scale >= LEGIBLE - 0.01
            half = 0.25 * len(note.text) * note.height
            boxes.append(shapely.box(note.at[0] - half, note.at[1], note.at[0] + half, note.at[1] + 0.7 * note.height))
            assert shapely.box(left, bottom, right, top).covers(boxes[-1]), (one.heading, note.text)
        assert all(not a.intersects(b) for i, a in enumerate(boxes) for b in boxes[:i]), one.heading


def test_a_blunt_ruler_has_its_line_and_its_strip():
    keys = kit.study_keys(kit.open_study("data/studies/harbour-wheel.toml"))
    keys["cutting"] = {**keys.get("cutting", {}), "points": "blunt"}
    pattern = kit.make_pattern(kit.study_from_keys(keys), "quick")
    blunt = {cut.piece: cut for cut in pattern.making.blunt}
    assert blunt
    drawn = {piece: one for one in draw_pieces(pattern) for piece in one.pieces}
    for name, cut in blunt.items():
        texts = [kit.read_length(note.text) for note in drawn[name].drawing.notes if not note.text.endswith("°")]
        assert texts == [pytest.approx(cut.rounded)]
        ends = [line.points for line in drawn[name].drawing.lines if len(line.points) == 2 and line.width > 2]
        assert [dist(*points) for points in ends] == [pytest.approx(cut.short, abs=cut.long * 0.2)]


@pytest.mark.parametrize("name", ["tideline", "boat-shed", "net-loft", "harbour-light", "harbour-wheel"])
def test_a_trim_from_nearby_shows_the_points_and_the_cut_the_allowance_outside_them(name):
    pattern = pattern_of(name)
    writer, allowance = StepSentences(pattern, pattern.sewing), pattern.cut_list.allowance
    trims = [step for step in pattern.sewing.steps if step.kind == "trim"]
    assert trims
    for step in trims:
        drawing = draw_trim(pattern, step, writer.places, (32.0, 32.0), LEGIBLE)
        (arrow,) = drawing.arrows
        assert dist(*arrow.points) == pytest.approx(allowance)
        dashed = shapely.MultiLineString([line.points for line in drawing.lines if line.dash])
        solid = shapely.MultiLineString([line.points for line in drawing.lines if not line.dash])
        assert dashed.distance(shapely.Point(arrow.points[0])) < 1e-4
        assert solid.distance(shapely.Point(arrow.points[1])) < 1e-4
        assert dashed.distance(solid) == pytest.approx(allowance, abs=1e-6)
        points = [dot for dot in drawing.dots if dot.fill != "#ffffff"]
        assert all(dashed.distance(shapely.Point(dot.at)) < 1e-3 for dot in points)
        assert [note.text for note in drawing.notes] == ["¼\u00a0in"]


@pytest.mark.parametrize("name", ["lamplight", "harbour-wheel", "saltmarsh", "slipway"])
def test_the_top_taken_apart_has_every_patch_once_and_no_part_over_another(name):
    pattern = pattern_of(name)
    drawing = draw_exploded(pattern, (180.0, 68.0), LEGIBLE)
    assert sorted(polygon.label for polygon in drawing.polygons) == sorted(pattern.patchwork.by_id)
    whole = shapely.union_all([shapely.Polygon(polygon.points).buffer(-1e-4) for polygon in drawing.polygons])
    assert whole.area == pytest.approx(sum(shapely.Polygon(p.points).area for p in drawing.polygons), rel=2e-3)
    top = [step for step in pattern.sewing.steps if step.unit == pattern.sewing.units[-1].name and step.second]
    assert sorted(int(note.text) for note in drawing.notes) == sorted(step.told for step in top)
