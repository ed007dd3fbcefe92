"""The draw-in of quilting: arcs added up another way, parallel lines, a turned quilt, the loft, the maker's figure.

Derived from geometry, no source: cloth over the batting is a flat parabola between two lines.
"""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.checks.finishing_check import check_finishing_plan
from kit.checks.quilting_check import check_quilting_plan
from kit.errors import CheckError, KitError
from kit.geometry.outlines import make_rectangle
from kit.model.finishing import FinishingWishes, TopFacts
from kit.model.patchwork import patchwork_from_outlines
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.output.words.notice_words import say_notices
from kit.planning.finishing.finishing_plan import finishing_plan
from kit.planning.quilting.draw_in import estimate_draw_in, find_shortening
from kit.planning.quilting.quilting_plan import quilting_plan

TOP = [make_rectangle(0, 0, 40, 60)]


def rule(spacing, angle=90.0, width=40.0, height=60.0):
    """Parallel lines over a whole top, at a distance, at an angle."""
    run = np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    aside = np.array([-run[1], run[0]])
    middle, reach = np.array([width / 2, height / 2]), width + height
    count = int(reach / spacing)
    return [middle + k * spacing * aside + np.array([-reach * run, reach * run]) for k in range(-count, count + 1)]


@given(st.floats(0.3, 12), st.floats(0.02, 0.5))
def test_the_shortening_is_that_of_a_parabola_measured_with_a_fine_chain(span, loft):
    rise = min(loft / 2, span / 8)
    x = np.linspace(0, span, 4001)
    y = rise * (1 - (2 * x / span - 1) ** 2)
    arc = np.hypot(np.diff(x), np.diff(y)).sum()
    assert find_shortening(np.array([span]), loft)[0] == pytest.approx(1 - span / arc, rel=1e-4, abs=1e-8)


@pytest.mark.parametrize("spacing", [0.5, 1.0, 2.0])
def test_upright_lines_draw_in_the_width_and_leave_the_height(spacing):
    across, along = estimate_draw_in(rule(spacing), TOP, 0.125)
    assert across == pytest.approx(find_shortening(np.array([spacing]), 0.125)[0], rel=0.01)
    assert along < 1e-4


@pytest.mark.parametrize("angle", [30.0, 45.0, 60.0, 110.0])
def test_lines_at_an_angle_draw_in_both_ways_by_how_far_apart_each_way_crosses_them(angle):
    """On a sheet of 400 by 600 in, where the narrower spaces at its edge add some three in a hundred."""
    sheet = [make_rectangle(0, 0, 400, 600)]
    across, along = estimate_draw_in(rule(1.5, angle, 400.0, 600.0), sheet, 0.125)
    wide, high = 1.5 / abs(np.sin(np.radians(angle))), 1.5 / abs(np.cos(np.radians(angle)))
    assert across == pytest.approx(find_shortening(np.array([wide]), 0.125)[0], rel=0.05)
    assert along == pytest.approx(find_shortening(np.array([high]), 0.125)[0], rel=0.05)


def test_a_quilt_turned_by_a_quarter_is_drawn_in_the_other_way():
    lines = rule(1.3, 70.0)
    turned = [np.column_stack([-path[:, 1], path[:, 0]]) for path in lines]
    there = estimate_draw_in(lines, TOP, 0.125)
    back = estimate_draw_in(turned, [make_rectangle(-60, 0, 60, 40)], 0.125)
    assert back == pytest.approx(there[::-1], rel=1e-6)


def test_twice_the_loft_draws_in_four_times_as_much():
    thin, thick = (estimate_draw_in(rule(4.0), TOP, loft)[0] for loft in (0.125, 0.25))
    assert thick == pytest.approx(4 * thin, rel=0.01)


def test_what_lies_outside_the_top_is_not_counted():
    corner = (((0.0, 0.0), (40.0, 0.0), (40.0, 20.0), (20.0, 20.0), (20.0, 60.0), (0.0, 60.0)),)
    assert estimate_draw_in(rule(1.0), corner, 0.125)[0] == pytest.approx(
        estimate_draw_in(rule(1.0), TOP, 0.125)[0], rel=0.01
    )


def make_plan(**more):
    squares = [make_rectangle(4 * i, 4 * j, 4, 4) for i in range(5) for j in range(3)]
    patchwork = patchwork_from_outlines(squares)
    return patchwork, quilting_plan(
        patchwork, QuiltingWishes((Stitching(), Stitching("top", "grid", 0.5, angle=90)), **more)
    )


def test_the_plan_says_what_it_draws_in_and_its_check_refuses_another_figure():
    patchwork, plan = make_plan()
    check_quilting_plan(patchwork, plan)
    across, along = plan.draw_in
    assert across == pytest.approx(0.0387, abs=0.0005)
    assert along == pytest.approx(find_shortening(np.array([4.0]), 0.125)[0], rel=0.01)
    with pytest.raises(CheckError, match=r"draw in 1\.00 % of the height"):
        check_quilting_plan(patchwork, replace(plan, draw_in=(across, 0.01)))
    with pytest.raises(CheckError, match=r"draw in 0\.00 % of the width"):
        check_quilting_plan(patchwork, replace(plan, draw_in=(0.0, along)))


def test_a_thicker_batting_draws_in_more():
    _, low = make_plan()
    _, high = make_plan(loft=0.25)
    assert high.draw_in[1] == pytest.approx(4 * low.draw_in[1], rel=0.01)


def test_the_care_card_takes_the_estimate_two_in_a_hundred_at_least_and_the_makers_own_figure_before_both():
    top = TopFacts(draw_in=(0.04, 0.001))
    for wishes, drawn in (
        (FinishingWishes(), (0.04, 0.02)),
        (FinishingWishes(draw_in=0.01), (0.01, 0.01)),
    ):
        plan = finishing_plan(50.0, 60.0, wishes, top)
        check_finishing_plan(50.0, 60.0, plan)
        assert plan.care.quilted == pytest.approx((50 * (1 - drawn[0]), 60 * (1 - drawn[1])))
    assert any("Quilting draws in 4 % of the width and 2 % of the height" in said
               for said in say_notices(finishing_plan(50.0, 60.0, None, top).assumptions))  # fmt: skip


def test_a_loft_of_zero_is_refused():
    with pytest.raises(KitError, match="loft is 0 in"):
        QuiltingWishes(loft=0)
