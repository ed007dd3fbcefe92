"""The check of foundations refuses what would not give the block, each by name."""

from dataclasses import replace

import pytest
import shapely
from blocks import enlarge, sawtooth_star
from subdivisions import whirl

from kit.checks.foundation_check import check_foundation_plan
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.foundations.foundation_plan import foundation_plan


@pytest.fixture
def plan():
    return foundation_plan(patchwork_from_outlines(enlarge(sawtooth_star(), 2)), "top")


def change(plan, paper, at, **keys):
    """Return the plan with one piece changed, and the numbers as they stand."""
    section = plan.sections[paper]
    pieces = list(section.pieces)
    pieces[at] = replace(pieces[at], **keys)
    return with_pieces(plan, paper, pieces)


def with_pieces(plan, paper, pieces):
    sections = list(plan.sections)
    sections[paper] = replace(sections[paper], pieces=tuple(pieces))
    return replace(plan, sections=tuple(sections))


def refuse(plan, said):
    with pytest.raises(CheckError, match=said):
        check_foundation_plan(plan)


def test_two_numbers_swapped(plan):
    """The third piece before the second: it does not meet the first along one whole edge."""
    refused = 0
    for paper, section in enumerate(plan.sections):
        for at in range(1, len(section.pieces) - 1):
            pieces = list(section.pieces)
            pieces[at], pieces[at + 1] = replace(pieces[at + 1], number=at + 1), replace(pieces[at], number=at + 2)
            if meet(plan, pieces[at].patch, pieces[at + 1].patch):  # others may change places
                refuse(with_pieces(plan, paper, pieces), f"Paper {section.name}, piece ({at + 1}|{at + 2})")
                refused += 1
    assert refused


def meet(plan, one, other):
    shapes = {name: shapely.Polygon(outline) for name, outline in plan.target}
    return shapes[one].boundary.intersection(shapes[other].boundary).length > 1e-6


def test_numbers_that_are_not_in_order(plan):
    refuse(change(plan, 0, 1, number=7), "has the numbers")


def test_a_rectangle_that_is_too_small(plan):
    piece = plan.sections[1].pieces[0]
    (x, y), *_ = piece.rectangle
    short = make_rectangle(x, y, piece.width - 1.5, piece.height)
    refuse(change(plan, 1, 0, rectangle=short, width=piece.width - 1.5), "bare")


def test_a_rectangle_with_less_than_the_ease(plan):
    piece = plan.sections[0].pieces[-1]
    a, b, c, d = piece.rectangle
    cut = [
        (p[0] + 0.15 * (q[0] - p[0]) / piece.height, p[1] + 0.15 * (q[1] - p[1]) / piece.height)
        for p, q in ((d, a), (c, b))
    ]
    refuse(
        change(plan, 0, len(plan.sections[0].pieces) - 1, rectangle=(a, b, cut[1], cut[0]), height=piece.height - 0.15),
        "to spare",
    )


def test_a_rectangle_drawn_otherwise_than_told(plan):
    refuse(change(plan, 0, 0, width=plan.sections[0].pieces[0].width + 1), "is drawn")


def test_a_line_that_is_not_the_edge(plan):
    piece = plan.sections[0].pieces[2]
    (ax, ay), (bx, by) = piece.line
    refuse(change(plan, 0, 2, line=((ax, ay), ((ax + bx) / 2, (ay + by) / 2))), "whole straight edge")


def test_a_line_left_out(plan):
    refuse(change(plan, 0, 1, line=None), "no line")


def test_a_patch_twice_and_a_patch_forgotten(plan):
    again = plan.sections[0].pieces[0].patch
    refuse(change(plan, 1, 0, patch=again), "twice")
    refuse(with_pieces(plan, 0, plan.sections[0].pieces[:-1]), "is on no paper")
    refuse(change(plan, 0, 0, patch="gull"), "a patch of the block")


def test_papers_joined_before_they_are_made_and_not_at_all(plan):
    refuse(replace(plan, joins=plan.joins[::-1]), "before they are made")
    refuse(replace(plan, joins=plan.joins[:-1]), "joined to nothing")


def test_a_seam_that_turns_told_as_straight():
    plan = foundation_plan(patchwork_from_outlines(whirl()), "top")
    refuse(replace(plan, joins=tuple(replace(join, kind="straight") for join in plan.joins)), "told as straight")


def test_another_outline_for_a_paper(plan):
    sections = list(plan.sections)
    sections[0] = replace(sections[0], outline=tuple((x + 1, y) for x, y in sections[0].outline))
    refuse(replace(plan, sections=tuple(sections)), "drawn otherwise")
