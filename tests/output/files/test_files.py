import csv
import io
import xml.etree.ElementTree as ET
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from printed import pattern_of

import kit
from kit.model.colour import find_grey, find_lightness
from kit.output.files.files import list_files, make_stem, write_files
from kit.output.files.quilt_page import write_page
from kit.output.pictures.bokeh_figure import list_columns, preview
from kit.output.pictures.drawing import VIEWS, draw_top
from kit.output.pictures.svg import write_image, write_svg
from kit.study import study_from_keys, study_keys

NASTY = [
    "<script>alert(1)</script>",
    '"><svg onload=alert(1)>',
    "a & b < c > d",
    "=HYPERLINK(1)",
    "@SUM(A1)",
    "שלום עולם",
    "🧵 thread",
    "{{braces}} $x^2$ #let",
    "quote ' and \" both",
]


def make_nasty(name):
    keys = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
    keys["title"] = name
    keys["fabric"][0]["name"] = name
    return kit.make_pattern(study_from_keys(keys))


@pytest.fixture(scope="module")
def tideline():
    return pattern_of("tideline")


@pytest.mark.parametrize("name", NASTY)
def test_a_name_reaches_svg_as_text_only(name):
    pattern = make_nasty(name)
    tree = ET.fromstring(write_svg(draw_top(pattern, "fabric")))  # noqa: S314  our own text
    tags = {element.tag.split("}")[1] for element in tree.iter()}
    assert tags == {"svg", "title", "g", "polygon", "text"}
    title = next(element for element in tree.iter() if element.tag.endswith("title"))
    assert name in title.text


class Tags(HTMLParser):
    def __init__(self):
        super().__init__()
        self.seen = []

    def handle_starttag(self, tag, attrs):
        self.seen.append((tag, dict(attrs)))


@pytest.mark.parametrize("name", NASTY)
def test_a_name_reaches_html_as_text_only(name):
    parser = Tags()
    parser.feed(write_image(draw_top(make_nasty(name))))
    assert [tag for tag, _ in parser.seen] == ["img"]
    assert name in parser.seen[0][1]["alt"]
    page = Tags()
    page.feed(write_page(make_nasty(name)))
    assert "onload" not in str([attrs for _, attrs in page.seen])
    assert all("alert" not in str(attrs) for _, attrs in page.seen)


@pytest.mark.parametrize("name", ["=HYPERLINK(1)", "@SUM(A1)", "+1", "-1"])
def test_no_cell_of_a_csv_file_is_a_formula(name):
    texts = dict(list_files(make_nasty(name)))
    for stem, text in texts.items():
        if stem.endswith(".csv"):
            for row in csv.reader(io.StringIO(text)):
                assert not [cell for cell in row if cell[:1] in ("=", "@", "+")]


def test_files_stay_in_the_folder_that_was_named(tmp_path):
    pattern = make_nasty("../../../out/of/here")
    written = write_files({name: text.encode() for name, text in list_files(pattern)}, tmp_path / "out")
    assert {path.parent for path in written} == {tmp_path / "out", tmp_path / "out" / "out-of-here-steps"}
    assert sorted(tmp_path.rglob("*.*")) == sorted(written)


def test_a_title_without_a_letter_still_names_a_file():
    assert make_stem("🧵 ///") == "study"


def test_a_folder_that_is_a_file_is_answered_with_a_sentence(tmp_path):
    (tmp_path / "taken").write_text("x")
    with pytest.raises(kit.KitError, match="The folder `taken` cannot be written to"):
        write_files({"tideline.svg": b""}, tmp_path / "taken")


def test_fractions_in_files_are_hyphenated_plain_text(tideline):
    texts = dict(list_files(tideline))
    pieces = texts["tideline-pieces.csv"]
    assert "2-1/2 in" in pieces
    assert "½" not in pieces
    assert "\N{NO-BREAK SPACE}" not in pieces


def test_the_same_study_gives_the_same_bytes_in_every_file(tideline):
    again = kit.make_pattern(kit.open_study("data/studies/tideline.toml"))
    assert dict(list_files(tideline)) == dict(list_files(again))


@pytest.mark.parametrize("view", VIEWS)
def test_every_view_draws_every_patch_once(tideline, view):
    drawing = draw_top(tideline, view)
    assert [polygon.label for polygon in drawing.polygons] == [patch.id for patch in tideline.patchwork.patches]
    columns = list_columns(tideline, view)
    assert {len(column) for column in columns.values()} == {150}


def test_a_view_that_there_is_not_is_refused_by_name(tideline):
    with pytest.raises(kit.KitError, match="There is no view `x-ray`"):
        kit.preview(tideline, "x-ray")


def test_the_preview_says_what_lies_under_the_pointer(tideline):
    columns = list_columns(tideline)
    place = columns["patch"].index("c01-L003")
    assert columns["name"][place] == "blade (left)"
    assert columns["alike"][place] == "48"
    assert columns["cut"][place].replace("\N{NO-BREAK SPACE}", " ").startswith("strip 2½ in")
    figure = preview(tideline)
    assert figure.match_aspect
    assert "finished width (in)" in str(figure.xaxis[0].axis_label)


def test_a_metric_study_is_drawn_in_centimetres(tideline):
    keys = study_keys(tideline.study)
    keys["measures"]["system"] = "metric"
    columns = list_columns(kit.make_sketch(study_from_keys(keys)))
    assert max(x for xs in columns["xs"] for x in xs) == pytest.approx(22 * 2.54)


def test_the_value_view_keeps_lightness():
    for colour in ("#2f5d7c", "#ffffff", "#000000", "#c79a2b"):
        assert find_lightness(find_grey(colour)) == pytest.approx(find_lightness(colour), abs=0.4)


def test_the_csv_of_what_to_buy_adds_up_to_the_model(tideline):
    table = kit.tables.shopping(tideline)
    assert table.Pieces.sum() == len(tideline.patchwork.patches)
    assert list(table.Fabric) == [fabric.name for fabric in tideline.study.fabrics]


def test_compare_has_one_row_per_study(tideline):
    other = pattern_of("lamplight")
    table = kit.compare([tideline, other])
    assert list(table.Title) == ["Tideline", "Lamplight"]
    assert list(table.Patches) == [150, 616]


def test_a_study_without_prices_says_so_and_does_not_guess(tideline):
    fabrics = tuple(replace(fabric, price=None) for fabric in tideline.study.fabrics)
    pattern = kit.make_pattern(replace(tideline.study, fabrics=fabrics))
    assert kit.tables.shopping(pattern).Cost.isna().all()
