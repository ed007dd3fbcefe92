"""Templates: measured from the vectors of the PDF, they are the pieces, and so are the test squares."""

from io import BytesIO
from itertools import combinations
from math import dist
from types import SimpleNamespace

import pdfplumber
import pytest
from printed import document_of, pattern_of

from kit.geometry.outlines import measure_angles, measure_edges
from kit.model.cutting import CutList
from kit.model.patchwork import patchwork_from_outlines
from kit.output.pictures.page_tiles import AREA, COMMON, MARGIN, OVERLAP, SQUARES, TOP
from kit.output.pictures.templates import lay_out_templates
from kit.planning.pieces.cut_list import cut_list

POINTS = 72 / 25.4


@pytest.fixture(params=["Letter", "A4"])
def page(request):
    with pdfplumber.open(BytesIO(document_of("slipway", request.param))) as pdf:
        yield pdf.pages[-1]


def list_polygons(page):
    """Return the corners, in millimetres, of every closed outline that the page's vectors draw."""
    shapes = []
    for curve in [*page.curves, *page.rects, *page.lines]:
        points = [(x / POINTS, y / POINTS) for x, y in curve["pts"]]
        if len(points) > 1 and dist(points[0], points[-1]) < 1e-3:
            points.pop()
        shapes.append(points)
    return shapes


def test_the_outline_on_paper_is_the_cut_piece_to_a_tenth_of_a_millimetre(page):
    piece = next(piece for piece in pattern_of("slipway").cut_list.pieces if piece.kind == "template")
    wanted = sorted(edge * 25.4 for edge in measure_edges(piece.outline))
    drawn = [sorted(measure_edges(points)) for points in list_polygons(page) if len(points) == len(piece.outline)]
    assert any(all(abs(a - b) < 0.1 for a, b in zip(edges, wanted, strict=True)) for edges in drawn)


def test_the_seam_line_on_paper_lies_the_allowance_within(page):
    pattern = pattern_of("slipway")
    piece = next(piece for piece in pattern.cut_list.pieces if piece.kind == "template")
    wanted = sorted(size * 25.4 for size in measure_edges(pattern.patchwork.by_id[piece.patches[0]].outline))
    drawn = [sorted(measure_edges(points)) for points in list_polygons(page) if len(points) == len(piece.outline)]
    assert any(all(abs(a - b) < 0.1 for a, b in zip(edges, wanted, strict=True)) for edges in drawn)


def test_both_test_squares_measure_what_they_say(page):
    sides = [(rect["width"] / POINTS, rect["height"] / POINTS) for rect in page.rects if rect["width"] > 20 * POINTS]
    for side in SQUARES:
        assert any(abs(wide - side) < 0.01 and abs(high - side) < 0.01 for wide, high in sides)


def test_name_count_and_page_stand_on_the_sheet(page):
    text = page.extract_text()
    piece = next(piece for piece in pattern_of("slipway").cut_list.pieces if piece.kind == "template")
    assert f"{piece.id} {piece.name}" in text
    assert f"cut {piece.count} of {piece.slot}" in text
    assert "template sheet 1 of 1" in text
    assert "1 in" in text
    assert "3 cm" in text


def make_sheets(outlines):
    patchwork = patchwork_from_outlines(outlines)
    cuts = cut_list(patchwork)  # what is made of it and what is cut are the same: there are no units
    return lay_out_templates(SimpleNamespace(patchwork=patchwork, cut_list=cuts, making=cuts))


KITE = ((0.0, 0.0), (4.0, 0.5), (5.0, 3.0), (1.0, 2.0))
TALL = ((0.0, 0.0), (11.0, 1.0), (12.0, 13.0), (0.5, 12.0))


def test_everything_lies_within_what_both_papers_have_in_common():
    for sheet in make_sheets([KITE]):
        for template in sheet.templates:
            assert all(MARGIN <= x <= COMMON[0] - MARGIN and TOP <= y <= TOP + AREA[1] for x, y in template.cut)
        for square in sheet.squares:
            assert MARGIN <= square.corner[0] <= COMMON[0] - MARGIN - square.side
            assert TOP + AREA[1] < square.corner[1] <= COMMON[1] - MARGIN - square.side


def test_a_template_is_turned_over_on_its_way_to_paper_never():
    template = make_sheets([KITE])[0].templates[0]
    up = [(x, -y) for x, y in template.cut]
    piece = cut_list(patchwork_from_outlines([KITE])).pieces[0]
    turns = measure_angles(up)
    assert any(
        all(abs(a - b) < 1e-6 for a, b in zip(turns[i:] + turns[:i], measure_angles(piece.outline), strict=True))
        for i in range(len(turns))
    )


def test_a_mirror_image_shares_the_template_and_is_counted_as_reversed():
    mirrored = tuple((-x, y) for x, y in reversed(KITE))
    pieces = [cut_list(patchwork_from_outlines([shape])).pieces[0] for shape in (KITE, mirrored)]
    patchwork = patchwork_from_outlines([KITE])
    cuts = CutList((pieces[0], pieces[1]), 0.25)
    both = SimpleNamespace(patchwork=patchwork, cut_list=cuts, making=cuts)
    (sheet,) = lay_out_templates(both)
    (template,) = sheet.templates
    assert len(template.words) == 3
    assert template.words[2].endswith("reversed")
    assert not template.words[1].endswith("reversed")


def test_a_large_template_is_tiled_with_crosses_that_neighbours_share():
    sheets = make_sheets([TALL])
    assert [sheet.part for sheet in sheets] == list(range(1, len(sheets) + 1))
    assert {sheet.parts for sheet in sheets} == {len(sheets)}
    neighbours = 0
    for one, two in combinations(sheets, 2):
        shift = [b - a for a, b in zip(one.templates[0].cut[0], two.templates[0].cut[0], strict=True)]
        if sorted(map(round, map(abs, shift))) in ([0, round(AREA[0] - OVERLAP)], [0, round(AREA[1] - OVERLAP)]):
            neighbours += 1
            moved = {(round(x + shift[0], 6), round(y + shift[1], 6)) for x, y in one.crosses}
            assert len(moved & {(round(x, 6), round(y, 6)) for x, y in two.crosses}) >= 2
    assert neighbours >= 4


def test_the_parts_of_a_large_template_cover_it():
    sheets = make_sheets([TALL])
    wide = max(x for sheet in sheets[:1] for x, _ in sheet.templates[0].cut) - MARGIN
    high = max(y for sheet in sheets[:1] for _, y in sheet.templates[0].cut) - TOP
    corner = sheets[0].templates[0].cut[0]
    right = max(AREA[0] + MARGIN - (s.templates[0].cut[0][0] - corner[0]) for s in sheets) - MARGIN
    low = max(AREA[1] + TOP - (s.templates[0].cut[0][1] - corner[1]) for s in sheets) - TOP
    assert right >= wide > AREA[0]
    assert low >= high > AREA[1]
    assert OVERLAP > 0


def test_a_design_of_squares_has_no_templates():
    assert make_sheets([((0, 0), (2, 0), (2, 2), (0, 2))]) == ()
