"""Units of drawings: named groups and copies of them (SVG), and the table of places that a study keeps of them."""

from itertools import pairwise

import pytest
from drawings import sheets
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import Case

import kit
from kit.designs.svg_outlines import read_svg
from kit.errors import PatchworkError
from kit.geometry.closing import close_lines
from kit.geometry.outlines import measure_area
from kit.model.patchwork import Within
from kit.study import open_study, save_study

MANY = settings(max_examples=40)
WING = '<g id="wing"><path class="sail" d="M0 0H3L0 2z"/><path class="sky" d="M3 0V2H0z"/></g>'
"""A wing of two unlike triangles, 3 in wide and 2 in high."""


def svg(body, wide=12, high=12):
    space = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'
    return f'<svg {space} width="{wide}in" height="{high}in" viewBox="0 0 {wide} {high}">{body}</svg>'.encode()


def draw(tmp_path, body, wide, high, **tables):
    """Return the study of a drawing, opened from its folder."""
    (tmp_path / "drawing.svg").write_bytes(svg(body, wide, high))
    slots = sorted({one.slot for one in read_svg(svg(body, wide, high))})
    text = 'title = "Harbour"\n[design]\nfamily = "outlines"\ndrawing = "drawing.svg"\n'
    text += "".join(f"{key} = {value}\n" for key, value in tables.items())
    text += "".join(f'[[fabric]]\nslot = "{slot}"\nname = "{slot}"\ncolour = "#80a0b0"\n' for slot in slots)
    (tmp_path / "harbour.toml").write_text(text, encoding="utf-8")
    return open_study(tmp_path / "harbour.toml")


def list_units(patchwork):
    """Return the copies and the mirror images of every unit that is smaller than the whole top."""
    units = [unit for unit in patchwork.units.list_all() if len(unit.patches[0]) < len(patchwork.patches)]
    return {unit.name: (unit.copies, unit.mirrored) for unit in units}


def list_groups(patchwork):
    """Return what holds each patch, without the block that is the whole top."""
    return [tuple(within for within in patch.group if within.unit != "block") for patch in patchwork.patches]


# Copies


MILL = f"""<defs>{WING}</defs>
<use href="#wing"/><use href="#wing" transform="translate(5 0) rotate(90)"/>
<use href="#wing" transform="rotate(180 2.5 2.5)"/><use xlink:href="#wing" transform="translate(0 5) rotate(-90)"/>
<rect class="sea" x="2" y="2" width="1" height="1"/>"""
"""Four wings turned round a square."""


def test_copies_that_are_turned_are_one_unit_that_is_made_four_times(tmp_path):
    study = draw(tmp_path, MILL, 5, 5)
    patchwork = study.make_patchwork()
    assert list_units(patchwork) == {"wing": (4, 0)}
    wing = next(unit for unit in patchwork.units.list_all() if unit.name == "wing")
    assert sorted(round(placing.degrees) % 360 for placing in wing.placings) == [0, 90, 180, 270]
    assert kit.make_pattern(study).rehearsal.agrees


def test_a_mirrored_copy_is_the_same_unit_and_says_so(tmp_path):
    body = f'<defs>{WING}</defs><use href="#wing"/><use href="#wing" transform="translate(6 0) scale(-1 1)"/>'
    assert list_units(draw(tmp_path, body, 6, 2).make_patchwork()) == {"wing": (2, 1)}


def test_groups_within_groups_are_units_within_units(tmp_path):
    half = '<g id="half"><use href="#wing"/><use href="#wing" x="3"/></g>'
    body = f'<defs>{WING}{half}</defs><use href="#half"/><use href="#half" y="2"/>'
    patchwork = draw(tmp_path, body, 6, 4).make_patchwork()
    assert list_units(patchwork) == {"wing": (4, 0), "half": (2, 0)}
    assert set(list_groups(patchwork)) == {(Within("half", a), Within("wing", b)) for a in "12" for b in "12"}


def test_a_group_that_lies_in_the_drawing_and_is_used_again_counts_itself(tmp_path):
    body = f'{WING}<use href="#wing" transform="translate(6 2) rotate(180)"/>'
    assert list_units(draw(tmp_path, body, 6, 2).make_patchwork()) == {"wing": (2, 0)}


def test_a_shape_that_is_used_again_is_a_plain_patch(tmp_path):
    body = '<rect id="stone" class="sea" width="2" height="2"/><use href="#stone" x="2"/>'
    patchwork = draw(tmp_path, body, 4, 2).make_patchwork()
    assert list_groups(patchwork) == [(), ()]
    assert patchwork.finished == (4, 2)


@MANY
@given(sheets(), st.integers(1, 3), st.integers(0, 3), st.booleans())
def test_copies_lie_where_the_same_outlines_written_out_lie(sheet, count, quarter, flip):
    outlines = close_lines(sheet.lines, sheet.across, sheet.up).outlines
    shapes = "".join(f'<polygon points="{" ".join(f"{x!r},{y!r}" for x, y in one)}"/>' for one in outlines)
    turn = f"rotate({90 * quarter}) scale({-1 if flip else 1} 1)"
    moves = [f"translate({20 * k} 3) {turn}" for k in range(count)]
    used = "".join(f'<use href="#sheet" x="2" y="1" transform="{move}"/>' for move in moves)
    written = "".join(f'<g transform="{move} translate(2 1)">{shapes}</g>' for move in moves)
    copied = read_svg(svg(f'<defs><g id="sheet">{shapes}</g></defs>{used}'))
    assert [one.outline for one in copied] == [one.outline for one in read_svg(svg(written))]
    in_groups = {one.group for one in copied}
    assert len(in_groups) == (count if count > 1 and len(outlines) > 1 else 1)


# Which groups are units


PAIR = '<rect class="{0}" x="{1}" width="2" height="2"/><rect class="sky" x="{1}" y="2" width="2" height="2"/>'


@pytest.mark.parametrize(
    ("body", "units"),
    [
        (f'<g id="pier">{PAIR.format("sea", 0)}</g><g>{PAIR.format("sea", 2)}</g>', {"pier": (1, 0)}),
        (f'<g id="g12">{PAIR.format("sea", 0)}</g><g id="layer1">{PAIR.format("sea", 2)}</g>', {}),
        (f'<g id="g12">{PAIR.format("sea", 0)}</g><use href="#g12" x="2"/>', {"g12": (2, 0)}),
        (f'<g id="all">{PAIR.format("sea", 0)}{PAIR.format("sea", 2)}</g>', {}),
        ('<g id="blue"><rect width="2" height="2"/><rect x="2" y="2" width="2" height="2"/></g>'
         '<g id="red"><rect x="2" width="2" height="2"/><rect y="2" width="2" height="2"/></g>', {}),
        (f'<g id="one"><rect width="2" height="4"/></g>{PAIR.format("sea", 2)}', {}),
    ],
)  # fmt: skip
def test_a_named_group_that_is_one_piece_of_the_drawing_is_a_unit_and_a_layer_is_not(tmp_path, body, units):
    assert list_units(draw(tmp_path, body, 4, 4).make_patchwork()) == units


def test_a_ring_round_something_else_is_not_a_unit(tmp_path):
    ring = "".join(f'<use href="#side" transform="rotate({90 * k} 3 3)"/>' for k in range(4))
    body = f"""<defs><rect id="side" width="4" height="2"/></defs><g id="ring">{ring}</g>
    <rect class="sea" x="2" y="2" width="2" height="2"/>"""
    assert list_units(draw(tmp_path, body, 6, 6).make_patchwork()) == {}


# Kept in the study


def test_a_saved_study_keeps_the_units_without_the_drawing(tmp_path):
    study = draw(tmp_path, MILL, 5, 5)
    (tmp_path / "away").mkdir()
    saved = save_study(study, tmp_path / "away" / "harbour.toml")
    again = open_study(saved)
    assert again == study
    assert again.make_patchwork() == study.make_patchwork()
    assert list_units(again.make_patchwork()) == {"wing": (4, 0)}


def test_a_table_of_units_in_the_study_stands_in_place_of_the_groups_of_its_drawing(tmp_path):
    units = '{ foot = ["1in,0.5in 4in,0.5in 1in,1.5in 4in,1.5in"] }'
    half = '<g id="half"><use href="#wing"/><use href="#wing" x="3"/></g>'
    body = f'<defs>{WING}{half}</defs><use href="#half"/><use href="#half" y="2"/>'
    assert list_units(draw(tmp_path, body, 6, 4, units=units).make_patchwork()) == {"foot": (1, 0)}


SQUARES = [f"sea: {x},{y} {x + 2},{y} {x + 2},{y + 2} {x},{y + 2}" for y in (0, 2) for x in (0, 2, 4, 6)]
"""Eight squares, four across and two high."""


def build(units, **keys):
    return Case({"family": "outlines", "outlines": SQUARES, "units": units} | keys, "1/4 in").build().verify()


def test_copies_within_others_are_parts_of_them_in_whatever_order_they_are_named():
    units = {"post": ["1,1 1,3", "3,1 3,3", "5,1 5,3", "7,1 7,3"], "gate": ["1,1 3,1 1,3 3,3", "5,1 7,1 5,3 7,3"]}
    for table in (units, dict(reversed(units.items()))):
        assert list_units(build(table)) == {"post": (4, 0), "gate": (2, 0)}
        assert {len(group) for group in list_groups(build(table))} == {2}


def test_of_two_units_of_the_same_patches_the_one_named_later_lies_within():
    (group, *_) = list_groups(build({"gate": ["1,1 1,3"], "post": ["1,1 1,3"]}))
    assert [within.unit for within in group] == ["gate", "post"]


def test_units_of_a_drawing_lie_within_the_blocks_of_a_setting():
    patchwork = build({"post": ["1,1 1,3", "3,1 3,3"]}, columns=2, turns=["0 180"])
    assert list_units(patchwork) == {"post": (4, 0), "block": (2, 0)}
    assert {tuple(within.unit for within in patch.group) for patch in patchwork.patches} == {
        ("block",), ("block", "post"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("units", "said"),
    [
        ({"post": ["1,1 2,2"]}, "`design.units.post` names 2,2, which is on a seam or outside"),
        ({"post": ["1,1 9,1"]}, "`design.units.post` names 9,1"),
        ({"post": ["1,1"]}, "A copy of `post` in `design.units` names 1 patch"),
        ({"post": ["1,1 5,1"]}, "The patches of the copy of `post` that begins at 1,1 do not hang together"),
        ({"post": ["1,1 3,3"]}, "do not hang together"),
        ({"post": ["1,1 3,1", "3,1 5,1"]}, "A copy of `post` in `design.units` shares patches with one of `post`"),
        ({"gate": ["1,1 3,1 5,1"], "post": ["5,1 5,3"]}, "`post` in `design.units` shares patches with one of `gate`"),
        ({"post": ["1,x"]}, "`design.units.post` holds `1,x`"),
    ],
)
def test_places_that_name_no_unit_are_refused_by_name(units, said):
    with pytest.raises(PatchworkError) as caught:
        build(units)
    assert said in caught.value.found
    assert caught.value.do


def test_a_thousand_units_are_read_back_as_they_were(tmp_path):
    across = 40
    cells = [(x, y) for y in range(25) for x in range(across)]
    pair = '<defs><g id="pair"><rect width="1" height="2"/><rect x="1" width="1" height="2"/></g></defs>'
    body = pair + "".join(f'<use href="#pair" x="{2 * x}" y="{2 * y}"/>' for x, y in cells)
    patchwork = draw(tmp_path, body, 2 * across, 50).make_patchwork()
    assert list_units(patchwork) == {"pair": (1000, 0)}
    assert all(a.group == b.group for a, b in list(pairwise(patchwork.patches))[::2])


# What is refused


@pytest.mark.parametrize(
    ("body", "said"),
    [
        ('<g id="a"><use href="#a"/></g>', "line 1: use on line 1 uses what it lies in (`a` -> `a`)"),
        ('<defs><g id="a"><use href="#b"/></g><g id="b"><use id="c" href="#a"/></g></defs><use href="#a"/>',
         "uses what it lies in (`a` -> `b` -> `c` -> `a`)"),
        ('<use href="#a" id="a"/>', "uses what it lies in (`a` -> `a`)"),
        ('<use href="#moon"/>', "uses `#moon`, which is not a group or an outline of the drawing"),
        ("<use/>", "uses `#`, which is not a group"),
        ('<use href="other.svg#a"/>', "has `href`"),
        ('<use href="https://x.test/a.svg#a"/>', "has `href`"),
        ('<use href="data:image/svg+xml,x"/>', "has `href`"),
        ('<rect href="#a" width="1" height="1"/>', "has `href`"),
        ('<symbol id="a"/><use href="#a"/>', "symbol `a`"),
        ('<defs><symbol id="a"><rect width="1" height="1"/></symbol></defs><use href="#a"/>', "uses `#a`, which is"),
        ('<defs>\n<path id="a" d="M0 0 C1 1 2 2 3 3Z"/></defs><use href="#a"/>', "line 2: path `a`: a curve"),
        ('<defs><g id="a" onload="go()"><rect width="1" height="1"/></g></defs><use href="#a"/>', "has a script"),
        ('<defs><rect id="a" width="1" height="1"/></defs><use href="#a" clip-path="url(#c)"/>', "has `clip-path`"),
        ('<defs><rect id="a" width="1" height="1"/></defs><use href="#a" x="1e9"/>', "1e9"),
        ('<defs><rect id="a" width="1" height="1"/></defs>', "holds no outline"),
    ],
)  # fmt: skip
def test_a_copy_of_itself_of_nothing_or_of_another_file_is_refused_with_its_place(body, said):
    with pytest.raises(PatchworkError) as caught:
        read_svg(svg(body))
    assert said in str(caught.value)


def test_what_stands_in_defs_and_is_not_used_may_be_curved():
    unused = '<defs><path d="M0 0 C1 1 2 2 3 3Z"/><clipPath id="c"><circle r="1"/><use href="#x"/></clipPath></defs>'
    assert len(read_svg(svg(unused + '<rect width="1" height="1"/>'))) == 1


def nest(levels, innermost, times=2):
    """Return groups of which each uses the next so many times."""
    groups = [f'<g id="a{k}">' + f'<use href="#a{k + 1}"/>' * times + "</g>" for k in range(levels)]
    return f'<defs><g id="a{levels}">{innermost}</g>{"".join(groups)}</defs><use href="#a0"/>'


def test_copies_of_copies_that_grow_without_end_are_counted_and_refused_before_any_is_placed():
    with pytest.raises(PatchworkError, match="more outlines than a top may have"):
        read_svg(svg(nest(22, '<rect width="1" height="1"/>')))


def test_copies_of_copies_of_nothing_are_not_followed():
    with pytest.raises(PatchworkError, match="holds no outline"):
        read_svg(svg(nest(22, "")))


def test_copies_of_copies_deeper_than_any_drawing_are_refused():
    with pytest.raises(PatchworkError, match=r"elements \d+ deep"):
        read_svg(svg(nest(3_000, '<rect width="1" height="1"/>', times=1)))
    for levels in (20, 21, 22, 23, 24, 25, 26):
        try:
            (one,) = read_svg(svg(nest(levels, '<rect width="1" height="1"/>', times=1)))
        except PatchworkError as error:
            assert "deep" in error.found  # noqa: PT017  one of these depths is the first too many
        else:
            assert measure_area(one.outline) == 1.0
