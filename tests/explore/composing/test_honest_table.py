"""After every gesture at random all that the composing table shows is the study, and undone all is as it was.

What is shown is compared with a sheet made again from the text of the study, and the whole top with its patchwork: the
table itself keeps pictures, fields and units from one gesture to the next.
"""

import random
import re
from collections import Counter
from html import unescape
from pathlib import Path

import ipywidgets as widgets
import pytest

import kit
from kit.errors import KitError
from kit.explore.composing.row_builder import RowBuilder
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.state_words import say_size, say_table
from kit.explore.composing.table_pictures import MISSING, write_picture
from kit.explore.fabric_rows import FabricRows
from kit.geometry.outlines import measure_area, measure_box
from kit.lengths import read_length, write_length
from kit.study import read_study, write_study

pytestmark = pytest.mark.slow

STUDIES = Path(__file__).resolve().parents[3] / "data" / "studies"
FILES = ("Save the study", "Open this file")


def walk(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def plain(text):
    """Return a text as it is read: names that an error marks stand between quotation marks on a screen."""
    text = unescape(text).replace("\N{NO-BREAK SPACE}", " ")
    return re.sub("`([^`]*)`", "\N{LEFT DOUBLE QUOTATION MARK}\\1\N{RIGHT DOUBLE QUOTATION MARK}", text)


def list_patches(columns):
    """Return the patches of the picture: their corners in hundredths of an inch, and their colours."""
    return sorted(
        (tuple(sorted((round(100 * round(x, 5)), round(100 * round(y, 5))) for x, y in zip(xs, ys, strict=True))), fill)
        for xs, ys, fill in zip(columns["xs"], columns["ys"], columns["fill"], strict=True)
    )


def check_table(table):
    """Compare all that is shown with the study as it stands."""
    sheet, panel = table.sheet, table.panel
    again = ComposeSheet(read_study(sheet.text))
    again.open_unit(sheet.opened)
    study, laid = again.shown.study, again.shown.laid
    assert write_study(sheet.shown.study) == sheet.text == again.text
    colours = {fabric.slot: fabric.colour for fabric in reversed(study.fabrics)}
    drawn = [
        ([list(point) for point in copy.move.lay(shape.outline)], colours.get(shape.slot, MISSING))
        for copy in laid.copies
        for shape in copy.unit.shapes
    ]
    columns = {
        "xs": [[x for x, _ in outline] for outline, _ in drawn],
        "ys": [[y for _, y in outline] for outline, _ in drawn],
        "fill": [fill for _, fill in drawn],
    }
    assert list_patches(table.picture.patches.data) == list_patches(columns)
    assert table.picture.edges.data["label"] == [edge.label for edge in laid.free]
    system = study.measures.system
    assert table.picture.edges.data["size"] == [write_length(edge.size, system) for edge in laid.free]
    assert table.picture.troubles.data["said"] == [trouble.text for trouble in laid.troubles if trouble.place]
    assert panel.at.options == tuple(edge.label for edge in laid.free)
    assert [label for label, at in panel.lying.options if at >= 0] == list(laid.labels)
    assert table.opener.value == again.opened
    assert set(table.opener.options) == {again.opened, again.top, *again.units}
    assert f"the top is <b>{again.top}</b>" in table._heading.value or again.opened == again.top
    check_tray(table, again, colours, system)
    check_section(table, again)
    return again


def check_tray(table, again, colours, system):
    names = [name for name in again.units if name != again.opened]
    assert list(table.tray._buttons) == names
    assert table.panel.unit.options == tuple(names)
    for name, button in table.tray._buttons.items():
        made = again.make_or_none(name)
        size = say_size(*made.size, system).replace("about ", "≈ ") if made else "cannot be made"
        assert button.description.startswith(f"{name}\n{size}")
        assert write_picture(made, colours, 50.0) in table.tray._style.value


def check_section(table, again):
    """Compare the fields of the section that is seen."""
    panel, shared = table.panel, table.panel.shared
    section, keys = panel.section.value, again.keys
    if section == "Text":
        assert (shared.title.value, shared.text.value) == (keys["title"], again.text)
    elif section == "Fabrics":
        same_values(shared.strip.value, keys["design"].get("strip_cut", ""))
        said = dict(line.split(" = ") for line in shared.lengths.value.splitlines())
        same_values(said, keys["design"].get("lengths", {}))
        (rows,) = (one for one in walk(shared._fabrics) if isinstance(one, FabricRows))
        found = [(f["colour"].value, f["name"].value, f["slot"].value) for f in rows._fields]
        assert found == [(fabric["colour"], fabric["name"], fabric["slot"]) for fabric in keys["fabric"]]
    elif section == "Units" and panel.form.unit.value:
        assert panel.form.unit.options == tuple(again.units)
        if panel.form.sizes.fields and not panel.form.not_yet.value:
            same_values(panel.form.sizes.read(), again.units[panel.form.unit.value])


def same_values(one, two):
    """Check that two keys are the same; lengths may be in another notation."""
    if isinstance(one, dict):
        assert one.keys() == two.keys()
        for key in one:
            same_values(one[key], two[key])
    elif one != two:
        one, two = (value if isinstance(value, list) else [value] for value in (one, two))
        assert [read_length(text) for text in one] == [read_length(text) for text in two]


def check_words(table, again):
    """Compare the words with the patchwork of the top, where what lies open is the top and whole."""
    said = plain(table.message.value)
    words, _ = say_table(again)
    assert plain(words) in said
    plainly = set(again.keys["design"]) <= {"family", "top", "strip_cut", "lengths"}
    if again.opened != again.top or again.shown.laid.troubles or not again.shown.laid.copies or not plainly:
        return
    try:
        top = again.make_study().make_patchwork()
    except KitError:
        assert "One piece, nothing open" not in said
        return
    polygons = zip(table.picture.patches.data["xs"], table.picture.patches.data["ys"], strict=True)
    areas = sorted(measure_area(list(zip(xs, ys, strict=True))) for xs, ys in polygons)
    assert areas == pytest.approx(sorted(measure_area(patch.outline) for patch in top.patches), abs=1e-3)
    box = measure_box([corner for copy in again.shown.laid.copies for corner in copy.outline])
    width, height = box[2] - box[0], box[3] - box[1]
    assert plain(say_size(width, height, again.shown.study.measures.system)) in said


# ---- gestures ------------------------------------------------------------------------------------------------------


def type_length(rng, system):
    """Return a length in one of the notations, and the inches that it says."""
    whole, eighths = rng.randint(1, 9), rng.randint(1, 7)
    value = whole + eighths / 8
    per = 2.54 if system == "metric" else 1.0
    glyph = {2: "¼", 4: "½", 6: "¾"}.get(eighths)
    notations = {
        f"{whole} {eighths}/8": value / per, f"{whole}-{eighths}/8 in": value, f"{value}": value / per,
        f"{value} in": value, f"{whole + 10} cm": (whole + 10) / 2.54, f"{whole},5 cm": (whole + 0.5) / 2.54,
        f"{whole},25": (whole + 0.25) / per, f"{whole}{glyph or '⅜'}": (value if glyph else whole + 0.375) / per,
    }  # fmt: skip
    return rng.choice(list(notations.items()))


def click_picture(rng, table):
    """Click a free edge, a unit, or the ground."""
    laid = table.sheet.shown.laid
    if laid.free and rng.random() < 0.6:
        edge = rng.choice(laid.free)
        table.picture.click(edge.middle)
        return f"a click on {edge.label}"
    if laid.copies and rng.random() < 0.7:
        outline = rng.choice(laid.copies).outline
        table.picture.click((sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)))
        return "a click on a unit"
    table.picture.click((-90.0, -90.0))
    return "a click on the ground"


def fill_unit(rng, table, fields, press):
    """Write a length into a field of a unit and press the button; return what, and check that it is what was typed."""
    sizes = {entry.key: entry for entry in fields._entries if entry.kind == "length"}
    key = rng.choice([key for key in sizes if key in fields.fields] or [None])
    system = table.sheet.shown.study.measures.system
    if key is None:
        press.click()
        return press.description
    text, inches = type_length(rng, system)
    fields.fields[key].value = text
    before = set(table.sheet.units)
    chosen = table.panel.form.unit.value
    press.click()
    refused = bool(table.panel.told.value)
    if not refused:
        new = set(table.sheet.units) - before
        held = table.sheet.units[new.pop() if new else chosen]
        for step in key.split("."):
            if step.startswith("border "):
                held, key = held["border"], "skipped"
                break
            held = held[step] if isinstance(held, dict) and step in held else None
        if isinstance(held, str | list) and key != "skipped":
            assert read_length(held if isinstance(held, str) else held[0]) == pytest.approx(inches, abs=1e-12), text
    return f"{press.description}: {key} {text}"


def gesture(rng, table):
    """Do something at random that a maker can do; return what, for the message, or None for nothing."""
    panel = table.panel
    kind = rng.choice(["picture", "picture", "tray", "section", "open", "back", "forth", "new", "change",
                       *["panel"] * 6])  # fmt: skip
    if kind == "picture":
        return click_picture(rng, table)
    if kind == "tray":
        if not table.tray._buttons:
            return None
        name = rng.choice(list(table.tray._buttons))
        table.tray._buttons[name].click()
        return f"tray: {name}"
    if kind == "section":
        panel.section.value = rng.choice(panel.section.options)
        return f"section {panel.section.value}"
    if kind == "open":
        table.opener.value = rng.choice(table.opener.options)
        return f"open {table.opener.value}"
    if kind in ("back", "forth"):
        (panel.undo if kind == "back" else panel.redo).click()
        return kind
    if kind == "new":
        panel.section.value = "New unit"
        panel.new.kind.value = rng.choice([value for _, value in panel.new.kind.options])
        return fill_unit(rng, table, panel.new.sizes, panel.new.button)
    if kind == "change":
        panel.section.value = "Units"
        if panel.form.unit.options:
            panel.form.choose(rng.choice(panel.form.unit.options))
        return fill_unit(rng, table, panel.form.sizes, panel.form.buttons["Change the unit"])
    found = [one for one in walk(panel._body) if isinstance(one, widgets.ValueWidget | widgets.Button)
             and not isinstance(one, widgets.HTML | RowBuilder)]  # fmt: skip
    found += [one for one in walk(table.panel.new) if one is panel.new.button and panel.section.value == "New unit"]
    return move(rng, table, rng.choice(found)) if found else None


def move(rng, table, control):  # noqa: C901  one branch per kind of control
    """Move one control of the panel."""
    panel = table.panel
    if isinstance(control, widgets.Button):
        if control.description in FILES:
            return None
        control.click()
        return control.description or control.tooltip
    if isinstance(control, widgets.Dropdown):
        values = [one[1] if isinstance(one, tuple) else one for one in control.options]
        if not values:
            return None
        control.value = rng.choice(values)
    elif isinstance(control, widgets.Checkbox):
        control.value = not control.value
    elif isinstance(control, widgets.ColorPicker):
        control.value = f"#{rng.randrange(16**6):06x}"
    elif isinstance(control, widgets.BoundedIntText):
        control.value = rng.choice([2, 3, 4, 6])
    elif isinstance(control, widgets.FloatText):
        control.value = rng.choice([30.0, 45.0, 90.0, 180.0])
    elif control is panel.shared.title:
        control.value = f"Quay {rng.randint(1, 99)} <b>"
    elif control is panel.shared.strip:
        control.value = type_length(rng, table.sheet.shown.study.measures.system)[0]
    elif control is panel.form.name:
        control.value = f"part{rng.randint(1, 99)}"
    else:
        return None
    return f"{type(control).__name__} {control.description}"


def make_metric():
    """A study of units in centimetres, begun on an empty table."""
    return read_study("""
title = "Ferry Steps, a corner"
[measures]
system = "metric"
seam_allowance = "0.75 cm"
[design]
family = "units"
[unit.stone]
patch = "square"
side_finished = "7.35 cm"
slot = "stone"
[unit.bar]
patch = "rectangle"
width_finished = "7.35 cm"
height_finished = "3.1 cm"
slot = "sand"
[unit.whole]
join = ["stone", "bar.bottom to stone.top"]
[[fabric]]
slot = "stone"
name = "Slate"
colour = "#5b7f95"
[[fabric]]
slot = "sand"
name = "Sand"
colour = "#d8c59a"
""")


@pytest.mark.parametrize(("name", "gestures"), [("metric", 110), ("empty", 80), ("harbour-wheel", 60)])
def test_after_each_of_many_gestures_all_that_is_shown_is_the_study_and_undone_all_is_as_it_was(name, gestures):
    made = {"metric": make_metric, "empty": lambda: None}.get(name, lambda: STUDIES / f"{name}.toml")
    table = kit.compose(made())
    rng = random.Random(7)  # noqa: S311  gestures, not secrets
    check_table(table)
    first = table.sheet.text, table.sheet.opened
    done = Counter()
    while done.total() < gestures:
        before = table.sheet.text
        what = gesture(rng, table)
        if what is None:
            continue
        done[what] += 1
        assert "could not be done" not in table.message.value, what
        try:
            again = check_table(table)
            if table.panel.told.value:
                assert table.sheet.text == before, "refused, and yet changed"
            elif table.sheet.text != before:
                check_words(table, again)
        except AssertionError as error:
            raise AssertionError(f"after {what}: {error}") from error
    last = table.sheet.text, table.sheet.opened
    acts = 0
    while table.sheet.undo():
        acts += 1
    table.show()
    assert acts > gestures / 8
    assert (table.sheet.text, table.sheet.opened) == first
    check_table(table)
    for _ in range(acts):
        table.panel.redo.click()
    assert (table.sheet.text, table.sheet.opened) == last
    check_table(table)
