"""Foundations read back out of the PDF: turned over they are the block, and the block can be sewn by them alone."""

from dataclasses import replace
from io import BytesIO
from itertools import pairwise
from math import dist

import pdfplumber
import pytest
import shapely
from blocks import enlarge, sawtooth_star
from hypothesis import given, settings
from hypothesis import strategies as st
from printed_foundations import lay_at, read_papers, turn_over
from pypdf import PdfReader
from subdivisions import draw_subdivision

from kit import paper_pages
from kit.checks.foundation_check import check_foundation_plan
from kit.checks.paper_print_check import PrintedPaper, check_printed_papers
from kit.designs.svg_outlines import read_outlines
from kit.errors import CheckError, KitError
from kit.geometry.outlines import tidy_outline
from kit.model.patchwork import patchwork_from_outlines
from kit.output.document.foundation_pages import set_foundations
from kit.output.pictures.foundation_papers import lay_out_papers
from kit.paper_pages import write_foundations
from kit.planning.foundations.foundation_plan import foundation_plan

TENTH_OF_A_MILLIMETRE = 0.1 / 25.4
BLOCKS = ("gull", "lighthouse", "compass")


def plan_of(outlines, slots=None):
    return foundation_plan(patchwork_from_outlines(outlines, slots), "top")


def star_plan():
    return plan_of(enlarge(sawtooth_star(), 1))


def far(one, other):
    return max(shapely.hausdorff_distance(one.boundary, other.boundary), 0)


def read_whole(plan, **wishes):
    papers = read_papers(set_foundations(plan, **wishes))
    assert sorted(papers) == sorted(section.name for section in plan.sections)
    return [papers[section.name] for section in plan.sections]


@pytest.mark.parametrize("scale", [0.5, 1.0, 1.5])
def test_a_mirrored_print_turned_over_is_the_block(scale):
    plan = star_plan()
    outlines = dict(plan.target)
    for section, (cells, outline, trim) in zip(plan.sections, read_whole(plan, scale=scale), strict=True):
        drawn = shapely.affinity.scale(shapely.Polygon(section.outline), scale, scale, origin=(0, 0))
        seen = turn_over(outline)
        assert far(lay_at(seen, drawn), drawn) < TENTH_OF_A_MILLIMETRE
        dx, dy = drawn.bounds[0] - seen.bounds[0], drawn.bounds[1] - seen.bounds[1]
        assert sorted(cells) == [piece.number for piece in section.pieces]
        for piece in section.pieces:
            letter, cell = cells[piece.number]
            patch = shapely.affinity.scale(shapely.Polygon(outlines[piece.patch]), scale, scale, origin=(0, 0))
            here = shapely.affinity.translate(turn_over(cell), dx, dy)
            assert far(here, patch) < TENTH_OF_A_MILLIMETRE
            assert letter == plan.roles[piece.slot]
        assert outline.boundary.distance(trim.boundary) == pytest.approx(0.25, abs=TENTH_OF_A_MILLIMETRE)


def test_an_unmirrored_print_is_the_block_as_it_lies_and_not_turned_over():
    plan = foundation_plan(
        patchwork_from_outlines(enlarge([((0, 0), (4, 0), (0, 3)), ((4, 0), (4, 3), (0, 3))], 1)), "top"
    )
    for mirrored in (True, False):
        ((cells, _, _),) = read_whole(plan, mirrored=mirrored)
        first = shapely.Polygon(dict(plan.target)[plan.sections[0].pieces[0].patch])
        _, cell = cells[1]
        assert (far(lay_at(turn_over(cell), first), first) < TENTH_OF_A_MILLIMETRE) == mirrored
        assert (far(lay_at(cell, first), first) > TENTH_OF_A_MILLIMETRE) == mirrored


def sew_by_the_page(plan, papers):
    """Return the plan with every outline, number and line as printed; the cloth and the joins are as they were told."""
    sections, target = [], []
    for section, (cells, outline, _) in zip(plan.sections, papers, strict=True):
        seen = turn_over(outline)
        wanted = shapely.Polygon(section.outline)
        dx, dy = wanted.bounds[0] - seen.bounds[0], wanted.bounds[1] - seen.bounds[1]
        read = {n: shapely.affinity.translate(turn_over(cell), dx, dy) for n, (_, cell) in cells.items()}
        pieces, sewn = [], None
        for piece in section.pieces:
            shape, line = read[piece.number], None
            corners = tidy_outline(shapely.normalize(shape).reverse().exterior.coords)
            if sewn is not None:
                edges = [shapely.LineString(pair) for pair in pairwise([*corners, corners[0]])]
                met = max((edge.intersection(sewn.buffer(3e-3)) for edge in edges), key=shapely.length)
                if not met.is_empty:
                    ends = [tuple(end) for end in shapely.get_coordinates(met)]
                    best = min(ends), max(ends)
                    line = best if _on_left(best, shape) else best[::-1]
            pieces.append(replace(piece, line=line))
            target.append((piece.patch, corners))
            sewn = shape if sewn is None else shapely.union(sewn, shape, grid_size=1e-4)
        sections.append(
            replace(
                section,
                pieces=tuple(pieces),
                outline=tuple(shapely.affinity.translate(seen, dx, dy).exterior.coords)[:-1],
            )
        )
    return replace(plan, sections=tuple(sections), target=tuple(target))


def _on_left(ends, shape):
    (ax, ay), (bx, by) = ends
    middle = shape.representative_point()
    return (bx - ax) * (middle.y - ay) - (by - ay) * (middle.x - ax) > 0


@pytest.mark.parametrize("block", BLOCKS)
def test_our_own_blocks_are_sewn_by_their_drawings(block):
    """A gull, a lighthouse and a compass of 16 points; each papers' order from the data, each sewn in the check."""
    drawn = read_outlines(f"data/studies/drawings/{block}.svg")
    plan = plan_of([one.outline for one in drawn], [one.slot for one in drawn])
    check_foundation_plan(plan)
    assert plan.least == len(plan.sections)
    if block == "compass":
        check_foundation_plan(sew_by_the_page(plan, read_whole(plan)))


def test_numbers_swapped_on_the_page_are_refused():
    plan = star_plan()
    papers = read_whole(plan)
    check_foundation_plan(sew_by_the_page(plan, papers))
    at = next(k for k, (cells, _, _) in enumerate(papers) if len(cells) > 3)
    cells, outline, trim = papers[at]
    order = sorted(cells)
    turned = dict(zip(order, [cells[order[-1]], *(cells[n] for n in order[1:-1]), cells[order[0]]], strict=True))
    papers[at] = turned, outline, trim
    with pytest.raises(CheckError, match=f"Paper {at + 1}"):
        check_foundation_plan(sew_by_the_page(plan, papers))


@given(st.integers(0, 10**6))
@settings(max_examples=12, deadline=None)
def test_any_block_is_read_back(seed):
    plan = plan_of(draw_subdivision(seed))
    for section, (cells, outline, _) in zip(plan.sections, read_whole(plan, scale=0.4), strict=True):
        drawn = shapely.affinity.scale(shapely.Polygon(section.outline), 0.4, 0.4, origin=(0, 0))
        assert far(lay_at(turn_over(outline), drawn), drawn) < TENTH_OF_A_MILLIMETRE
        assert sorted(cells) == [piece.number for piece in section.pieces]


def test_same_bytes_tagged_and_unscaled():
    data = set_foundations(star_plan(), "A4", "metric")
    assert data == set_foundations(star_plan(), "A4", "metric")
    root = PdfReader(BytesIO(data)).trailer["/Root"]
    assert root["/ViewerPreferences"]["/PrintScaling"] == "/None"
    assert root["/MarkInfo"]["/Marked"]
    assert "cm" in PdfReader(BytesIO(data)).pages[0].extract_text()


def test_nothing_is_written_that_does_not_give_the_block(tmp_path):
    plan = star_plan()
    wrong = replace(plan, joins=plan.joins[:-1])
    with pytest.raises(KitError):
        write_foundations(wrong, tmp_path / "star.pdf")
    assert not list(tmp_path.iterdir())
    assert write_foundations(plan, tmp_path / "star.pdf", tints={"patch": "#3377aa"}).stat().st_size > 1000


@pytest.mark.parametrize("wish", [{"paper": "A5"}, {"system": "ells"}, {"scale": 0}, {"scale": 11}, {"form": "card"}])
def test_wishes_that_cannot_be_are_refused(wish):
    with pytest.raises(KitError):
        set_foundations(star_plan(), **wish)


# other forms, and papers that are turned


def list_drawn(data):
    """Return the dotted and the solid outlines of every page of papers, inches."""
    dotted, solid = [], []
    with pdfplumber.open(BytesIO(data)) as pdf:
        for page in pdf.pages[1:]:
            for shape in [*page.curves, *page.rects]:
                drawn = shapely.Polygon([(x / 72, -y / 72) for x, y in shape["pts"]])
                if shape.get("dash") and shape["dash"][0]:
                    dotted.append(drawn)
                elif not shape.get("fill") and shape["linewidth"] > 0.8:
                    solid.append(drawn)
    return dotted, solid


@pytest.mark.parametrize("mirrored", [True, False])
def test_templates_are_every_piece_by_itself_with_its_allowance(mirrored):
    plan = star_plan()
    dotted, solid = list_drawn(set_foundations(plan, form="templates", mirrored=mirrored))
    assert len(dotted) == len(solid) == len(plan.target)
    drawn = [shapely.Polygon(outline) for _, outline in plan.target]
    for one, cut in zip(solid, dotted, strict=True):
        assert one.boundary.distance(cut.boundary) == pytest.approx(0.25, abs=TENTH_OF_A_MILLIMETRE)
        seen = turn_over(one) if mirrored else one
        assert min(far(lay_at(seen, patch), patch) for patch in drawn) < TENTH_OF_A_MILLIMETRE


def test_a_paper_that_fits_only_aslant_is_turned_and_not_taped():
    long = [((4.1 * k, 0), (4.1 * k + 4.1, 0), (4.1 * k + 4.1, 0.75), (4.1 * k, 0.75)) for k in range(2)]
    plan = plan_of(long)
    data = set_foundations(plan)
    assert not any("tape" in page.extract_text() for page in PdfReader(BytesIO(data)).pages)
    ((cells, outline, trim),) = read_papers(data).values()
    assert sorted(cells) == [1, 2]
    box = shapely.minimum_rotated_rectangle(outline)
    sides = sorted(shapely.length(shapely.LineString(pair)) for pair in pairwise(box.exterior.coords))
    assert sides == pytest.approx([0.75, 0.75, 8.2, 8.2], abs=TENTH_OF_A_MILLIMETRE)
    assert outline.boundary.distance(trim.boundary) == pytest.approx(0.25, abs=TENTH_OF_A_MILLIMETRE)


def test_freezer_paper_has_the_same_papers_and_its_own_steps():
    plan = star_plan()
    data = [set_foundations(plan, form=form) for form in ("paper", "freezer paper")]
    first, second = (list_drawn(one) for one in data)
    assert [shape.wkt for shape in first[0]] == [shape.wkt for shape in second[0]]
    words = [PdfReader(BytesIO(one)).pages[0].extract_text() for one in data]
    assert "shiny side" in words[1]
    assert "shiny side" not in words[0]


# the page alone, refused by name


def read_printed(plan, **wishes):
    """Return the papers as they were read out of the PDF's vectors and words."""
    return [
        PrintedPaper(name, {n: cell.exterior.coords[:-1] for n, (_, cell) in cells.items()}, trim.exterior.coords[:-1])
        for name, (cells, _, trim) in read_papers(set_foundations(plan, **wishes)).items()
    ]


def lopsided_plan():
    """A block whose mirror image is another block."""
    return plan_of(enlarge([((0, 0), (4, 0), (0, 3)), ((4, 0), (4, 1), (0, 3)), ((4, 1), (4, 3), (0, 3))], 1))


@pytest.mark.parametrize("scale", [0.5, 1.0, 1.5])
def test_what_is_printed_is_accepted_at_any_size(scale):
    for plan in (star_plan(), lopsided_plan()):
        check_printed_papers(plan, read_printed(plan, scale=scale), scale)
        check_printed_papers(plan, read_printed(plan, scale=scale, mirrored=False), scale, mirrored=False)


def test_a_paper_printed_unmirrored_is_refused_by_name():
    plan = lopsided_plan()
    with pytest.raises(CheckError, match="Paper 1 is printed unmirrored"):
        check_printed_papers(plan, read_printed(plan, mirrored=False))
    with pytest.raises(CheckError, match="Paper 1 is printed mirrored"):
        check_printed_papers(plan, read_printed(plan), mirrored=False)


def test_numbers_swapped_on_the_page_are_named():
    plan = lopsided_plan()
    (paper,) = read_printed(plan)
    turned = {1: paper.cells[3], 2: paper.cells[2], 3: paper.cells[1]}
    with pytest.raises(CheckError, match="Paper 1: the numbers 1 and 3 are swapped"):
        check_printed_papers(plan, [replace(paper, cells=turned)])


def test_an_edge_that_is_not_straight_on_the_page_is_named():
    """A corner within the paper moved by a tenth of an inch, for both pieces beside the line."""
    plan = lopsided_plan()
    (paper,) = read_printed(plan)

    def bend(outline):
        (ax, ay), (bx, by) = max(pairwise([*outline, outline[0]]), key=lambda ends: dist(*ends))
        at = list(outline).index((ax, ay)) + 1
        return [*outline[:at], ((ax + bx) / 2 + 0.1, (ay + by) / 2 + 0.1), *outline[at:]]

    with pytest.raises(CheckError, match="Paper 1"):
        check_printed_papers(plan, [replace(paper, cells=paper.cells | {2: bend(paper.cells[2])})])


def test_a_paper_of_another_size_or_without_its_allowance_is_named():
    plan = lopsided_plan()
    (paper,) = read_printed(plan, scale=1.5)
    with pytest.raises(CheckError, match="Paper 1 is drawn otherwise"):
        check_printed_papers(plan, [paper])
    (paper,) = read_printed(plan)
    wide = shapely.Polygon(paper.trim).buffer(0.125, join_style="mitre").exterior.coords[:-1]
    with pytest.raises(CheckError, match=r"dotted line is not 0\.25 in"):
        check_printed_papers(plan, [replace(paper, trim=wide)])
    with pytest.raises(CheckError, match="Paper 1 is not printed"):
        check_printed_papers(plan, [])


def test_nothing_unmirrored_is_written(tmp_path, monkeypatch):
    """Pages that were laid out the wrong way round are refused before a file is made."""
    wrong = {"mirrored": False}
    monkeypatch.setattr(paper_pages, "lay_out_papers", lambda plan, **how: lay_out_papers(plan, **how | wrong))
    with pytest.raises(KitError, match="printed unmirrored"):
        write_foundations(lopsided_plan(), tmp_path / "block.pdf")
    assert not list(tmp_path.iterdir())
