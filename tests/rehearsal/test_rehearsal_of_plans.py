"""What the planner writes is sewn as written: every study, random designs of every family, random subdivisions."""

from dataclasses import replace
from math import copysign, cos, hypot, radians, sin, sqrt
from pathlib import Path
from random import Random

import pytest
from hand_plans import make_subdivision
from hypothesis import given, settings
from strategies import cases

import kit
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

STUDIES = sorted(Path("data/studies").glob("*.toml"))


def make_mosaic(seed, most=9):
    """Return a patchwork of rectangles: some are cut in two, some whirl round a smaller one."""
    chance = Random(seed)
    done, open_ = [], [(0, 0, chance.randint(8, 24), chance.randint(8, 24))]
    while open_:
        x, y, w, h = open_.pop(chance.randrange(len(open_)))
        kind = (
            chance.choice(["across", "up", "whirl", "mirrored whirl", "stop"]) if len(done) + len(open_) < most else ""
        )
        if kind == "across" and w >= 2:
            c = chance.randint(1, w - 1)
            open_ += [(x, y, c, h), (x + c, y, w - c, h)]
        elif kind == "up" and h >= 2:
            c = chance.randint(1, h - 1)
            open_ += [(x, y, w, c), (x, y + c, w, h - c)]
        elif "whirl" in kind and w >= 3 and h >= 3:
            a, b = sorted(chance.sample(range(1, w), 2))
            c, d = sorted(chance.sample(range(1, h), 2))
            whirl = [(0, 0, b, c), (b, 0, w - b, d), (a, d, w - a, h - d), (0, c, a, h - c), (a, c, b - a, d - c)]
            if kind != "whirl":
                whirl = [(w - i - m, j, m, n) for i, j, m, n in whirl]
            open_ += [(x + i, y + j, m, n) for i, j, m, n in whirl]
        else:
            done.append((x, y, w, h))
    return patchwork_from_outlines([make_rectangle(*place) for place in done])


def assert_gives_design_back(patchwork):
    """Plan, rehearse, and measure every corner of what comes out against the design itself."""
    cuts = cut_list(patchwork)
    found = rehearse(cuts, sewing_plan(patchwork))
    assert found.agrees, found.differences
    assert found.left_over == ()
    assert found.finished == pytest.approx(patchwork.finished, abs=1e-6)
    for patch in patchwork.patches:
        for x, y in patch.outline:
            assert min(hypot(x - p, y - q) for p, q in found.placed[patch.id]) < 1e-6, patch.id


@pytest.mark.parametrize("path", STUDIES, ids=lambda path: path.stem)
def test_every_study_comes_out_of_its_own_steps(path):
    assert_gives_design_back(kit.open_study(path).make_patchwork())


def turn(radius, *degrees):
    """Return points round the origin."""
    return [(radius * cos(radians(d)), radius * sin(radians(d))) for d in degrees]


def add(*points):
    return sum(x for x, _ in points), sum(y for _, y in points)


def make_star():
    """Eight diamonds of 45 degrees round a point, with corner squares and side triangles."""
    spokes = turn(4, *range(0, 360, 45))
    tips = [add(spokes[k], spokes[(k + 1) % 8]) for k in range(8)]
    far = tips[0][0]
    shapes = [[(0, 0), spokes[k], tips[k], spokes[(k + 1) % 8]] for k in range(8)]
    for k, (x, y) in enumerate(spokes):
        corner = [(copysign(far, x), copysign(far, y))] if k % 2 else []
        shapes.append([(x, y), tips[k - 1], *corner, tips[k]])
    return patchwork_from_outlines(shapes, ["star"] * 8 + ["side", "corner"] * 4)


def make_flower():
    """A hexagon with six round it."""
    middles = [(0, 0), *turn(3 * sqrt(3), *range(30, 390, 60))]
    return patchwork_from_outlines([[add(m, p) for p in turn(3, *range(0, 360, 60))] for m in middles])


def make_blocks():
    """Tumbling blocks: three diamonds of 60 degrees to each of nine."""
    spokes = turn(3, 90, 210, 330)
    shapes = []
    for row in range(3):
        for column in range(3):
            middle = (3 * sqrt(3) * (column + row % 2 / 2), 4.5 * row)
            for k in range(3):
                p, q = spokes[k], spokes[k - 2]
                shapes.append([middle, add(middle, p), add(middle, p, q), add(middle, q)])
    return patchwork_from_outlines(shapes, ["light", "middle", "dark"] * 9)


@pytest.mark.parametrize(("make", "set_in"), [(make_star, 8), (make_flower, 6), (make_blocks, 13)])
def test_designs_with_set_in_seams_come_out_of_their_own_steps(make, set_in):
    patchwork = make()
    assert sewing_plan(patchwork).set_in_seams <= set_in
    assert_gives_design_back(patchwork)


@pytest.mark.parametrize("decimals", [6, 5])
@pytest.mark.parametrize("make", [make_star, make_flower, make_blocks])
def test_corners_given_to_a_few_decimals_do_not_disagree(make, decimals):
    exact = make()
    outlines = [[(round(x, decimals), round(y, decimals)) for x, y in patch.outline] for patch in exact.patches]
    patchwork = patchwork_from_outlines(outlines, [patch.slot for patch in exact.patches])
    found = rehearse(cut_list(patchwork), sewing_plan(patchwork))
    assert found.agrees, found.differences
    assert found.finished == pytest.approx(exact.finished, abs=1e-3)


@given(cases())
@settings(max_examples=150)
def test_designs_of_every_family_come_out_of_their_own_steps(case):
    assert_gives_design_back(case.build())


@pytest.mark.parametrize("part", range(9))
def test_fifty_random_subdivisions_come_out_of_their_own_steps(part):
    for seed in range(1000 + 50 * part, 1050 + 50 * part):
        assert_gives_design_back(make_subdivision(seed)[0])


@pytest.mark.parametrize("part", range(8))
def test_fifty_random_mosaics_with_whirls_come_out_of_their_own_steps(part):
    for seed in range(50 * part, 50 * part + 50):
        assert_gives_design_back(make_mosaic(seed))


@given(cases(), cases())
@settings(max_examples=40)
def test_the_plan_of_another_design_is_refused(case, other):
    """The rehearsal is not a rubber stamp: steps of one design, cut list of another."""
    patchwork, wrong = case.build(), other.build()
    plan = sewing_plan(patchwork)
    cuts = cut_list(wrong)
    if {(p.id, p.outline) for p in patchwork.patches} != {(p.id, p.outline) for p in wrong.patches}:
        assert not rehearse(cuts, plan).agrees


@given(cases())
@settings(max_examples=40)
def test_a_dropped_step_is_refused_whatever_the_design(case):
    patchwork = case.build()
    plan = sewing_plan(patchwork)
    for n in range(len(plan.steps)):
        rest = [replace(step, number=i) for i, step in enumerate(plan.steps[:n] + plan.steps[n + 1 :], start=1)]
        assert not rehearse(cut_list(patchwork), replace(plan, steps=tuple(rest))).agrees
