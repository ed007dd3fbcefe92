"""Step pictures and sentences: one action each, what is sewn told from what waits, a study's words as text."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from types import SimpleNamespace

import pytest
from hand_plans import NAMES, chain, make_whirl, plan_of_units

import kit
from kit.errors import KitError
from kit.explore.walkthrough import Walkthrough, show_step, walk_through
from kit.geometry.outlines import make_rectangle, turn_outline
from kit.model.fabrics import Colouring, Fabric
from kit.model.patchwork import patchwork_from_outlines
from kit.model.pattern import Measures
from kit.output.pictures.step_picture import draw_step
from kit.output.pictures.svg import write_svg
from kit.output.words.step_words import StepSentences, describe_step
from kit.output.words.unit_measures import measure_aslant, measure_level
from kit.planning.pieces.cut_list import cut_list
from kit.rehearsal.rehearse import rehearse

COLOURS = ("#d9622b", "#22304a", "#efe3cd", "#4a5530", "#7fb3a6")


def make_pattern(patchwork, cuts, plan, system="inch", names=("Lamp", "Pier", "Shell", "Moss", "Glass")):
    """What the pictures and sentences are made from, with a fabric for each patch in turn."""
    fabrics = tuple(Fabric("patch", name, colour) for name, colour in zip(names, COLOURS, strict=True))
    worn = {patch.id: names[i % len(names)] for i, patch in enumerate(patchwork.patches)}
    study = SimpleNamespace(title="Whirl", measures=Measures(system=system), fabrics=fabrics)
    return SimpleNamespace(
        study=study,
        patchwork=patchwork,
        cut_list=cuts,
        colouring=Colouring(worn, 0),
        sewing=plan,
        rehearsal=rehearse(cuts, plan),
        making=SimpleNamespace(made=()),
    )


@pytest.fixture
def whirl():
    return make_pattern(*make_whirl())


@pytest.fixture
def blocks():
    shapes, trees = [], []
    for x in (0, 6, 12):
        trees.append(NAMES[len(shapes) : len(shapes) + 2])
        shapes += [make_rectangle(x, 0, 2, 4), make_rectangle(x + 2, 0, 4, 4)]
    patchwork = patchwork_from_outlines(shapes)
    cuts = cut_list(patchwork)
    return make_pattern(patchwork, cuts, plan_of_units(patchwork, cuts, [("block", trees), ("top", [chain(trees)])]))


def draw(pattern, number):
    return draw_step(pattern, pattern.sewing, pattern.sewing.steps[number - 1])


def say(pattern, number):
    plain = describe_step(pattern, pattern.sewing, pattern.sewing.steps[number - 1])
    return re.sub("[\N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]", " ", plain)


def find_dashed(drawing):
    return [line for line in drawing.lines if line.dash]


def test_a_join_is_one_dashed_seam_and_the_added_part_is_outlined(whirl):
    drawing = draw(whirl, 2)
    (seam,) = find_dashed(drawing)
    assert {x for x, _ in seam.points} == {7.0}
    assert sorted(y for _, y in seam.points) == [0.0, 7.0]
    outline = max((line for line in drawing.lines if not line.dash), key=lambda line: len(line.points))
    assert set(outline.points) == {(7.0, 0.0), (10.0, 0.0), (10.0, 7.0), (7.0, 7.0)}
    assert [polygon.fill for polygon in drawing.polygons] == list(COLOURS[:3])


def test_a_partial_seam_is_whole_up_to_the_stop_dot_and_then_dashed(whirl):
    drawing = draw(whirl, 1)
    (dot,) = drawing.dots
    assert dot.at == pytest.approx((5.0, 3.0))
    red = [line for line in drawing.lines if line.colour == dot.fill]
    spans = {bool(line.dash): sorted(x for x, _ in line.points) for line in red if line.points[0] != line.points[1]}
    assert spans == {False: pytest.approx([5.0, 7.0]), True: pytest.approx([3.0, 5.0])}


def test_the_rest_of_a_partial_seam_is_shown_where_it_is_closed(whirl):
    (seam,) = find_dashed(draw(whirl, 5))
    assert sorted(x for x, _ in seam.points) == pytest.approx([0.0, 5.0])


def test_the_mirror_image_opens_the_other_end(whirl):
    """Common question W10: the round goes the other way, so the dot and the open end change sides."""
    there = draw(whirl, 1).dots[0].at
    plan = replace(whirl.sewing, steps=(replace(whirl.sewing.steps[0], sewn=(0.0, 2.0)), *whirl.sewing.steps[1:]))
    here = draw_step(whirl, plan, plan.steps[0])
    sewn = next(line for line in here.lines if line.colour == here.dots[0].fill and not line.dash)
    assert there == here.dots[0].at
    assert sorted(x for x, _ in sewn.points) == pytest.approx([3.0, 5.0])


@pytest.mark.parametrize(("number", "dx", "dy"), [(1, 0, 1), (2, 1, 0), (3, 0, 1), (4, -1, 0)])
def test_the_arrow_points_to_the_side_that_the_seam_is_pressed_to(whirl, number, dx, dy):
    """Step 1 is pressed toward the centre, which lies; the next three toward the rectangle that is added."""
    (arrow,) = draw(whirl, number).arrows
    (ax, ay), (bx, by) = arrow.points
    assert (bx - ax) * dx + (by - ay) * dy > 0.1
    assert not arrow.both


def test_a_seam_that_is_pressed_open_has_an_arrow_with_two_heads(whirl):
    (arrow,) = draw(whirl, 5).arrows
    assert arrow.both


def test_no_arrow_is_drawn_before_pressing_is_planned(blocks):
    assert draw(blocks, 1).arrows == ()


def test_a_step_says_its_pieces_with_cut_sizes_and_its_result(blocks):
    assert say(blocks, 1) == (
        "Sew (3) patch A1, cut 4½ in square, to (3) patch A2, cut 2½ in × 4½ in: left edge of the added part, from"
        " end to end."
        " Result: (3) block, 6½ in × 4½ in unfinished."
    )
    assert say(blocks, 2) == (
        "Sew (1) block to (1) block: left edge of the added part, from end to end. Result: the top, begun."
    )
    assert say(blocks, 3) == (
        "Sew (1) block to (1) part of step 2: left edge of the added part, from end to end."
        " Result: the top, 18½ in × 4½ in unfinished."
    )


def test_a_unit_that_lies_aslant_is_measured_along_its_own_sides():
    """Two 2 x 6 in strips sewn side by side and turned by 45 degrees: a ruler shows 4 1/2 by 6 1/2 in."""
    strips = [make_rectangle(0, 0, 6, 2), make_rectangle(0, 2, 6, 2)]
    patchwork = patchwork_from_outlines([turn_outline(strip, 45) for strip in strips])
    cuts = cut_list(patchwork)
    plan = plan_of_units(patchwork, cuts, [("top", [NAMES[:2]])])
    said = say(make_pattern(patchwork, cuts, plan), 1)
    assert said.endswith("4½ in × 6½ in unfinished.")


def test_a_row_of_which_only_an_end_is_level_is_measured_along_itself_and_a_triangle_as_it_lies():
    """A strip 2 in wide that lies at 45 degrees, its end cut upright; and a triangle with its long side level."""
    strip = turn_outline(((0.0, 0.0), (7.0, 0.0), (5.0, 2.0), (0.0, 2.0)), 45)
    assert measure_aslant([strip], 0.25) == pytest.approx((2.5, 7 + 0.25 + 0.25 * (1 + 2**0.5)))
    triangle = ((0.0, 0.0), (8.0, 0.0), (4.0, 4.0))
    assert measure_aslant([triangle], 0.25) is None
    assert measure_level([triangle], 0.25) == pytest.approx((8 + 0.5 * (1 + 2**0.5), 4.25 + 0.25 * 2**0.5))


def test_a_metric_study_is_told_in_centimetres():
    pattern = make_pattern(*make_whirl(), system="metric")
    assert "26.67 cm" in say(pattern, 5) or "26.7 cm" in say(pattern, 5)
    assert " in " not in say(pattern, 1).replace("in the", "")


def test_partial_seams_say_how_far_and_what_waits(whirl):
    assert "from a to b only, over 2 in. Stop at the dot at b" in say(whirl, 1)
    assert "Finish the seam that was left open: from a to b, over 5 in" in say(whirl, 5)


def test_every_step_has_one_row_and_only_finished_units_a_size(blocks):
    rows = StepSentences(blocks, blocks.sewing).list_rows()
    assert [row["Step"] for row in rows] == [1, 2, 3]
    assert [row["Make"] for row in rows] == [3, 1, 1]
    assert rows[1]["Unfinished"] == "–"
    assert list(kit.tables.steps(blocks).columns) == ["Step", "Unit", "Make", "Action", "Press", "Unfinished"]


def test_pictures_carry_their_sentence_as_alternative_text_and_their_count_in_words(blocks):
    tree = ET.fromstring(write_svg(draw(blocks, 1)))  # noqa: S314  our own text
    space = "{http://www.w3.org/2000/svg}"
    assert tree.find(f"{space}title").text.startswith("Step 1. Sew (3)")
    assert tree.find(f"{space}text").text.startswith("step 1: make 3, 6½")


def test_names_from_a_study_stay_text():
    pattern = make_pattern(*make_whirl())
    unit = replace(pattern.sewing.units[0], name="<b>&")
    steps = tuple(replace(step, unit="<b>&") for step in pattern.sewing.steps)
    pattern.sewing = replace(pattern.sewing, units=(unit,), steps=steps)
    assert "<b>" not in write_svg(draw(pattern, 5))
    assert "<b>&" not in Walkthrough(pattern, pattern.sewing).picture.value


def test_the_slider_walks_through_the_steps(whirl):
    walk = walk_through(whirl)
    assert walk.slider.max == 5
    shown = []
    for number in range(1, 6):
        walk.slider.value = number
        shown.append(walk.picture.value)
        assert f"<b>{number}.</b>" in walk.picture.value
    assert len(set(shown)) == 5
    assert "background:#fff" in walk.children[1].value  # dark words can be read on a dark page
    assert "10 in × 10 in finished" in walk.children[2].value.replace("\xa0", " ")


def test_a_step_that_cannot_be_drawn_becomes_a_sentence(whirl):
    plan = replace(whirl.sewing, steps=(replace(whirl.sewing.steps[0], first=("nobody",)), *whirl.sewing.steps[1:]))
    walk = Walkthrough(whirl, plan)
    assert walk.picture.value.startswith("<p>Step 1 cannot be drawn")
    walk.slider.value = 2
    assert "<img" in walk.picture.value


def test_a_plan_without_steps_says_so(whirl):
    assert "nothing to sew" in Walkthrough(whirl, replace(whirl.sewing, steps=())).picture.value


def test_a_disagreeing_rehearsal_is_said_below_the_picture(whirl):
    whirl.rehearsal = replace(whirl.rehearsal, agrees=False, differences=("Step 2 is wrong",))
    assert "does not agree: Step 2 is wrong." in walk_through(whirl).children[2].value


def test_a_still_picture_of_a_step_that_is_not_there_is_refused(whirl):
    assert "<b>5.</b>" in show_step(whirl, 5).data
    assert "<b>1.</b>" in show_step(whirl, "partial").data
    with pytest.raises(KitError, match="1 to 5"):
        show_step(whirl, 6)
