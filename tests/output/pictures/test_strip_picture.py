"""Pictures beside the words of cutting: each named strip to scale, and how angled pieces are laid."""

import pytest
import shapely

import kit
from kit.output.pictures.strip_picture import draw_angled_cuts, draw_named_strips
from kit.output.words.printed_words import print_cutting


@pytest.fixture(scope="module", params=["boat-shed", "harbour-light"])
def sketch(request):
    return kit.make_sketch(kit.open_study(f"data/studies/{request.param}.toml"), "steady")


def test_every_drawing_that_a_line_names_is_drawn_to_scale_and_no_other(sketch):
    drawn = draw_named_strips(sketch)
    named = {name: boxes for cloth in print_cutting(sketch).cloths for name, boxes in cloth.drawings.items()}
    assert set(drawn) == set(named) != set()
    for name, drawing in drawn.items():
        left, bottom, right, top = drawing.box
        strip = shapely.box(left, bottom, right, top)
        for _, x, y, width, height in named[name]:
            assert strip.buffer(1e-6).covers(shapely.box(x, y, x + width, y + height))
        said = [note.text for note in drawing.notes]
        assert sorted(said) == sorted(piece for piece, *_ in named[name])


def test_a_study_of_plain_rows_has_no_drawing():
    assert draw_named_strips(kit.make_sketch(kit.open_study("data/studies/ferry-steps.toml"))) == {}


@pytest.mark.parametrize(("name", "turned"), [("tideline", True), ("harbour-wheel", False)])
def test_angled_pieces_are_numbered_and_those_turned_by_half_marked(name, turned):
    drawing = draw_angled_cuts(kit.make_sketch(kit.open_study(f"data/studies/{name}.toml")))
    texts = [note.text for note in drawing.notes]
    assert texts[0].startswith("1")
    assert any("↻" in text for text in texts) == turned
    shapes = [shapely.Polygon(p.points) for p in drawing.polygons if p.label in ("B1", "B2", "A1", "F1", "G2", "H2")]
    assert shapely.union_all(shapes).area == pytest.approx(sum(shape.area for shape in shapes), rel=1e-6)


def test_without_angled_pieces_there_is_nothing_to_show():
    assert draw_angled_cuts(kit.make_sketch(kit.open_study("data/studies/gull-point.toml"))) is None
