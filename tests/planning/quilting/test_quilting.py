"""Whole quilting plans: one thread where one will do, figures that add up, gaps against the batting's limit."""

from dataclasses import replace
from heapq import heappop, heappush

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.checks.quilting_check import check_quilting_plan
from kit.errors import KitError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import Patch, Patchwork, patchwork_from_outlines
from kit.model.quilting_wishes import STAGES, WAYS, QuiltingWishes, Stitching
from kit.planning.quilting.quilting_plan import quilting_plan
from kit.study import open_study

STUDIES = ("tideline", "lamplight", "ferry-steps")
BLUE, RED = "#204080", "#a02020"


def make_squares(across, down, side=2.0, allowance=0.25):
    outlines = [make_rectangle(side * i, side * j, side, side) for j in range(down) for i in range(across)]
    return patchwork_from_outlines(
        outlines, ["ab"[(k % across + k // across) % 2] for k in range(across * down)], allowance
    )


def plan_checked(patchwork, *stitchings, **more):
    plan = quilting_plan(patchwork, QuiltingWishes(tuple(stitchings) or (Stitching(),), **more))
    check_quilting_plan(patchwork, plan)
    return plan


def open_top(name):
    return open_study(f"data/studies/{name}.toml").make_patchwork()


@pytest.mark.parametrize("name", STUDIES)
def test_a_study_is_stitched_in_the_ditch_on_one_thread_within_a_twentieth_of_the_least(name):
    plan = plan_checked(open_top(name))
    assert len(plan.runs) == 1
    assert plan.islands == ()
    assert plan.bound <= plan.length <= 1.05 * plan.bound


@pytest.mark.parametrize("name", STUDIES)
def test_every_seam_is_in_the_ditch_exactly_once(name):
    patchwork = open_top(name)
    mesh = patchwork.mesh
    plan = plan_checked(patchwork)
    assert plan.wished == pytest.approx(mesh.lengths[mesh.twin >= 0].sum() / 2)
    assert not any("edge" in line.id for line in plan.lines)


def test_squares_of_two_inches_pass_a_batting_that_allows_three():
    """W23 of the worked cases: squares of 2 in pass a 3 in batting."""
    plan = plan_checked(make_squares(4, 4), gap_limit=3.0)
    assert plan.holds
    assert plan.gap.width == pytest.approx(2.0, abs=1e-3)
    assert plan.open_gaps == ()


def test_an_open_square_of_five_inches_fails_three_and_passes_eight():
    """W23 of the worked cases: an open 5 in square fails a 3 in batting and passes one of 8 in."""
    patchwork = make_squares(2, 2, 5.0)
    fails, passes = (plan_checked(patchwork, gap_limit=limit) for limit in (3.0, 8.0))
    assert not fails.holds
    assert passes.holds
    assert fails.gap.width == pytest.approx(5.0, abs=2e-3)
    assert sorted((round(g.at[0], 1), round(g.at[1], 1)) for g in fails.open_gaps) == [
        (2.5, 2.5), (2.5, 7.5), (7.5, 2.5), (7.5, 7.5),
    ]  # fmt: skip
    assert passes.open_gaps == ()


@pytest.mark.parametrize("name", [*STUDIES, "harbour-light", "millwheel"])
def test_in_the_ditch_the_widest_gap_is_the_largest_circle_that_any_patch_holds(name):
    """The other method: GEOS divides each patch into ever smaller squares (maximum inscribed circle)."""
    patchwork = open_top(name)
    plan = quilting_plan(patchwork)
    shapes = {patch.id: shapely.Polygon(patch.outline) for patch in patchwork.patches}
    radii = {name: shapely.maximum_inscribed_circle(shape, tolerance=1e-4).length for name, shape in shapes.items()}
    assert plan.gap.width == pytest.approx(2 * max(radii.values()), abs=4e-3)
    for gap in plan.gaps:
        own = [radii[patch.id] for patch in patchwork.patches if patch.slot == gap.where]
        assert gap.width == pytest.approx(2 * max(own), abs=0.02)


def test_more_lines_close_the_gap_that_the_ditch_leaves_open():
    patchwork = make_squares(2, 2, 5.0)
    plan = plan_checked(patchwork, Stitching(), Stitching("top", "crosshatch", 2.0), gap_limit=3.0)
    assert plan.holds
    assert plan.gap.width <= 2.0 + 2e-3


def test_seams_come_before_motifs_and_motifs_before_fillers():
    patchwork = make_squares(3, 3, 4.0)
    wishes = (Stitching("a", "meander", 0.75), Stitching("b", "echo", 0.75), Stitching())
    plan = plan_checked(patchwork, *wishes)
    assert len(plan.runs) == 1
    way = {line.id: line.way for line in plan.lines}
    stages = [STAGES[way[plan.strands[g.strand].line]] for g in plan.runs[0].stretches if g.kind == "stitch"]
    assert set(stages) == {1, 2, 3}
    assert stages == sorted(stages)


def test_the_thread_begins_at_the_place_nearest_the_middle():
    plan = plan_checked(make_squares(5, 4))
    assert plan.stops[0].kind == "start"
    assert min(np.hypot(plan.stops[0].at[0] - 5, plan.stops[0].at[1] - 4), 9) == pytest.approx(1.0)


def test_each_colour_has_its_thread_and_the_lengths_add_up():
    patchwork = make_squares(3, 3, 4.0)
    plan = plan_checked(
        patchwork,
        Stitching(colour=BLUE),
        Stitching("a", "meander", 0.75, colour=RED),
        Stitching("b", "loops", 1.0, colour=BLUE),
    )
    assert set(plan.threads) == {BLUE, RED}
    assert sum(plan.threads.values()) == pytest.approx(plan.length)
    assert [run.colour for run in plan.runs] == [BLUE, RED], "the fillers begin with the colour in the needle"
    assert plan.twice == pytest.approx(plan.length - sum(line.length for line in plan.lines))


def test_minutes_follow_from_the_speeds_and_the_stops():
    patchwork = make_squares(3, 3, 4.0)
    wishes = (Stitching(), Stitching("a", "serpentine", 1.0))
    plan = plan_checked(patchwork, *wishes, straight_speed=1e5, curve_speed=1e5, stop_minutes=2.5)
    assert plan.minutes == pytest.approx(2.5 * len(plan.runs), abs=0.01)
    slow = plan_checked(patchwork, *wishes, straight_speed=50, curve_speed=50, stop_minutes=0)
    assert slow.minutes == pytest.approx(slow.length / 50)
    curves = sum(line.length for line in plan.lines if line.way == "serpentine")
    mixed = plan_checked(patchwork, *wishes, straight_speed=1e5, curve_speed=10, stop_minutes=0)
    assert mixed.minutes >= curves / 10


def test_the_same_wishes_give_the_same_plan():
    patchwork = open_top("tideline")
    wishes = QuiltingWishes((Stitching(), Stitching("sashing", "meander", 0.5), Stitching("blade", "serpentine")))
    assert quilting_plan(patchwork, wishes) == quilting_plan(patchwork, wishes)


def test_another_seed_gives_other_curves():
    patchwork = make_squares(2, 2, 6.0)
    one, other = (plan_checked(patchwork, Stitching("a", "meander", 0.75), seed=seed) for seed in (0, 1))
    assert one.lines[0].points != other.lines[0].points


def test_an_island_out_of_reach_gets_a_thread_of_its_own_that_is_declared():
    patchwork = make_squares(2, 1, 8.0)
    wish = Stitching("a", "outline", 3.0)
    apart = plan_checked(patchwork, Stitching(), wish, reach=1.0)
    joined = plan_checked(patchwork, Stitching(), wish, reach=3.5)
    assert (len(apart.runs), len(joined.runs)) == (2, 1)
    assert apart.islands == ("patch-0001",)
    assert joined.islands == ()
    assert [stop.kind for stop in apart.stops] == ["start", "stop"] * 2
    assert any(stretch.kind == "bridge" for stretch in joined.runs[0].stretches)
    assert not any(stretch.kind == "bridge" for run in apart.runs for stretch in run.stretches)


@pytest.mark.parametrize("throat", [7.0, 9.0, 13.0])
def test_panels_fit_under_the_arm_and_follow_one_another_from_the_middle(throat):
    plan = plan_checked(
        make_squares(12, 9),
        Stitching(),
        Stitching("a", "crosshatch", 0.75),
        Stitching("b", "serpentine", 0.75),
        throat=throat,
    )
    extent = 24 if plan.panels[0][3] - plan.panels[0][1] == 18 else 18
    assert len(plan.panels) == -(-extent // throat)
    away = []
    for left, bottom, right, top in plan.panels:
        assert min(right - left, top - bottom) <= throat + 1e-6
        away.append(abs((bottom + top) / 2 - 9) + abs((left + right) / 2 - 12))
    assert away == sorted(away)
    cuts = {round(p[1], 5) for p in plan.panels} | {round(p[0], 5) for p in plan.panels}
    assert all(cut % 2 == 0 for cut in cuts), "panels meet along seams where there are any"


def test_what_is_drawn_does_not_depend_on_the_throat():
    patchwork = make_squares(6, 5)
    wishes = QuiltingWishes((Stitching(), Stitching("top", "meander", 1.0)), throat=None)
    whole, parts = quilting_plan(patchwork, wishes), quilting_plan(patchwork, replace(wishes, throat=5.0))
    assert [line.points for line in whole.lines] == [line.points for line in parts.lines]
    assert len(parts.panels) > 1
    check_quilting_plan(patchwork, parts)


def test_density_counts_every_inch_once():
    patchwork = open_top("ferry-steps")
    plan = plan_checked(
        patchwork, Stitching(), Stitching("top", "grid", 1.3, angle=20), Stitching("border", "meander", 0.75)
    )
    assert sum(inches for _, inches in plan.density.values()) == pytest.approx(plan.wished, rel=1e-3)
    assert sum(area for area, _ in plan.density.values()) == pytest.approx(patchwork.area)
    assert 0 < plan.evenness < 1


def test_alike_slots_are_evenly_dense():
    plan = plan_checked(make_squares(4, 4), Stitching(), Stitching("top", "grid", 0.5, angle=0))
    assert plan.evenness == pytest.approx(1.0, abs=0.02)


def test_a_parallel_grid_over_the_whole_top_is_one_serpent_along_the_edge():
    """Lines an inch apart: the route adds one step of an inch at the edge between each two."""
    plan = plan_checked(make_squares(5, 5), Stitching("top", "grid", 1.0, angle=0), gap_limit=2.0)
    assert len(plan.lines) == 9
    assert plan.wished == pytest.approx(90.0)
    assert plan.length <= 90 + 8 + 8, "a few more, since it begins in the middle"
    assert plan.length <= 1.03 * plan.bound
    assert {stretch.kind for stretch in plan.runs[0].stretches} <= {"stitch", "seam", "again"}


def test_corner_curves_of_squares_are_stitched_without_any_travel():
    """At every corner an even number of curves meet, so the round is closed and nothing is stitched twice."""
    plan = plan_checked(make_squares(4, 3), Stitching("top", "corner curves"))
    assert plan.twice == pytest.approx(0.0, abs=1e-6)


def test_the_spacing_may_not_exceed_what_the_batting_allows():
    with pytest.raises(KitError, match="batting allows 2 in") as told:
        quilting_plan(make_squares(2, 2), QuiltingWishes((Stitching("top", "grid", 3.0),), gap_limit=2.0))
    assert "choose a batting" in told.value.do


def test_a_part_that_the_top_does_not_have_is_refused_with_those_that_it_has():
    with pytest.raises(KitError, match="`river`, which this top does not have") as told:
        quilting_plan(make_squares(2, 2), QuiltingWishes((Stitching("river"),)))
    assert "top, a, b" in told.value.needed


def test_a_top_of_one_patch_has_no_ditch():
    with pytest.raises(KitError, match="no seam to stitch in the ditch"):
        quilting_plan(make_squares(1, 1))


def test_a_top_of_one_patch_can_be_filled():
    plan = plan_checked(make_squares(1, 1, 9.0), Stitching("top", "swirls", 0.75))
    assert len(plan.runs) == 1


def test_a_throat_too_narrow_is_refused():
    with pytest.raises(KitError, match=r"throat is 0\.1 in"):
        quilting_plan(make_squares(8, 8), QuiltingWishes(throat=0.1))


@pytest.mark.parametrize(
    "wrong",
    [{"way": "zigzag"}, {"spacing": 0}, {"spacing": float("nan")}, {"colour": "red"}, {"way": "motif"}],
)
def test_a_wish_that_makes_no_sense_is_refused(wrong):
    with pytest.raises(KitError):
        Stitching("top", **{"way": "grid", **wrong})


@pytest.mark.parametrize(
    "wrong",
    [
        {"stitchings": ()},
        {"gap_limit": 0},
        {"throat": -1},
        {"reach": -1},
        {"curve_speed": 0},
        {"straight_speed": float("nan")},
    ],
)
def test_wishes_that_make_no_sense_are_refused(wrong):
    with pytest.raises(KitError):
        QuiltingWishes(**wrong)


def test_patches_that_touch_can_be_one_region():
    patches = tuple(
        Patch(f"p{i}{j}", make_rectangle(3 * i, 3 * j, 3, 3), "in" if 0 < i < 3 and 0 < j < 3 else "out")
        for j in range(4)
        for i in range(4)
    )
    patchwork = Patchwork(patches)
    plan = plan_checked(
        patchwork, Stitching("in", "echo", 1.0, together=True), Stitching("out", "meander", 0.75, together=True)
    )
    assert [(r.id, len(r.rings), r.area) for r in plan.regions] == [("in", 1, 36.0), ("out", 2, 108.0)]


@settings(max_examples=25)
@given(st.data())
def test_any_mixture_of_ways_gives_a_plan_that_its_check_accepts(data):
    across, down = data.draw(st.integers(1, 4)), data.draw(st.integers(1, 4))
    patchwork = make_squares(across, down, data.draw(st.sampled_from([2.5, 4.0])))
    ways = [way for way in WAYS[1:] if way not in ("motif", "drawn line")]
    where = st.sampled_from(["top", "a"])
    wish = st.builds(
        Stitching, where, st.sampled_from(ways), st.sampled_from([0.75, 1.0]), st.sampled_from([0.0, 30.0, 45.0]),
        st.booleans(), colour=st.sampled_from([BLUE, RED]),
    )  # fmt: skip
    wishes = data.draw(st.lists(wish, min_size=1, max_size=3))
    throat = data.draw(st.sampled_from([None, 5.0]))
    plan = plan_checked(patchwork, *wishes, throat=throat, gap_limit=20.0)
    assert plan.wished - 1e-6 <= plan.bound <= plan.length + 1e-6


def list_sides(patchwork):
    """Every stretch of seam and edge between corners of squares in rows, with whether it is a seam."""
    sides = {}
    for patch in patchwork.patches:
        corners = [tuple(np.round(p, 6)) for p in patch.outline]
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True):
            key = min(a, b), max(a, b)
            sides[key] = sides.get(key, 0) + 1
    return {key: count == 2 for key, count in sides.items()}


def walk_by_trying(patchwork, starts):
    """The least length of any walk from one of the starts along every seam: all walks, the shortest first."""
    sides = list_sides(patchwork)
    seams = [key for key, seam in sides.items() if seam]
    leads = {}
    for (a, b), seam in sides.items():
        bit = 1 << seams.index((a, b)) if seam else 0
        for here, there in ((a, b), (b, a)):
            leads.setdefault(here, []).append((there, bit, np.hypot(a[0] - b[0], a[1] - b[1])))
    heap = [(0.0, start, 0) for start in starts or leads]
    seen = set()
    while heap:
        length, here, gone = heappop(heap)
        if gone == (1 << len(seams)) - 1:
            return length
        if (here, gone) not in seen:
            seen.add((here, gone))
            for there, bit, size in leads[here]:
                heappush(heap, (length + size, there, gone | bit))
    raise AssertionError


@pytest.mark.parametrize(("across", "down"), [(2, 2), (2, 1), (3, 1), (3, 2), (4, 2), (3, 3)])
def test_in_the_ditch_no_walk_along_seams_and_edge_is_shorter(across, down):
    """Every walk is tried: from the place nearest the middle, and from any place."""
    patchwork = make_squares(across, down)
    plan = plan_checked(patchwork)
    assert plan.length == pytest.approx(walk_by_trying(patchwork, [plan.stops[0].at]))
    assert plan.bound == pytest.approx(plan.length)
    free = plan_checked(patchwork, begin="anywhere")
    assert free.length == pytest.approx(walk_by_trying(patchwork, None))
    assert free.bound == pytest.approx(free.length)


def test_four_squares_take_fourteen_inches_from_the_middle_and_twelve_from_the_edge():
    """By hand: out and back along three of the four seams; or from edge to edge, and out and back along the rest."""
    patchwork = make_squares(2, 2)
    assert [plan_checked(patchwork, begin=where).length for where in ("middle", "anywhere")] == [14.0, 12.0]


def test_a_beginning_that_does_not_exist_is_refused():
    with pytest.raises(KitError, match="begins at `corner`"):
        QuiltingWishes(begin="corner")


def test_a_beginning_anywhere_is_never_longer_and_keeps_to_the_stages():
    patchwork = make_squares(3, 3, 4.0)
    wishes = (Stitching("a", "meander", 0.75), Stitching())
    middle, free = (plan_checked(patchwork, *wishes, begin=where) for where in ("middle", "anywhere"))
    assert free.length <= middle.length + 1e-6
    assert len(free.runs) == 1
