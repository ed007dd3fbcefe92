"""The reader of the printed cutting: it follows every line of every study, and refuses damaged lines by name."""

import re
from dataclasses import replace
from functools import cache

import pytest
from damaged_lines import damage_lines
from printed import metric_of
from random_studies import make_keys

import kit
from kit.checks.cutting_grammar import read_orders
from kit.checks.cutting_words_check import check_cutting_words, cut_by_words
from kit.checks.template_rows import measure_head_to_foot, measure_same_way_up
from kit.errors import CheckError, KitError
from kit.geometry.outlines import measure_directions, measure_edges
from kit.model.printed import PrintedCloth, PrintedCutting, PrintedLine, PrintedPiece
from kit.output.words.notice_words import say_notices
from kit.output.words.printed_words import print_cutting
from kit.study import study_from_keys, study_keys

NBSP = "\N{NO-BREAK SPACE}"
STUDIES = ("tideline", "boat-shed", "gull-point", "harbour-light", "regatta-bay", "saltmarsh", "slipway", "town-quay")

NO_METRIC = ("boat-shed", "town-quay")
"""Studies whose units do not close in round centimetres: they are refused before anything is cut."""


@cache
def printed_of(name, *, singly=True):
    """Return what is printed of a study's cutting; singly there are many lines to damage."""
    title, _, other = name.partition(", ")
    keys = study_keys(kit.open_study(f"data/studies/{title}.toml"))
    if other:  # both hands of its windmill are then cut through a fold
        keys["unit"]["whole"]["border"][1]["slot"] = "navy"
    study = study_from_keys(keys)
    study = replace(study, cutting=replace(study.cutting, make="one by one")) if singly else study
    return print_cutting(kit.make_sketch(study, "steady"))


def damage(printed, fabric, old, new, *, times=1):
    """Return everything printed with one line of one fabric changed."""
    changed = 0
    cloths = []
    for cloth in printed.cloths:
        lines = []
        for line in cloth.lines:
            text = line.text.replace(NBSP, " ")
            if cloth.fabric == fabric and re.search(old, text) and changed < times:
                changed += 1
                text = re.sub(old, new, text)
            lines.append(replace(line, text=text))
        cloths.append(replace(cloth, lines=tuple(lines)))
    assert changed
    return replace(printed, cloths=tuple(cloths))


def lay(*lines, size=("42 in", "30 in"), form="yardage", pieces=(("A1", "", 10, "2½ in square"),), **more):
    """Return the printed cutting of one fabric; a line's depth is the number of its leading spaces."""
    read = tuple(PrintedLine(text.lstrip(), len(text) - len(text.lstrip())) for text in lines)
    cloth = PrintedCloth("Kelp", form, size, read, **more)
    return PrintedCutting("¼ in", "24 in", tuple(PrintedPiece(*piece) for piece in pieces), (cloth,))


# Every line can be done


@pytest.mark.parametrize(
    ("name", "system"),
    [*((name, "inch") for name in STUDIES), *((name, "metric") for name in STUDIES if name not in NO_METRIC)],
)
def test_every_printed_line_of_a_study_can_be_cut_in_both_systems(name, system):
    if system == "inch":
        found = check_cutting_words(printed_of(name, singly=False))
    else:
        found = metric_of(name).words_cut
    assert found.faults == ()
    assert found.pieces > 60
    assert found.drawn <= 4


@pytest.mark.parametrize("block", range(10))
def test_every_printed_line_of_two_hundred_random_designs_can_be_cut(block):
    made, seed = 0, 100 * block
    while made < 20:
        seed += 1
        try:
            sketch = kit.make_sketch(study_from_keys(make_keys(seed)))
        except KitError:
            continue  # a design that cannot be built
        assert cut_by_words(print_cutting(sketch)).faults == (), seed
        made += 1


@pytest.mark.slow
@pytest.mark.parametrize("block", range(4))
def test_every_printed_line_of_random_designs_searched_as_for_print_can_be_cut(block):
    for seed in range(400 + 20 * block, 420 + 20 * block):
        try:
            sketch = kit.make_sketch(study_from_keys(make_keys(seed)), "steady")
        except KitError:
            continue
        assert cut_by_words(print_cutting(sketch)).faults == (), seed


# Damaged lines of studies


@pytest.mark.parametrize(
    ("name", "fabric", "old", "new", "said"),
    [
        ("tideline", "Lantern", r"\(45\)", "(46)", "46 come of the cutting lines, 45"),
        ("tideline", "Lantern", r"Cut \(3\) strips 2½", "Cut (3) strips 2⅜", "no side is as wide as the strip"),
        ("tideline", "Lantern", r"\(3\) strips", "(2) strips", "32 fit, 45 are asked for"),
        ("tideline", "Lantern", r"\(3\) strips", "(4) strips", "fewer would do"),
        ("tideline", "Fog", r"\(5\) lengths", "(4) lengths", "5 lengths are there, 4 are to be sewn"),
        ("tideline", "Fog", r"33⅝ in", "30⅝ in", "are needed"),
        ("tideline", "Harbour", r"\(3\) (.*)right hand: piece B1", r"(3) \1left hand: piece B1", "is a right one"),
        ("tideline", "Harbour", r"\(5\) angled", "(9) angled", "the strip would have to be"),
        ("tideline", "Breakwater", r"4 triangles", "3 triangles", "do not give 3 triangles"),
        ("tideline", "Breakwater", r"of which 1 spare", "of which 0 spare", "4 come of the cutting lines, 3"),
        ("tideline", "Breakwater", r"8⅝ in ×", "24⅝ in ×", "the ruler 24 in long"),
        ("gull-point", "Channel", r"\(2\) 4½ in × 54½", "(4) 4½ in × 54½", "the strip would have to be"),
        ("gull-point", "Channel", r"Cut \(1\) length 60½", "Cut (1) length 58½", "no side is as wide"),
        ("saltmarsh", "Creek", r"\(11\) 2 in × 2½ in", "(12) 2 in × 2½ in", "the strip would have to be"),
        ("saltmarsh", "Creek", r"piece H2", "piece H3", "the list says"),
        ("harbour-light", "Night tide", r"drawing “Night tide 1”", "drawing “Night tide 2”", "there is no drawing"),
        ("boat-shed", "Boat red", r"left hand: piece B6", "left hand: piece B7", "is a right one"),
        ("boat-shed, no red border", "Boat red", r"\(1\) angled(.*)left", r"(2) angled\1left", "two layers"),
        ("boat-shed", "Boat red", r"1½ in wide", "2½ in wide", "lower strips take 6 in of 5.875 in"),
        ("harbour-light", "Deep water", r" From each:", "", "share 3 strips, and none says how"),
    ],
)  # fmt: skip
def test_a_damaged_line_is_refused_by_name(name, fabric, old, new, said):
    damaged = damage(printed_of(name), fabric, old, new)
    with pytest.raises(CheckError) as caught:
        check_cutting_words(damaged)
    assert said in caught.value.found
    assert fabric in caught.value.found or caught.value.found.startswith("Piece ")


@pytest.mark.parametrize("name", STUDIES)
def test_a_line_left_out_or_said_twice_is_missed(name):
    printed = printed_of(name)
    for number, cloth in enumerate(printed.cloths):
        for at, line in enumerate(cloth.lines):
            if ": piece" not in line.text.replace(NBSP, " "):
                continue
            for lines in ((*cloth.lines[:at], *cloth.lines[at + 1 :]), (*cloth.lines[:at], line, *cloth.lines[at:])):
                cloths = [*printed.cloths]
                cloths[number] = replace(cloth, lines=lines)
                assert cut_by_words(replace(printed, cloths=tuple(cloths))).faults
            break  # one line of each fabric


@pytest.mark.slow
@pytest.mark.parametrize("seed", [34, 36, 88, 93, 143, 146, 162, 174])
def test_every_line_of_a_random_design_is_refused_once_it_is_damaged(seed):
    # templates, cloth with a top, pieces askew in the top, lengths to be joined: each let a damage through once
    printed = print_cutting(kit.make_sketch(study_from_keys(make_keys(seed))))
    system = "metric" if "cm" in printed.ruler else "inch"
    damaged = list(damage_lines(printed, system))
    assert len(damaged) > 10
    assert [what for what, one in damaged if not cut_by_words(one).faults] == []


@pytest.mark.parametrize(
    ("outline", "count", "inches"),
    [
        (((0, 0), (4, 0), (2, 2)), 5, 12.0),  # isosceles: each one more takes half its base
        (((0, 0), (4, 0), (3, 2)), 2, 5.0),  # leaning: the turned one first, both share its long slant
        (((0, 0), (4, 0), (4, 2), (0, 2)), 3, 12.0),  # a box: nothing is gained
        (((0, 0), (3, 0), (3, 1), (2, 1), (2, 2), (1, 2), (1, 1), (0, 1)), 2, 5.0),  # a hat: its brim meets a crown
    ],
)
def test_templates_head_to_foot_take_what_they_take_on_paper(outline, count, inches):
    box = (max(x for x, _ in outline), max(y for _, y in outline))
    assert measure_head_to_foot(outline, count, box) == pytest.approx(inches)


TEETH = """title = "Velvet Teeth"
[measures]
system = "metric"
[design]
family = "square in square"
columns = 2
rows = 1
rounds = 2
block_finished = "24 cm"
border = [{finished = "4 cm", pieces = "teeth", fit = "spacer", unit_finished = "6 cm"}]
[[fabric]]
slot = "dark"
name = "Velvet"
colour = "#7123ec"
nap = true
"""
for slot in ("centre", "light", "spacer", "cornerstone"):
    TEETH += f'[[fabric]]\nslot = "{slot}"\nname = "{slot} cloth"\ncolour = "#ddd4c1"\n'


@pytest.mark.parametrize("nap", [True, False])
def test_teeth_of_velvet_lie_the_same_way_up_and_of_plain_cloth_head_to_foot(nap):
    """Velvet was laid the same way up and the line said to turn every second tooth (random study 30021)."""
    sketch = kit.make_sketch(kit.read_study(TEETH if nap else TEETH.replace("nap = true", "")))
    (cloth,) = [one for one in print_cutting(sketch).cloths if one.fabric == "Velvet"]
    (run,) = [order.text for line in read_orders(cloth.lines, "Velvet") for order in line.below if "C2" in order.text]
    assert ("all the same way up" in run) == nap
    assert ("turned head to foot" in run) != nap
    check_cutting_words(print_cutting(sketch))


@pytest.mark.parametrize("seed", [40018, 40206])
def test_no_surplus_strip_of_a_print_with_a_top_is_let_through(seed):
    # a strip too many of angled pieces, a strip narrower above an end cut along: each let a damage through once
    printed = print_cutting(kit.make_sketch(study_from_keys(make_keys(seed)), "steady"))
    system = "metric" if "cm" in printed.ruler else "inch"
    assert cut_by_words(printed).faults == ()
    assert [what for what, one in damage_lines(printed, system) if not cut_by_words(one).faults] == []


@pytest.mark.parametrize("nap", [True, False])
def test_a_print_that_stands_on_its_head_in_angled_pieces_says_so(nap):
    """The plan turned every second blade by half and said only that pieces lie as they do in the top."""
    keys = make_keys(40206)
    keys["fabric"][5 if keys["fabric"][5]["name"] == "blade 2" else 4]["nap"] = nap
    sketch = kit.make_sketch(study_from_keys(keys), "steady")
    (plan,) = [plan for plan in sketch.cutting.cloths if plan.supply.fabric == "blade 2"]
    headings = {  # the direction of the longest edge, which the print of a blade runs beside
        round(max(zip(measure_edges(shape.outline), measure_directions(shape.outline), strict=True))[1]) % 360
        for strip in plan.strips for cut in strip.cuts for shape in cut.shapes
    }  # fmt: skip
    assert headings == ({0} if nap else {0, 180})
    said = [one for one in say_notices(sketch.cutting.assumptions, "metric") if one.startswith("blade 2")]
    assert len(said) == 1
    assert ("upside down in every second piece" in said[0]) != nap


def test_pieces_the_same_way_up_take_what_they_take_on_paper():
    assert measure_same_way_up(((0, 0), (4, 0), (2, 2)), 5, (4, 2)) == pytest.approx(20)  # bases side by side
    assert measure_same_way_up(((0, 0), (4, 0), (5, 2), (1, 2)), 3, (5, 2)) == pytest.approx(13)  # leaning alike


def test_two_piles_in_one_line_are_refused():
    one_way = kit.read_study(
        'title = "Vanes"\n[design]\nfamily = "pinwheel"\ncolumns = 2\nrows = 2\n'
        '[[fabric]]\nslot = "sail"\nname = "Rigging"\ncolour = "#204060"\none_way = true\n'
        '[[fabric]]\nslot = "ground"\nname = "Spray"\ncolour = "#e0e8f0"\n'
    )
    printed = print_cutting(kit.make_sketch(one_way))
    (cloth,) = (cloth for cloth in printed.cloths if cloth.fabric == "Rigging")
    rising, falling = cloth.lines[-2:]
    assert "rising from lower left to upper right: 8 triangles" in rising.text
    assert "falling from upper left to lower right: 8 triangles" in falling.text
    assert check_cutting_words(printed)
    merged = rising.text.replace("(4)", "(8)").replace(": 8 tri", ": 16 tri")
    one = replace(cloth, lines=(*cloth.lines[:-2], replace(rising, text=merged)))
    with pytest.raises(CheckError, match="16 of A1 are rising ones, the top needs 8"):
        check_cutting_words(replace(printed, cloths=tuple(one if c is cloth else c for c in printed.cloths)))


# The grammar, worked by hand


def test_strips_are_cut_off_one_after_another_and_their_end_along():
    found = check_cutting_words(
        lay(
            "Cut (2) strips 5 in × 42 in. From each:", " (6) 5 in squares: piece A2",
            " From the end, cut along it, (2) strips 2½ in wide.", "  (8) 2½ in squares: piece A1",
            pieces=[("A1", "", 16, "2½ in square"), ("A2", "", 12, "5 in square")],
        )
    )  # fmt: skip
    assert (found.strips, found.pieces, found.drawn) == (2, 28, 0)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (("Cut (1) strip 2½ in × 44 in.", " (10) 2½ in squares: piece A1"), "the cloth 42 in wide"),
        (("Cut (1) strip 2½ in × 42 in.",), "nothing is cut from it"),
        (("Cut (1) strip 2½ in × 42 in.", " (17) 2½ in squares: piece A1"), "42.5 in long"),
        (("Cut (13) strips 2½ in × 42 in.", " (208) 2½ in squares: piece A1"), "32.5 in, 30 in of cloth"),
        (("Cut (1) strip 2½ in × 42 in.", " (10) 2½ in squares: piece A9"), "piece A9 is not in the list"),
        (("Cut (1) strip 2½ in × 42 in.", " (10) 3 in × 2½ in: piece A1"), "the list says 2½ in square"),
        (("Cut (1) strip 2½ in × 42 in.", " some squares: piece A1"), "does not say what to cut"),
        (("Cut (1) strip 2½ in × 42 in.", "  (10) 2½ in squares: piece A1"), "stands under nothing"),
        (("Take (1) strip 2½ in wide.", " (10) 2½ in squares: piece A1"), "cannot begin"),
        (("Cut (1) strip 2½ in × 42 in.", " (1) 2½ in × 42 in, to be joined for piece A1"), "never joined"),
        ((
            "Cut (1) strip 5 in × 42 in.", " From the end, cut along it, (1) strip 2½ in wide.",
            "  (9) 2½ in squares: piece A1", " (1) 2½ in × 5 in: piece A1",
        ), "after the end is cut up"),
        ((
            "Cut (1) strip 30 in × 42 in.", " From the end, cut along it, (1) strip 2½ in wide.",
            "  (10) 2½ in squares: piece A1",
        ), "the ruler 24 in long"),
    ],
)  # fmt: skip
def test_a_line_that_cannot_be_done_is_refused(lines, said):
    with pytest.raises(CheckError) as caught:
        check_cutting_words(lay(*lines))
    assert said in caught.value.found


@pytest.mark.parametrize(
    ("boxes", "said"),
    [
        ([("A1", 0, 0, 2.5, 2.5), ("A1", 1, 1, 2.5, 2.5)], "straight cuts"),
        ([("A1", 0, 0, 2.5, 2.5), ("A1", 40, 0, 2.5, 2.5)], "outside the strip"),
        ([("A1", 0, 0, 2.5, 2.5)], "the drawing has {'A1': 1}"),
    ],
)
def test_a_drawing_that_cannot_be_cut_or_is_another_one_is_refused(boxes, said):
    lines = ("Cut (1) strip 5 in × 42 in. Cut it as in the drawing “Kelp 1”:", " (2) 2½ in squares: piece A1")
    with pytest.raises(CheckError) as caught:
        check_cutting_words(lay(*lines, drawings={"Kelp 1": tuple(boxes)}))
    assert said in caught.value.found


def test_a_length_that_nobody_can_read_is_refused():
    with pytest.raises(CheckError, match="cannot be read"):
        read_orders([PrintedLine("Cut (1) strip 2½¾ in × 42 in.")], "Kelp")
