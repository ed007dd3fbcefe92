"""Units on paper inside a pattern: what is cut, sewn, priced, printed and refused, each counted or read apart."""

import json
import tomllib
from collections import Counter
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
import shapely
from printed_foundations import lay_at, read_papers, turn_over
from pypdf import PdfReader

from kit.checks.batch_check import check_making_plan
from kit.errors import CheckError, KitError
from kit.output import tables
from kit.output.files.twin import read_twin_making, write_twin
from kit.paper_pages import list_paper_files
from kit.pipeline import make_pattern, make_sketch
from kit.publish import write_document
from kit.rehearsal.paper_sewing import find_wrong_on_paper
from kit.study import open_study, read_study, save_study

DRAWING = Path("data/studies/drawings/gull.svg")
COLOURS = {
    "foam": "#e8f0f2",
    "sea": "#1f3350",
    "sky": "#a9cbe0",
    "grey": "#66707a",
    "white": "#f5ebd6",
    "fog": "#c9d3d2",
}
STUDY = """
title = "Gull Watch"

[design]
family = "units"
top = "whole"

[cutting]
on_paper = ["gull"]

[unit]
post = { patch = "rectangle", width_finished = "2 in", height_finished = "gull.left", slot = "fog" }

[unit.gull]
family = "outlines"
drawing = "gull.svg"

[unit.whole]
rows = ["gull post gull(mirror) post gull"]
""" + "".join(
    f'[[fabric]]\nslot = "{slot}"\nname = "{slot.title()}"\ncolour = "{colour}"\n' for slot, colour in COLOURS.items()
)


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    place = tmp_path_factory.mktemp("gulls")
    (place / "gull.svg").write_text(DRAWING.read_text())
    (place / "gulls.toml").write_text(STUDY)
    return place


@pytest.fixture(scope="module")
def study(folder):
    return open_study(folder / "gulls.toml")


@pytest.fixture(scope="module")
def pattern(study):
    return make_pattern(study)


@pytest.fixture
def made(pattern):
    (one,) = pattern.making.made
    return one


def test_every_drawn_piece_is_cut_as_a_rectangle_and_none_twice(pattern, made):
    """Ten patches in each of three gulls, and two posts."""
    assert (made.unit, made.way, made.name, len(made.units)) == ("block", "on paper", "gull", 3)
    assert not pattern.warnings
    cut = Counter()
    for piece in pattern.making.pieces:
        cut[piece.kind] += piece.count
    assert cut["template"] == 0
    assert sum(blank.count for blank in made.blanks) == 30
    assert sum(cut.values()) == 32


def measure_narrowest_width(shape):
    """Return the least distance between two parallel lines that hold a shape: one lies on an edge of its hull."""
    corners = np.array(shape.convex_hull.exterior.coords)
    edges = np.diff(corners, axis=0)
    across = np.column_stack([-edges[:, 1], edges[:, 0]]) / np.linalg.norm(edges, axis=1)[:, None]
    return min(np.ptp(corners @ way) for way in across)


def test_a_rectangle_holds_its_patch_with_allowance_and_ease(pattern, made):
    """By area and by the narrowest strip that holds the patch, without the kit."""
    for unit in made.units:
        for patch, use in zip(unit, made.uses, strict=True):
            shape = shapely.Polygon(pattern.patchwork.by_id[patch].outline)
            long, short = made.sizes[use]
            narrow = measure_narrowest_width(shape)
            assert short >= narrow + 0.75
            assert long * short > shape.area + shape.length * 0.25


def test_the_ways_table_has_both_ways(pattern):
    rows = tables.ways(pattern)
    mine = rows[rows["Unit"] == "gull"]
    assert list(mine["Way"]) == ["one by one", "on paper"]
    assert list(mine["Chosen"]) == ["", "yes"]
    assert next(iter(mine["Cuts"])) == 30
    assert list(mine["Seams"]) == [27, 27]


def test_a_unit_with_templates_is_priced_without_being_named(study):
    rows = tables.ways(make_sketch(replace(study, cutting=replace(study.cutting, on_paper=())), ways=True))
    assert list(rows["Way"]) == ["one by one", "on paper"]
    assert list(rows["Chosen"]) == ["yes", ""]


def test_the_printed_pattern_tells_papers_rectangles_order_and_joins(pattern, made, tmp_path):
    file = write_document(pattern, tmp_path / "gulls.pdf")
    text = " ".join(" ".join(page.extract_text().split()) for page in PdfReader(file).pages)
    assert "U1: (3) gull, on paper" in text
    assert "(3) papers for each" in text
    assert "(1) of the (3) are mirror images" in text
    assert "Paper 1: 1 Ua; 2 Ub." in text
    assert "Sew paper 2 to paper 3." in text
    assert "Sew paper 1 to papers 2 and 3." in text
    assert "They come ready from U1" in text
    assert "Template" not in text
    for blank in made.blanks:
        assert blank.id in text


def test_the_papers_come_with_the_pattern_and_give_the_block_both_ways_round(pattern, made):
    """The printed vectors turned over are the block; those of the mirror image are so as they lie."""
    ((name, data),) = list_paper_files(pattern, "Letter")
    assert name == made.id
    text = " ".join(page.extract_text() for page in PdfReader(BytesIO(data)).pages)
    assert "Paper 2 · print 2" in text
    assert "Paper 2, mirror image · print 1" in text
    outlines = {section.name: shapely.Polygon(section.outline) for section in made.papers.sections}
    papers = read_papers(data)
    assert {"2", "3", "2,", "3,"} <= set(papers)
    for key, (_, outline, _) in papers.items():
        drawn = outlines[key.strip(",")]
        seen = outline if key.endswith(",") else turn_over(outline)
        assert shapely.hausdorff_distance(lay_at(seen, drawn).boundary, drawn.boundary) < 0.1 / 25.4


def test_letters_on_the_papers_are_those_of_the_pattern(pattern):
    ((_, data),) = list_paper_files(pattern, "Letter")
    text = PdfReader(BytesIO(data)).pages[0].extract_text()
    for letter, slot in zip("ABCDE", ("foam", "sea", "sky", "grey", "white"), strict=True):
        assert f"{letter} {slot.title()}" in text


def test_the_twin_carries_the_papers_and_is_sewn_from_them(pattern):
    twin = json.loads(json.dumps(write_twin(pattern)))
    (read,) = read_twin_making(twin)
    shapes = {patch.id: patch.outline for patch in pattern.patchwork.patches}
    assert find_wrong_on_paper(read, shapes, 0.25) == ""
    assert read.papers == pattern.making.made[0].papers
    twin["making"][0]["papers"]["sections"][1]["pieces"].reverse()
    (wrong,) = read_twin_making(twin)
    assert find_wrong_on_paper(wrong, shapes, 0.25)


def change_piece(made, paper, at, **keys):
    sections = list(made.papers.sections)
    pieces = list(sections[paper].pieces)
    pieces[at] = replace(pieces[at], **keys)
    sections[paper] = replace(sections[paper], pieces=tuple(pieces))
    return replace(made, papers=replace(made.papers, sections=tuple(sections)))


def refuse(pattern, made, said):
    plan = replace(pattern.making, made=(made,))
    with pytest.raises(CheckError, match=said):
        check_making_plan(pattern.patchwork, pattern.cut_list, pattern.sewing, pattern.colouring.assignment, plan)


def test_damaged_papers_are_refused_by_name(pattern, made):
    piece = made.papers.sections[1].pieces[2]
    small = tuple(
        (long - 1.5, short) if n == made.uses[4] else (long, short) for n, (long, short) in enumerate(made.sizes)
    )
    refuse(pattern, replace(made, sizes=small), "is cut|are taken|sewn")
    refuse(pattern, change_piece(made, 1, 2, width=piece.width - 1), "on paper it is")
    refuse(pattern, change_piece(made, 1, 2, slot="Foam"), "on paper of Foam")
    refuse(pattern, change_piece(made, 1, 2, line=piece.line[::-1]), "paper 2, piece 3")
    refuse(pattern, replace(made, papers=replace(made.papers, mirrored=0)), "mirror images")
    refuse(pattern, replace(made, papers=replace(made.papers, copies=4)), "papers are printed for 4 blocks")
    refuse(pattern, replace(made, papers=replace(made.papers, joins=made.papers.joins[:-1])), "joined to nothing")
    refuse(pattern, replace(made, seams=made.seams + 1), "lines are sewn")


def test_another_block_in_the_top_is_refused(pattern, made):
    first = made.units[0]
    swapped = (first[2], *first[1:2], first[0], *first[3:])
    refuse(pattern, replace(made, units=(swapped, *made.units[1:])), "another block|is of")


@pytest.mark.parametrize(
    ("names", "said"),
    [
        (["kite"], "There is no unit `kite` to sew on paper"),
        (["top"], "There is no unit `top`"),
        (["gull", "gull"], "named twice"),
    ],
)
def test_a_name_that_cannot_be_is_refused(folder, names, said):
    text = STUDY.replace('on_paper = ["gull"]', f"on_paper = {json.dumps(names)}")
    with pytest.raises(KitError, match=said):
        make_sketch(read_study(text, folder=folder))


def test_a_print_with_a_direction_is_refused(folder):
    text = STUDY.replace('name = "Sky"', 'name = "Sky"\none_way = true')
    with pytest.raises(KitError, match="The print of Sky has a direction"):
        make_sketch(read_study(text, folder=folder))


def test_a_seam_that_is_set_in_lies_within_the_paper():
    """The eight-pointed star of the boat shed has set-in seams; on paper the words of the top hold none of them."""
    study = open_study("data/studies/boat-shed.toml")
    pattern = make_pattern(replace(study, cutting=replace(study.cutting, on_paper=("compass",))), "quick")
    assert not pattern.warnings
    assert pattern.making.made[0].papers.set_in


def test_the_key_is_saved_and_the_drawing_taken_in(study, tmp_path):
    save_study(study, tmp_path / "saved.toml")
    assert open_study(tmp_path / "saved.toml") == study
    held = tomllib.loads((tmp_path / "saved.toml").read_text())
    assert held["cutting"] == {"on_paper": ["gull"]}
    assert "drawing" not in held["unit"]["gull"]
