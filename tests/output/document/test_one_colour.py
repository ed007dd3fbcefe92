"""Fabrics are told apart without colour: by letters and value words in the key, and by letters in the pictures."""

import re
from io import BytesIO
from xml.etree import ElementTree as ET

import pytest
from printed import cut_out, document_of, pages_of, pattern_of
from pypdf import PdfReader
from shapely import Point, Polygon, maximum_inscribed_circle, unary_union

from kit.output.document.document import choose_layout, prepare
from kit.output.pictures.drawing import name_fabrics
from kit.output.pictures.letters import MOST, RIM, find_spot
from kit.output.pictures.picture_sizes import STANDARD, find_scale

pytestmark = pytest.mark.slow

SVG = "{http://www.w3.org/2000/svg}"
STUDIES = ("ferry-steps", "gull-point", "harbour-light", "millwheel", "regatta-bay")
LAYOUT = choose_layout("Letter")


def read_picture(svg):
    """Return the patches of a picture, and its words with the place of their middle and their height."""
    root = ET.fromstring(svg)  # noqa: S314  the kit's own text
    patches = [
        Polygon([tuple(map(float, corner.split(","))) for corner in one.attrib["points"].split()])
        for one in root.find(f"{SVG}g")
    ]
    words = [
        (one.text, Point(float(one.attrib["x"]), float(one.attrib["y"]) - 0.36 * float(one.attrib["font-size"])))
        for one in root.iter(f"{SVG}text")
        if not one.text.islower()  # the ends of seams
    ]
    return patches, words


def list_pictures(pattern):
    """Return each step that has a picture of its own, with that picture's file."""
    pictures = prepare(pattern, rooms=LAYOUT.rooms).pictures
    steps = {f"step-{step.number}.svg": step for step in pattern.sewing.steps}
    return [(steps[name], svg) for name, svg in pictures.items() if name in steps]


@pytest.mark.parametrize("name", STUDIES)
def test_the_key_gives_each_fabric_a_letter_of_its_own_a_role_and_a_value_word(name):
    pattern = pattern_of(name)
    used = {fabric for fabric, count in pattern.colouring.uses.items() if count}
    key = prepare(pattern).data["key"]
    assert {one["name"] for one in key} == used
    assert len({one["letter"] for one in key}) == len(key)
    words = [one["value"].split(", ") for one in key]  # the word for the colour, then the value
    assert {value for _, value in words} <= {"light", "medium", "dark"}
    assert all(colour.replace("-", "").isalpha() for colour, _ in words)
    text = "".join(cut_out(pages_of(name), "Fabric key", "The pieces").split())  # narrow cells break their words
    for one in key:  # a cell on two lines is read before or after its row
        assert "".join(f"{one['letter']}{one['name']}{one['role']}".split()) in text
        assert all(word in text for word in one["value"].split(", "))


@pytest.mark.parametrize("name", STUDIES)
def test_a_step_letters_each_patch_that_has_room_and_each_piece_that_it_takes_up_by_itself(name):
    """Across the seam, and within every part that is a single piece, no two fabrics are told apart by colour alone.

    Patches without a letter lie in parts that were sewn before: the step takes those as one, whatever their fabrics.
    """
    pattern = pattern_of(name)
    names = name_fabrics(pattern)
    pictures = list_pictures(pattern)
    assert pictures
    for step, svg in pictures:
        patches, words = read_picture(svg)
        scale = find_paper_scale(svg)
        shown = [patch for patch in patches if patch.area > 1e-6]
        lettered = [[word for word, at in words if patch.contains(at)] for patch in shown]
        assert all(len(found) <= 1 for found in lettered)
        assert {word for word, _ in words} <= set(names.values())
        for patch, found in zip(shown, lettered, strict=True):
            room = maximum_inscribed_circle(patch, tolerance=0.01).length * scale
            assert found or room < 1.2 * STANDARD.letter, (step.number, room)
        alone = [part[0] for part in (step.first, step.second) if len(part) == 1]
        for patch in alone:
            assert names[pattern.colouring.assignment[patch]] in {word for word, _ in words}, step.number


@pytest.mark.parametrize("name", STUDIES)
def test_a_letter_stands_in_a_patch_of_its_fabric(name):
    pattern = pattern_of(name)
    names, shapes = name_fabrics(pattern), dict(pattern.sewing.target)
    for step, svg in list_pictures(pattern):
        if step.kind == "trim":
            continue
        _, words = read_picture(svg)
        for patch in (*step.first, *step.second):
            turned = Polygon([(x, -y) for x, y in shapes[patch]]).buffer(-1e-3)
            letter = names[pattern.colouring.assignment[patch]]
            wrong = [word for word, at in words if turned.contains(at) and word != letter]
            assert wrong == [], (step.number, patch)


@pytest.mark.parametrize("name", STUDIES)
def test_the_added_part_has_a_heavy_outline_and_its_seam_is_dashed(name):
    for step, svg in list_pictures(pattern_of(name)):
        edge = float(re.search(r'<g [^>]*stroke-width="([\d.]+)"', svg)[1])
        lines = re.findall(r'<polyline [^>]*stroke-width="([\d.]+)"([^>]*)>', svg)
        if step.second:
            assert any(float(width) > 3.4 * edge and "dash" not in rest for width, rest in lines)
            assert any("dash" in rest for _, rest in lines) or step.kind == "partial"


def find_paper_scale(svg):
    """Return how many millimetres an inch of a step's picture takes on Letter paper."""
    _, _, wide, high = map(float, ET.fromstring(svg).attrib["viewBox"].split())  # noqa: S314  the kit's own text
    return min(LAYOUT.column / wide, LAYOUT.tall / high)


def test_the_edges_of_patches_are_half_a_point_wide_and_finer_where_patches_are_small():
    """Half a point: common practice, no source."""
    for name in ("ferry-steps", "millwheel"):
        for _, svg in list_pictures(pattern_of(name)):
            edge = float(re.search(r'<g [^>]*stroke-width="([\d.]+)"', svg)[1])
            sides = [min(x1 - x0, y1 - y0) for x0, y0, x1, y1 in (patch.bounds for patch in read_picture(svg)[0])]
            points = edge * find_paper_scale(svg) * 72 / 25.4
            assert points == pytest.approx(0.5, abs=0.01) or edge == pytest.approx(0.1 * sorted(sides)[len(sides) // 2])
            assert points <= 0.51


def test_the_dot_at_which_to_stop_is_wider_than_the_seam_and_has_a_white_rim():
    (svg,) = (svg for step, svg in list_pictures(pattern_of("millwheel")) if step.kind == "partial")
    seam = max(float(width) for width in re.findall(r'<polyline [^>]*stroke="#b3261e" stroke-width="([\d.]+)"', svg))
    (dot,) = (float(radius) for radius in re.findall(r'<circle [^>]*r="([\d.]+)" fill="#b3261e"', svg))
    rims = [float(radius) for radius in re.findall(r'<circle [^>]*r="([\d.]+)" fill="#ffffff"', svg)]
    assert 2 * dot > 2 * seam
    assert 2 * dot * find_paper_scale(svg) > 1.7
    assert any(dot < rim < 1.5 * dot for rim in rims)


@pytest.mark.parametrize("name", STUDIES)
def test_every_part_of_a_picture_of_several_steps_has_a_number(name):
    pattern = pattern_of(name)
    pictures = prepare(pattern, rooms=LAYOUT.rooms).pictures
    for unit in pattern.sewing.units:
        for group in pattern.sewing.list_written(unit.name):
            svg = pictures.get(f"steps-{group[0].number}.svg")
            if svg:
                words = {int(word) for word, _ in read_picture(svg)[1]}
                numbers = {step.told for step in group if step.second}
                assert words <= numbers
                assert words == numbers or min(numbers) in words


@pytest.mark.parametrize("name", [*STUDIES, "tideline"])
def test_the_map_has_the_letter_of_every_patch(name):
    pattern = pattern_of(name)
    letters = name_fabrics(pattern)
    parts = prepare(pattern, rooms=LAYOUT.rooms)
    if parts.data["sewing"][0]["map"]["table"]:
        check_map_by_units(pattern, parts)
        return
    maps = [svg for file, svg in parts.pictures.items() if file.startswith("map")]
    words = [word for svg in maps for word in read_picture(svg)[1]]
    for patch in pattern.patchwork.patches:
        turned = Polygon([(x, -y) for x, y in patch.outline]).buffer(0.02)
        found = {word for word, at in words if turned.contains(at)}
        assert letters[pattern.colouring.assignment[patch.id]] in found, patch.id


@pytest.mark.parametrize("outline", [
    ((0, 0), (8, 0), (8, 2), (0, 2)),
    ((0, 0), (6, 0), (0, 6)),
    ((0, 0), (4, 0), (6, 3.46), (2, 3.46)),
    ((0, 0), (9, 0), (9, 1), (1, 1), (1, 7), (0, 7)),
])  # fmt: skip
def test_the_place_of_a_letter_has_nearly_the_most_room_that_there_is(outline):
    """Compared with shapely's largest circle within an outline."""
    at, free = find_spot(outline)
    best = maximum_inscribed_circle(Polygon(outline), tolerance=0.001).length
    assert Polygon(outline).contains(Point(at))
    assert 0.85 * best <= free <= best + 1e-3


def test_a_letter_keeps_away_from_arrows_and_dots():
    outline = ((0.0, 0.0), (4.0, 0.0), (4.0, 2.0), (0.0, 2.0))
    (x, _), free = find_spot(outline, [((0.0, 1.0), (1.8, 1.0), 0.1)])
    assert x > 2.5
    assert 0.7 < free <= 1.0


def test_letters_are_no_smaller_than_the_least_height_and_say_so_in_the_notes():
    pattern = pattern_of("ferry-steps")
    for _, svg in list_pictures(pattern):
        root = ET.fromstring(svg)  # noqa: S314  the kit's own text
        sizes = [float(one.attrib["font-size"]) * find_paper_scale(svg) for one in root.iter(f"{SVG}text")]
        assert all(0.99 * STANDARD.letter <= size <= 1.02 * MOST * STANDARD.letter for size in sizes)
    assert RIM < 1
    assert find_scale((0.0, 0.0, 9.8, 9.8), (100.0, 200.0)) == pytest.approx(100 / (9.8 * 1.02))
    text = " ".join(PdfReader(BytesIO(document_of("ferry-steps"))).pages[1].extract_text().split())
    assert "carries the letter of its fabric" in text


def check_map_by_units(pattern, parts):
    """Read the fabric of every patch from the numbered top, the numbered unit and the table."""
    table = parts.data["sewing"][0]["map"]["table"]
    letters, pieces = name_fabrics(pattern), pattern.cut_list.piece_of
    dealt = {patch: letters[fabric] for patch, fabric in pattern.colouring.assignment.items()}
    outlines = {patch.id: Polygon([(x, -y) for x, y in patch.outline]) for patch in pattern.patchwork.patches}
    by_number = {}
    for units, *row in table["rows"]:
        for run in units.split(", "):
            first, _, last = run.partition("–")
            by_number |= {str(n): row for n in range(int(first), int(last or first) + 1)}
    (unit,) = (one for one in pattern.patchwork.units.children if one.copies > 1)
    _, places = read_picture(parts.pictures["map-top.svg"])
    found = {word: at for word, at in places if word.isdigit()}
    assert set(found) == set(by_number) == {str(n) for n in range(1, unit.copies + 1)}
    _, numbered = read_picture(parts.pictures["map-unit.svg"])
    lies = {word: next(name for name, one in outlines.items() if one.contains(at)) for word, at in numbered}
    assert list(lies) == table["head"][1:]
    for number, at in found.items():
        (copy,) = (
            one for one in unit.patches if unary_union([outlines[patch] for patch in one]).buffer(0.1).contains(at)
        )
        said = sorted((pieces[lies[part]].id, letter) for part, letter in zip(lies, by_number[number], strict=True))
        told = {pieces[patch].id for patch in lies.values()}
        assert said == sorted((pieces[patch].id, dealt[patch]) for patch in copy if pieces[patch].id in told)
        if number == "1":
            assert all(dealt[lies[part]] == letter for part, letter in zip(lies, by_number["1"], strict=True))
