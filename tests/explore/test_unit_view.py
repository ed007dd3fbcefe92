"""Units as pictures with the names of their edges, and as a table; and the notebook on them over other studies."""

import re
import runpy
from base64 import b64decode
from pathlib import Path

import nbformat
import pytest

import kit
from kit.output.pictures.unit_picture import HEIGHT, LETTER, draw_unit

ROOT = Path(__file__).parents[2]
UNITS = ("harbour-wheel", "boat-shed", "town-quay")
OTHERS = ("tideline", "regatta-bay")


def read(name):
    return kit.open_study(ROOT / f"data/studies/{name}.toml")


def list_pictures(html):
    return [b64decode(data).decode() for data in re.findall(r"base64,([^\"]+)", html.data)]


def list_words(svg):
    return re.findall(r"<text [^>]*>([^<]+)</text>", svg)


def test_a_picture_of_a_unit_names_each_of_its_edges_once():
    (arm,), (pier,), (wing,) = (list_pictures(kit.show_unit(read("harbour-wheel"), u)) for u in ("arm", "pier", "wing"))
    assert list_words(arm) == [f"edge {k}" for k in range(1, 6)]
    assert sorted(list_words(pier)) == ["bottom", "left", "right", "top"]
    assert list_words(wing) == ["long", "short 1", "short 2"]


def test_names_of_edges_stand_outside_the_unit_and_beside_one_another():
    made = read("harbour-wheel").design.make_unit("rose")
    drawing = draw_unit([(shape.outline, "#ffffff") for shape in made.shapes], dict(made.edges), "A star")
    height = HEIGHT * max(made.size)
    boxes = [(n.at[0], n.at[1], len(n.text) * LETTER * height) for n in drawing.notes]
    for i, (x, y, wide) in enumerate(boxes):
        for u, v, other in boxes[:i]:
            assert abs(x - u) >= (wide + other) / 2 or abs(y - v) >= height
    left, bottom, right, top = drawing.box
    assert all(left <= x - wide / 2 and x + wide / 2 <= right and bottom <= y <= top for x, y, wide in boxes)


def test_without_a_name_every_unit_of_any_study_is_shown():
    assert len(list_pictures(kit.show_unit(read("harbour-wheel")))) == len(read("harbour-wheel").design.units)
    tree = read("tideline").make_patchwork().units.list_all()
    assert len(list_pictures(kit.show_unit(read("tideline")))) == len(tree)


def test_a_unit_that_is_not_there_is_refused_with_the_nearest_that_is():
    with pytest.raises(kit.KitError, match=r"has no unit `spokes`.*[Ww]rite `spoke`"):
        kit.show_unit(read("harbour-wheel"), "spokes")


def test_the_table_of_units_tells_how_many_to_make_how_large_and_of_what():
    table = kit.tables.units(kit.make_sketch(read("town-quay"))).set_index("Unit")
    assert table.loc["swell", "Make"] == 6
    assert table.loc["swell", "Made of"] == "9 × wave"
    assert table.loc["border 5 side B", ["Make", "Mirrored"]].tolist() == [2, 1]
    assert table.loc["tern", "Finished"].replace("\xa0", " ") == "2 in × 4 in"


def test_a_unit_that_lies_aslant_in_the_top_has_the_size_of_the_unit_as_it_is_made():
    table = kit.tables.units(kit.make_sketch(read("harbour-wheel"))).set_index("Unit")
    assert table.loc["pier", "Finished"].replace("\xa0", " ") == "5 in × 10 in"


@pytest.mark.slow
@pytest.mark.parametrize("name", [*UNITS, *OTHERS])
def test_the_notebook_on_units_runs_over_every_study_of_units_and_over_others(name, tmp_path):
    cells = nbformat.read(ROOT / "notebooks/5-units.ipynb", as_version=4).cells
    code = "\n".join(cell.source for cell in cells if cell.cell_type == "code")
    path = "../data/studies/harbour-wheel.toml"
    assert code.count(path) == 1
    script = tmp_path / "units.py"
    script.write_text(code.replace(path, str(ROOT / f"data/studies/{name}.toml")), encoding="utf-8")
    held = runpy.run_path(str(script))
    assert held["study"] == read(name)
    assert len(held["units"]) == len(held["sketch"].patchwork.units.list_all())


@pytest.mark.slow
@pytest.mark.parametrize("path", sorted((ROOT / "tests/designs/units").glob("*.toml")), ids=lambda path: path.stem)
def test_every_unit_of_every_study_of_units_has_its_picture(path):
    study = kit.open_study(path)
    assert len(list_pictures(kit.show_unit(study))) >= len(study.design.units)
