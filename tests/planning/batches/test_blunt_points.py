"""Triangles cut off strips with a blunt ruler: heights by the trade's amounts, counts by laying, damage refused."""

from dataclasses import replace
from math import sqrt

import pytest

from kit.checks.blunt_check import check_blunt_cuts
from kit.errors import CheckError, KitError
from kit.pipeline import make_pattern
from kit.study.read_file import read_study
from kit.study.write_file import write_study

FABRIC = """
[[fabric]]
slot = "{slot}"
name = "{slot} cloth"
colour = "{colour}"
form = "{form}"
width = "{width}"
length = "40 in"
"""


def write(design, points="blunt", form="yardage", width="40 in", more=""):
    slots = {"up": "#336699", "down": "#dfe6ea"}
    cloth = "".join(
        FABRIC.format(slot=slot, colour=colour, form=form, width=width) + more for slot, colour in slots.items()
    )
    cloth = cloth if form != "yardage" else cloth.replace('length = "40 in"\n', "")
    return f'title = "Sails"\n[design]\n{design}\n[cutting]\npoints = "{points}"\n{cloth}'


SIXTY = """family = "sixty degrees"
shape = "triangles"
across = 8
down = 6
edge_finished = "{edge} in"
slots = ["up", "down"]"""

HALVES = """family = "outlines"
columns = 6
rows = 4
outlines = ["up: 0,0 4,0 0,4", "down: 4,0 4,4 0,4"]"""


@pytest.mark.parametrize("edge", [3.0, 4.0, 4.618])
def test_a_blunt_60_degree_triangle_takes_half_an_inch_more_than_its_finished_height_a_true_one_three_quarters(edge):
    # with quarter-inch allowances: two of them to the blunt end, three to the true point (common practice, no source)
    pattern = make_pattern(read_study(write(SIXTY.format(edge=edge))), "quick")
    assert len(pattern.making.blunt) == 2
    for one in pattern.making.blunt:
        high = edge * sqrt(3) / 2
        assert one.strip == pytest.approx(high + 0.5)
        assert 0 <= one.true_strip - (high + 0.75) < 0.125 + 1e-9
        assert one.short == pytest.approx(0.25 * 2 / sqrt(3))  # the point left out is a quarter inch high


def test_a_blunt_half_square_triangle_takes_half_an_inch_more_than_its_finished_leg():
    # squares cut once take seven eighths more; off a strip with a blunt ruler half an inch (common practice, no source)
    pattern = make_pattern(read_study(write(HALVES).replace("[cutting]", '[cutting]\nmake = "one by one"')), "quick")
    for one in pattern.making.blunt:
        assert one.strip == pytest.approx(4.5)
        assert one.rounded == 4.5
        assert one.count == 24
        # by hand: 4.8536 in at the base, 0.3536 in at the point; pairs are 5.2071 in, 40 in hold seven, and one
        # triangle more would reach 36.45 + 4.85 = 41.3 in
        assert one.long + one.short == pytest.approx(4 + 0.25 * (2 + sqrt(2)) + 0.25 * sqrt(2))
        assert (one.each, one.strips) == (14, 2)


def test_it_is_said_where_it_is_asked_for_and_kept_in_the_study():
    study = read_study(write(SIXTY.format(edge=4)))
    assert read_study(write_study(study)).cutting.points == "blunt"
    pattern = make_pattern(study, "quick")
    from kit.output.words.notes import list_notes

    said = [note for note in list_notes(pattern) if note.startswith("Blunt points")]
    assert len(said) == len(pattern.making.blunt) == 2
    assert "4\N{NO-BREAK SPACE}in high" in said[0] or "4 in high" in said[0].replace("\N{NO-BREAK SPACE}", " ")
    plain = make_pattern(read_study(write(SIXTY.format(edge=4), "true")), "quick")
    assert plain.making.blunt == ()
    assert plain.cutting.cloths == pattern.cutting.cloths  # the cloth stays that of true points, which is enough


def test_cloth_with_a_top_and_strips_too_low_have_none():
    top = write(SIXTY.format(edge=4), more="one_way = true\n")
    assert make_pattern(read_study(top), "quick").making.blunt == ()
    with pytest.raises(KitError, match="points"):
        read_study(write(SIXTY.format(edge=4), "round"))


DAMAGE = {
    "a lower strip": ({"strip": 3.8, "rounded": 3.875}, "come short"),
    "a higher strip": ({"strip": 4.2, "rounded": 4.25}, "is enough"),
    "rounded down": ({"rounded": 3.875}, "is printed as"),
    "another true strip": ({"true_strip": 4.0}, "its strip is said"),
    "too many in a strip": ({"each": 40}, "take"),
    "a strip too few": ({"strips": 0}, "are needed"),
    "another count": ({"count": 5}, "are said to be cut"),
    "a wider point": ({"short": 0.5}, "blunt point is"),
    "a longer base": ({"long": 6.0}, "edge on the strip is"),
    "another piece": ({"piece": "Z9"}, "are said to be cut"),
}


@pytest.mark.parametrize("name", DAMAGE)
def test_refuses_damage(name):
    making = make_pattern(read_study(write(SIXTY.format(edge=4))), "quick").making
    check_blunt_cuts(making.cut_list, making.blunt)
    values, said = DAMAGE[name]
    with pytest.raises(CheckError, match=said):
        check_blunt_cuts(making.cut_list, (replace(making.blunt[0], **values), *making.blunt[1:]))
