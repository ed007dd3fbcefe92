"""Tables and pictures of the finishing: figures of the plan, words of a study as text."""

import xml.etree.ElementTree as ET
from itertools import combinations

import pytest

from kit.model.finishing import FinishingWishes, TopFacts, find_usual
from kit.output.document.document import choose_layout
from kit.output.pictures.finishing_picture import draw_backing, draw_binding
from kit.output.pictures.picture_sizes import find_scale
from kit.output.pictures.svg import write_image, write_svg
from kit.output.tables import finishing_tables
from kit.planning.finishing.finishing_plan import finishing_plan

TABLES = (
    finishing_tables.list_borders,
    finishing_tables.list_backings,
    finishing_tables.list_battings,
    finishing_tables.list_binding,
    finishing_tables.list_joins,
    finishing_tables.list_thread_lengths,
    finishing_tables.list_hours,
    finishing_tables.list_costs,
    finishing_tables.list_care,
)


def plan(top=None, **wishes):
    return finishing_plan(60.0, 80.0, FinishingWishes(**wishes), top)


@pytest.mark.parametrize("make", TABLES)
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_every_table_has_rows_and_lengths_of_the_system_alone(make, system):
    top = TopFacts(system=system, borders=(3.0,), cuts=5, seams=4, seam_length=100.0)
    table = make(plan(top))
    assert len(table)
    shown = table.drop(columns=["Batting"], errors="ignore").to_string()
    other = ("cm", "m") if system == "inch" else ("in", "yd")
    assert not any(f"\N{NO-BREAK SPACE}{unit} " in shown for unit in other)


def test_the_backing_table_names_the_way_that_is_taken_and_what_to_buy():
    table = finishing_tables.list_backings(plan())
    (taken,) = table[table["Taken"] == "yes"].to_dict("records")
    assert (taken["Way"], taken["Panels"], taken["Seams"]) == ("lengthwise", 2, 1)
    assert taken["Buy"] == "5\N{NO-BREAK SPACE}yd"
    assert taken["Left over"] == "11\N{NO-BREAK SPACE}in × 88\N{NO-BREAK SPACE}in"


def test_the_cost_table_ends_with_total_price_and_deposit():
    table = finishing_tables.list_costs(plan(backing_price=10.0, margin=0.5))
    assert list(table["What"])[-3:] == ["total of what has a price", "price", "deposit"]
    assert list(table["Cost"])[-3:] == [50.0, 75.0, 37.5]


def test_the_backing_is_drawn_with_each_panel_and_the_edge_of_the_top_dashed():
    made = plan()
    drawing = draw_backing(made)
    assert drawing.box == (0.0, 0.0, 68.0, 88.0)
    assert len(drawing.polygons) == 2
    assert drawing.lines[0].dash
    assert drawing.lines[0].points[0] == (4.0, 4.0)
    assert "1 seam" in drawing.title


def test_the_binding_is_drawn_with_a_dot_a_join_and_the_closing_one_ringed():
    made = plan()
    drawing = draw_binding(made)
    assert len(drawing.dots) == len(made.binding.joins)
    assert len(drawing.lines) == 1
    assert [dot.at for dot in drawing.dots] == [join.at for join in made.binding.joins]


@pytest.mark.parametrize("way", ["lengthwise", "crosswise", "wide", "diagonal", "on hand"])
def test_every_way_to_make_a_backing_is_drawn_as_sound_svg_within_its_box(way):
    made = finishing_plan(44.0, 60.0, FinishingWishes(on_hand=((30.0, 70.0), (30.0, 70.0))))
    (found,) = [each for each in made.backing.ranked if each.way == way]
    drawing = draw_backing(made, found)
    assert ET.fromstring(write_svg(drawing)).tag.endswith("svg")  # noqa: S314  our own text
    assert all(0 <= x <= 52 and 0 <= y <= 68 for polygon in drawing.polygons for x, y in polygon.points)


def test_a_title_with_markup_reaches_the_label_as_text():
    made = plan(TopFacts(title="<b>Lamp</b>"))
    assert finishing_tables.list_care(made)["Line"][0] == "<b>Lamp</b>"
    assert "<b>" not in write_image(draw_binding(made))


def find_boxes(drawing):
    """Return the words of a drawing with the box that they take, each letter as wide as in the type of large print."""
    return [
        (note.text, x - 0.26 * len(note.text) * note.height, y - 0.1 * note.height,
         x + 0.26 * len(note.text) * note.height, y + 0.7 * note.height)
        for note in drawing.notes
        for x, y in [note.at]
    ]  # fmt: skip


@pytest.mark.parametrize("edition", ["standard", "large print"])
@pytest.mark.parametrize("system", ["inch", "metric"])
def test_on_paper_the_words_of_both_pictures_are_legible_within_the_picture_and_over_no_others(system, edition):
    """Tops of which joins come close to one another, near corners and on narrow sides."""
    rooms = choose_layout("Letter", edition).rooms
    for width, height in ((22.0, 44.6), (36.0, 44.0), (56.0, 56.0), (60.0, 60.0), (66.0, 66.0), (90.0, 108.0)):
        made = finishing_plan(width, height, find_usual(system), TopFacts(system=system))
        for drawing in (draw_backing(made, rooms=rooms), draw_binding(made, rooms)):
            left, bottom, right, top = drawing.box
            least = rooms.letter / find_scale(drawing.box, rooms.finishing)
            assert all(note.height > 0.999 * least for note in drawing.notes)
            boxes = find_boxes(drawing)
            outside = [one for one in boxes if one[1] < left or one[3] > right or one[2] < bottom or one[4] > top]
            assert outside == []
            for one, other in combinations(boxes, 2):
                apart = one[1] >= other[3] or other[1] >= one[3] or one[2] >= other[4] or other[2] >= one[4]
                assert apart, (width, height, one, other)
