"""A study in centimetres is told in centimetres: tables, screens, what is refused, and what is written again."""

import json
import re
from dataclasses import replace

import pytest

import kit
from kit.explore.stitch_rows import StitchRows
from kit.explore.walkthrough import walk_through
from kit.output.files.twin import read_twin, write_twin
from kit.output.pictures.colour_views import draw_view
from kit.study import study_from_keys, study_keys

INCHES = re.compile(r"\d(?: | )in\b|\binch")


def make_gull_watch(**more):
    """Return squares in squares between lanes, with a border that is joined of several lengths."""
    cloths = (("beak", "#e0a63a"), ("wing", "#f3f1ea"), ("slate", "#4b5866"), ("foam", "#cfdfe2"), ("cliff", "#5f7a55"))
    return study_from_keys({
        "title": "Gull Watch",
        "measures": {"system": "metric", "seam_allowance": "0.75 cm", "usable_width": "107 cm"},
        "design": {
            "family": "square in square", "columns": 4, "rows": 5, "block_finished": "20 cm", "centre_slot": "beak",
            "round_slots": ["wing", "slate"], "border": [{"finished": "9 cm", "slot": "cliff"}],
            "sashing": {"finished": "4 cm", "slot": "foam", "outer": True, "cornerstones": True,
                        "cornerstone_slot": "beak"},
        },
        "fabric": [{"slot": slot, "name": slot.capitalize(), "colour": colour, "width": "110 cm"}
                   for slot, colour in cloths],
    } | more)  # fmt: skip


@pytest.fixture(scope="module")
def pattern():
    return kit.make_pattern(make_gull_watch())


def test_the_instructions_as_data_agree_with_themselves_where_lengths_of_whole_millimetres_are_joined(pattern):
    twin = json.loads(json.dumps(write_twin(pattern)))
    assert any(cloth["joined"] for cloth in twin["cutting"])
    assert kit.rehearse(*read_twin(twin, pattern.sewing.target)).agrees


def test_exact_cut_sizes_are_in_the_lengths_of_the_study(pattern):
    table = kit.tables.pieces(pattern)
    assert table["Cut, exact (cm)"][0] == "side 11.5000"
    inch = kit.tables.pieces(kit.redraft(pattern, "inch"))
    assert "Cut, exact (in)" in inch.columns


def test_common_widths_are_whole_centimetres_with_that_of_the_cloth_among_them(pattern):
    table = kit.tables.widths(kit.compare_widths(pattern)).map(lambda cell: str(cell).replace("\xa0", " "))
    slate = table[table["Fabric"] == "Slate"]
    assert list(slate["Usable width"]) == ["100 cm", "104 cm", "107 cm", "110 cm", "112 cm"]
    assert list(slate["Planned"]) == ["", "", "", "yes", ""]
    assert all(re.fullmatch(r"\d+ cm", width) for width in table["Enough from"])


def test_a_cloth_of_its_own_width_stands_among_the_common_ones():
    study = make_gull_watch()
    cloths = tuple(replace(fabric, width=108 / 2.54) for fabric in study.fabrics)
    table = kit.tables.widths(kit.compare_widths(kit.make_sketch(replace(study, fabrics=cloths))))
    assert [width.replace("\xa0", " ") for width in table[table["Planned"] == "yes"]["Usable width"]] == ["108 cm"] * 5


def test_the_walk_through_the_steps_and_the_picture_give_the_size_in_centimetres(pattern):
    said = walk_through(pattern).children[-1].value.replace("\xa0", " ")
    assert "these steps give 118 cm × 142 cm finished" in said
    assert "118.0 by 142.0 centimetres finished" in draw_view(pattern, "colour").title


def test_lines_wider_than_the_batting_allows_are_refused_in_centimetres():
    wide = {"gap_limit": "7 cm", "stitch": [{"where": "top", "way": "grid", "spacing": "9 cm"}]}
    with pytest.raises(kit.KitError, match="9 cm apart, and the batting allows 7 cm") as refused:
        kit.make_pattern(make_gull_watch(quilting=wide))
    assert not INCHES.search(str(refused.value))


def test_a_size_that_is_found_is_written_in_centimetres_and_an_edition_holds_only_what_differs():
    study = make_gull_watch()
    found = kit.fit(study, bed="queen", drop="35 cm", tolerance="8 cm", most=3)
    assert not any(INCHES.search(reason) for reason in found.target.reasons)
    for option in found.options:
        keys = study_keys(option.sketch.study)["design"]
        lengths = [keys["block_finished"], keys["sashing"]["finished"], keys["border"][-1]["finished"]]
        assert [length for length in lengths if not re.fullmatch(r"[\d.]{1,5} cm", length)] == []
    same = next(one for one in found.options if one.choice.border == study.design.border[-1].finished)
    written = kit.write_study(kit.add_edition(study, "for a queen bed", same.sketch.study))
    assert "border" not in written.partition("[measures]")[0]
    off = kit.tables.fits(found)["Off"]
    assert all(re.fullmatch(r"(0|(about )?[+−]\S+)( × (0|(about )?[+−]\S+))", one.replace("\xa0cm", "")) for one in off)


def test_threads_and_ways_of_stitching_have_words():
    stitch = [{"where": "top", "way": "ditch", "colour": "#8b4513"},
              {"where": "wing", "way": "echo", "colour": "#1f3a5f"}]  # fmt: skip
    quilted = kit.make_pattern(make_gull_watch(quilting={"gap_limit": "25 cm", "stitch": stitch}))
    shown = (
        kit.tables.quilting_tables.order(quilted.quilting, "metric").astype(str),
        kit.tables.quilting(quilted),
        kit.tables.finishing_tables.list_costs(quilted.finishing).astype(str),
        kit.tables.finishing_tables.list_thread_lengths(quilted.finishing).astype(str),
    )
    said = "\n".join(table.to_string() for table in shown)
    assert "#" not in said
    assert {"in the ditch", "echo lines"} <= set(shown[0]["Way"])
    assert {"brown", "blue"} == set(shown[0]["Colour"])


def test_a_field_with_a_line_to_itself_takes_the_height_of_a_line():
    stitches = [{"where": "top", "way": "ditch"}, {"where": "wing", "way": "echo", "spacing": "1 cm"},
                {"where": "wing", "way": "crosshatch", "spacing": "1 cm"}]  # fmt: skip
    rows = StitchRows(stitches, ["top", "wing"], "metric", lambda: None).children[:-1]
    fields = [field for row in rows for field in row.children[1:]]
    assert len(fields) > 5
    assert [field.layout.flex for field in fields if field.layout.flex] == []


def test_forms_of_cloth_are_counted_in_the_plural():
    study = make_gull_watch()
    cloths = [fabric | {"form": "fat quarter", "width": "50 cm"} for fabric in study_keys(study)["fabric"]]
    sketch = kit.make_sketch(
        study_from_keys(study_keys(study) | {"fabric": cloths[:3] + study_keys(study)["fabric"][3:]})
    )
    buy = kit.tables.shopping(sketch)["Buy"][:3]
    assert [one for one in buy if not re.fullmatch(r"(1 fat quarter|\d+ fat quarters)", one)] == []


def test_the_teacher_of_a_class_in_centimetres_is_offered_the_paper_that_goes_with_them(tmp_path):
    path = tmp_path / "gull-watch.toml"
    path.write_text(kit.write_study(make_gull_watch()), encoding="utf-8")
    assert kit.teach(path).paper.value == "A4"
    assert kit.teach("data/studies/ferry-steps.toml").paper.value == "Letter"
