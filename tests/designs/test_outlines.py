"""Outlines from a drawing (SVG) and from a study: sizes, places and what is refused."""

from math import isclose

import pytest
from drawings import sheets
from hypothesis import given, settings
from hypothesis import strategies as st
from redrawing import attempt
from strategies import Case

import kit
from kit.designs.svg_outlines import LARGEST, read_outlines, read_svg
from kit.errors import PatchworkError, StudyError
from kit.geometry.closing import close_lines
from kit.geometry.outlines import measure_area, measure_box
from kit.study import open_study, save_study

MANY = settings(max_examples=40)
INCHES = 'width="4in" height="4in" viewBox="0 0 4 4"'


def svg(body, head=INCHES, before=""):
    spaces = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" xmlns:own="about:own"'
    return f"{before}<svg {spaces} {head}>{body}</svg>".encode()


def corners(body, head=INCHES):
    """Return the corners of each outline, rounded and in order."""
    return [sorted((round(x, 6) + 0.0, round(y, 6) + 0.0) for x, y in one.outline) for one in read_svg(svg(body, head))]


# Shapes, units and transforms


@pytest.mark.parametrize(
    "body",
    [
        '<rect width="2" height="1"/>',
        '<rect x="1" y="1" width="192px" height="96"  transform="scale(0.010416666666666666)"/>',
        '<polygon points="0,0 2,0 2,1 0,1"/>',
        '<polygon points="0 0,2 0 2-0 2 1 0 1"/>',
        '<polyline points="0,0 2,0 2,1 0,1 0,0"/>',
        '<path d="M0 0H2V1H0Z"/>',
        '<path d="m0,0 2,0 0,1 -2,0z"/>',
        '<path d="M 0 0 L 2 0 L 2 1 L 0 1 L 0 0"/>',
        '<path d="M3e0,1l-2,0v1h2z"/>',
        '<g transform="translate(1,2)"><g transform="scale(2 1)"><rect width="1" height="1"/></g></g>',
        '<rect width="1" height="2" transform="rotate(90)"/>',
        '<rect width="1" height="2" transform="rotate(-90 1 1)"/>',
        '<rect width="1" height="1" transform="matrix(2 0 0 -1 0 0)"/>',
        '<polygon points="0,0 2,0 1,1 -1,1" transform="skewX(45)"/>',
        '<polygon points="0,0 2,-2 2,-1 0,1" transform="skewY(45)"/>',
    ],
)
def test_the_same_outline_in_many_ways_of_writing(body):
    assert corners(body) == [[(0, 0), (0, 1), (2, 0), (2, 1)]]


@pytest.mark.parametrize(
    ("head", "inches"),
    [
        ('width="4in" height="4in" viewBox="0 0 96 96"', 4 / 96),
        ('width="96" height="96"', 1 / 96),
        ('width="10cm" height="10cm" viewBox="-5 -5 10 10"', 1 / 2.54),
        ('width="254mm" height="254mm" viewBox="0 0 10 10"', 1),
        ('width="72pt" height="6pc" viewBox="0 0 1 1"', 1),
        ('width="288px" height="288px" viewBox="0 0 3 3"', 1),
    ],
)
def test_the_size_is_that_of_the_standard(head, inches):
    # CSS Values and Units Module Level 3, section 6.2: 1in = 2.54cm = 96px = 72pt = 6pc (from memory)
    (one,) = read_svg(svg('<rect x="1" y="1" width="1" height="1"/>', head))
    left, bottom, right, top = measure_box(one.outline)
    assert (left, bottom) == (0, 0)
    assert isclose(right, inches, rel_tol=1e-12)
    assert isclose(top, inches, rel_tol=1e-12)


def test_up_is_up_and_the_lower_left_corner_of_all_is_the_origin():
    upper, lower = corners('<rect x="1" y="1" width="1" height="1"/><rect x="1" y="2" width="1" height="1"/>')
    assert (upper[0], lower[0]) == ((0, 1), (0, 0))


def test_a_slot_is_the_class_or_else_the_fill_and_the_name_says_where_it_stands():
    body = """
    <title>A boat</title><own:note><own:deeper/></own:note><defs><linearGradient id="g"/></defs>
    <rect class="sea" fill="#1d2c48" width="4" height="1"/>
    <path id="jib" d="M0 1h4v1z" style="stroke:none; fill: #ff0000"/>
    <rect y="2" width="1" height="1" fill="none"/>"""
    found = read_svg(svg(body))
    assert [(one.slot, one.name) for one in found] == [
        ("sea", "rect on line 3"),
        ("#ff0000", "path `jib`"),
        ("patch", "rect on line 5"),
    ]


@MANY
@given(sheets(), st.sampled_from(["in", "cm", "mm", "pt", "px"]), st.integers(0, 3))
def test_a_drawing_written_as_svg_comes_back_as_it_was(sheet, unit, quarter):
    outlines = close_lines(sheet.lines, sheet.across, sheet.up).outlines
    shown = [" ".join(f"{x!r},{sheet.up - y!r}" for x, y in one) for one in outlines]
    body = "".join(f'<polygon points="{points}"/>' for points in shown)
    head = f'width="{sheet.across}{unit}" height="{sheet.up}{unit}" viewBox="0 0 {sheet.across} {sheet.up}"'
    size = {"in": 1, "cm": 1 / 2.54, "mm": 0.1 / 2.54, "pt": 1 / 72, "px": 1 / 96}[unit]
    whole = f'<g transform="rotate({90 * quarter} 3 -7) translate(2 5)">{body}</g>'
    for text, turned in ((svg(body, head), 0), (svg(whole, head), quarter)):
        found = [one.outline for one in read_svg(text)]
        areas = [measure_area(one) / size**2 for one in found]
        assert areas == pytest.approx([measure_area(one) for one in outlines])
        width, height = measure_box(point for one in found for point in one)[2:]
        wanted = (sheet.up, sheet.across) if turned % 2 else (sheet.across, sheet.up)
        assert (width / size, height / size) == pytest.approx(wanted)


# What is refused


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<path id="wave" d="M0 0 C1 1 2 2 3 3Z"/>', "line 1: path `wave`: a curve (C 1 1 2 2 3 3)"),
        ('\n\n<path d="M0 0 l1 0 a1 1 0 0 1 2 2z"/>', "line 3: path on line 3: an arc (a"),
        ('<path d="M0 0 q1 1 2 2z"/>', "a curve (q"),
        ('<path d="M0 0 1 0 t2 2z"/>', "a curve (t"),
        ('<circle id="moon" r="1"/>', "circle `moon`"),
        ('<ellipse rx="1" ry="1"/>', "outlines of straight lines"),
        ('<rect id="pebble" width="1" height="1" rx="0.2"/>', "rect `pebble`: rounded corners"),
        ('<line x1="0" y1="0" x2="1" y2="1"/>', "line on line 1"),
        ("<text>Tide</text>", "text on line 1"),
        ('<image xlink:href="boat.png"/>', "image on line 1 has `href`"),
        ('<use xlink:href="#a"/>', "use on line 1 uses `#a`, which is not a group"),
        ("<script>alert(1)</script>", "script on line 1"),
        ("<defs><script>alert(1)</script></defs>", "script on line 1"),
        ('<defs><image xlink:href="https://x.test/y"/></defs>', "image on line 1"),
        ("<foreignObject/>", "foreignObject on line 1"),
        ("<style>rect{fill:red}</style>", "style on line 1"),
        ('<g onload="go()"/>', "has a script (`onload`)"),
        ('<rect width="1" height="1" style="transform:scale(2)"/>', "has the style `transform:scale(2)`"),
        ('<rect width="1" height="1" style="fill:url(https://x.test/y)"/>', "has the style"),
        ('<rect width="1" height="1" clip-path="url(#c)"/>', "has `clip-path`"),
        ('<g display="none"><rect width="1" height="1"/></g>', "has `display`"),
        ('<g><animate attributeName="x"/></g>', "animate on line 1"),
        ('<svg width="1" height="1"/>', "svg on line 1"),
        ('<polyline points="0,0 1,0 1,1"/>', "a polyline that is open, from 0,0 to 1,1"),
        ('<path d="M0 0 1 0 1 1"/>', "a path that is open"),
        ('<path d="L0 0 1 0 1 1z"/>', "path data that starts with `L`"),
        ('<path d="M0 0 1z"/>', "3 numbers after `M`"),
        ('<path d="M0 0 1 0 1 1z 5 5"/>', "2 numbers after `z`"),
        ('<path d="M0 0 1 0 1 1z;"/>', "the path data"),
        ('<path d=""/>', "the path data"),
        ('<polygon points="0,0 1,0 1"/>', "5 numbers"),
        ('<polygon points="0,0 1,0 1,one"/>', "the points"),
        ('<rect width="0" height="1"/>', "a rectangle 0 wide"),
        ('<rect width="10%" height="1"/>', "the length `10%`"),
        ('<rect width="1e400" height="1"/>', "the number `1e400`"),
        ('<rect width="1" height="1" transform="spin(3)"/>', "the transform `spin` of 1 numbers"),
        ('<rect width="1" height="1" transform="scale(2"/>', "the transform `scale(2`"),
        ('<rect width="1" height="1" transform="scale(0)"/>', "encloses no area"),
        ("", "holds no outline"),
        ("<g>" * 60 + "</g>" * 60, "elements 51 deep"),
        ("<own:a>" * 60 + "</own:a>" * 60, "elements 51 deep"),
        ('<rect width="1" height="1"/>' * 20_001, "more outlines than a top may have"),
        ('<path d="M' + " ".join(f"{i} {i * i}" for i in range(700)) + 'z"/>', "has 700 corners"),
        ("<rect", "is not SVG"),
        ("&fog;", "is not SVG"),
        ("<?xml-stylesheet href='x'?>", "the instruction <?xml-stylesheet?>"),
    ],
)
def test_an_outline_that_is_not_straight_is_refused_with_its_place(body, said):
    with pytest.raises(PatchworkError) as caught:
        read_svg(svg(body), "boat.svg")
    assert said in str(caught.value)
    assert caught.value.found.startswith("boat.svg")
    assert caught.value.do


@pytest.mark.parametrize(
    "before",
    [
        "<!DOCTYPE svg>",
        '<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">',
        '<!DOCTYPE svg [<!ENTITY fog SYSTEM "file:///etc/hostname">]>',
        '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;">]>',
        '<!DOCTYPE svg [<!ENTITY % p SYSTEM "https://x.test/p"> %p;]>',
    ],
)
def test_a_document_type_or_an_entity_is_refused_before_it_is_read(before):
    with pytest.raises(PatchworkError, match="line 1: a document type or entity"):
        read_svg(svg('<rect width="1" height="1"/>', before=before), "boat.svg")


@pytest.mark.parametrize(
    ("head", "said"),
    [
        ('viewBox="0 0 4 4"', "does not give its size"),
        ('width="100%" height="100%"', "does not give its size"),
        ('width="4in" height="5in" viewBox="0 0 4 4"', "one of them is stretched"),
        ('width="4em" height="4em"', "the length `4em`"),
        ('width="-4in" height="4in"', "the size of the drawing is -4in"),
        ('width="4in" height="4in" viewBox="0 0 4"', "four numbers"),
        ('width="4in" height="4in" viewBox="0 0 0 4"', "over zero"),
        ('width="4in" height="4in" viewBox="0 0 nan 4"', "over zero"),
    ],
)
def test_a_size_that_is_not_plain_is_never_guessed(head, said):
    with pytest.raises(PatchworkError) as caught:
        read_svg(svg('<rect width="1" height="1"/>', head), "boat.svg")
    assert said in str(caught.value)


@pytest.mark.parametrize("data", [b"", b"\x00\xff", b"plain words", b"<html/>", "<svg/>".encode("utf-16"), b"<?xml"])
def test_a_file_that_is_not_svg_is_refused(data):
    with pytest.raises(PatchworkError):
        read_svg(data)


@settings(max_examples=150)
@given(st.text("MmLlHhVvZzCAe0123456789.,- ", max_size=30))
def test_whatever_path_data_is_written_gives_outlines_or_words(data):
    found, refused = attempt(lambda: read_svg(svg(f'<path d="{data}"/>')))
    assert refused or all(measure_area(one.outline) > 0 for one in found)


def test_a_file_that_is_not_there_a_folder_and_a_huge_file_are_refused(tmp_path):
    huge = tmp_path / "huge.svg"
    huge.write_bytes(b" " * (LARGEST + 1))
    with pytest.raises(PatchworkError, match="over 5 megabytes"):
        read_outlines(huge)
    for path in (tmp_path, tmp_path / "no.svg"):
        with pytest.raises(PatchworkError, match="cannot be read"):
            read_outlines(path)


# The family


BOAT = svg('<path class="sky" d="M0 0H4V3H0z"/><rect class="sea" y="3" width="4" height="1"/>')
STUDY = """title = "Boat"
[design]
family = "outlines"
drawing = "{}"
[[fabric]]
slot = "sky"
name = "Fog"
colour = "#dfe6ea"
[[fabric]]
slot = "sea"
name = "Deep"
colour = "#1d2c48"
"""


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "home" / "drawings").mkdir(parents=True)
    (tmp_path / "home" / "drawings" / "boat.svg").write_bytes(BOAT)
    (tmp_path / "outside.svg").write_bytes(BOAT)
    return tmp_path / "home"


def test_a_study_takes_its_drawing_in_and_needs_it_no_more_once_it_is_saved(folder, tmp_path):
    (folder / "boat.toml").write_text(STUDY.format("drawings/boat.svg"), encoding="utf-8")
    study = open_study(folder / "boat.toml")
    assert study.make_patchwork().finished == (4, 4)
    assert study.make_patchwork().slots == ("sky", "sea")
    assert open_study(save_study(study, tmp_path / "elsewhere.toml")) == study
    assert kit.make_pattern(study).rehearsal.agrees


@pytest.mark.parametrize(
    "name",
    ["../outside.svg", "drawings/../../outside.svg", "/etc/hostname", "d\\\\boat.svg", "C:boat.svg", "link.svg", "."],
)
def test_a_drawing_outside_the_folder_of_the_study_is_never_read(folder, name):
    (folder / "link.svg").symlink_to(folder.parent / "outside.svg")
    (folder / "boat.toml").write_text(STUDY.format(name), encoding="utf-8")
    with pytest.raises(StudyError, match=r"outside the study's folder|cannot be read"):
        open_study(folder / "boat.toml")


def test_a_drawing_beside_outlines_is_refused_and_so_is_one_without_a_folder(folder):
    text = STUDY.format("drawings/boat.svg")
    (folder / "boat.toml").write_text(text.replace("[[", 'outlines = ["a: 0,0 1,0 1,1"]\n[[', 1), encoding="utf-8")
    with pytest.raises(StudyError, match=r"`design.drawing` together with `design.outlines`"):
        open_study(folder / "boat.toml")
    with pytest.raises(StudyError, match="is not in a folder"):
        kit.study.read_study(text)


def build(*outlines, allowance="1/4 in", **keys):
    return Case({"family": "outlines", "outlines": list(outlines)} | keys, allowance).build().verify()


@MANY
@given(sheets())
def test_outlines_give_the_patches_that_the_lines_give(sheet):
    drawn = Case(sheet.keys(), "1/4 in").build().verify()
    texts = ["ground: " + " ".join(f"{x:g},{y:g}" for x, y in patch.outline[::-1]) for patch in drawn.patches]
    assert build(*texts).patches == drawn.patches


@pytest.mark.parametrize(
    ("outlines", "said"),
    [
        (["a: 0,0 4,0 4,4 0,4", "b: 4,0 8,0 8,4 4.02,4"], "at 4.02,4, 0.02000 in off outline 1"),
        (["a: 0,0 4,0 4,4 0,4", "b: 4,0 8,0 8,4.01 4,4"], "off the edge of the drawing"),
        (["a: 0,0 4,0 4,4 0,4", "b: 3,0 8,0 8,4 3,4"], "overlap by 4.0000 square inches"),
        (["a: 0,0 4,0 4,4 0,4", "b: 5,0 8,0 8,4 5,4"], "fall into 2 parts"),
        (["a: 0,0 4,0 4,4"], "The outlines cover 8.0000 of the 16.0000 square inches"),
        (["a: 0,0 6,6 6,0 0,3"], "crosses or touches itself"),
        (["a: 0,0 4,0"], "Outline 1 has 2 corners"),
        (["a: 0,0 4,0 8,0"], "encloses no area"),
        (["a: 0,0 4,x 8,0"], "outline 1, holds `4,x`"),
        ([": 0,0 4,0 4,4"], "Outline 1 begins"),
        (["a: 0,0 4,0 4,0.4 0,0.4"], "has an edge of 0.400 in"),
    ],
)
def test_outlines_that_make_no_top_are_named(outlines, said):
    with pytest.raises(PatchworkError) as caught:
        build(*outlines)
    assert said in str(caught.value)


def test_corners_that_almost_meet_are_moved_when_that_is_asked_for():
    exact = build("a: 0,0 4,0 4,4 0,4", "b: 4,0 8,0 8,4 4,4")
    assert build("a: 0,0 4,0 4,4 0,4", "b: 4,0.01 8,0 8,3.99 4.02,4", snap="1/16 in") == exact
