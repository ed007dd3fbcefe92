"""Screens never lie: what is left alone is saved as it was, and after every gesture all that is shown is the study.

What is shown is compared with the study itself (the fields of its design, its patchwork made again), never with the
keys that the screen keeps.
"""

import random
from collections import Counter
from dataclasses import replace
from html import unescape
from pathlib import Path

import ipywidgets as widgets
import pytest
from shown_top import compare_shown

import kit
from kit.designs import FAMILIES
from kit.designs.units.units_family import Units
from kit.explore.controls import ChoiceControl, CountControl, FlagControl, LengthControl
from kit.explore.finishing_screen import OTHER
from kit.explore.fit_screen import SizeChooser
from kit.explore.side_panel import SidePanel
from kit.explore.table_writing import write_table
from kit.lengths import read_length, write_length, write_nearest
from kit.output import tables
from kit.pipeline import plan_finishing
from kit.study import save_study, study_from_keys, study_keys, write_study

pytestmark = pytest.mark.slow

STUDIES = sorted(Path("data/studies").glob("*.toml"))


def walk(widget):
    if isinstance(widget, SidePanel):
        widget.open_all()
    yield widget
    for child in getattr(widget, "children", ()):
        yield from walk(child)


def make_metric():
    """A study in centimetres, none of whose lengths is a stop of a slider."""
    keys = study_keys(kit.open_study("data/studies/ferry-steps.toml"))
    keys["measures"] = {"system": "metric", "seam_allowance": "0.75 cm", "round_cuts_to": "0.1 cm",
                        "usable_width": "108.3 cm"}  # fmt: skip
    keys["design"] |= {"strip_cut": "6.47 cm", "border": [{"finished": "5.55 cm", "slot": "border"}]}
    keys["finishing"] = {"overhang_sides": "9.37 cm", "binding_finished": "1.13 cm", "margin": 0.123}
    keys["cutting"] = {"margin": 0.0333, "ruler": "61.27 cm"}
    keys["quilting"] = {
        "gap_limit": "9.83 cm",
        "stitch": [{"where": "top", "way": "grid", "spacing": "5.21 cm", "angle": 22.5}],
    }
    keys["colouring"] = {"difference": 7.5}
    return study_from_keys(keys)


def echo(screen):
    """Do what a page does when it draws sliders: each sends the stop nearest to its value, its last digits changed."""
    for control in list(walk(screen)):
        if isinstance(control, widgets.FloatSlider) and control.continuous_update:
            steps = round((control.value - control.min) / control.step)
            control.value = min(control.max, control.min + steps * control.step) + 1e-15


SCREENS = {
    "explorer": kit.explore,
    "finishing": lambda study: kit.explore_finishing(kit.make_sketch(study)),
    "quilting": kit.explore_quilting,
    "cutting": kit.explore_cutting,
    "size": kit.choose_size,
    "composing table": kit.compose,
}


def find_study(screen):
    return screen.kept if isinstance(screen, SizeChooser) else screen.study


@pytest.mark.parametrize("path", STUDIES, ids=lambda path: path.stem)
def test_every_study_opened_on_every_screen_and_left_alone_is_saved_as_it_was(path, tmp_path):
    study = kit.open_study(path)
    for name, show in SCREENS.items():
        if name == "composing table" and not isinstance(study.design, Units):
            continue
        screen = show(study)
        echo(screen)
        copy = tmp_path / path.name
        copy.write_bytes(path.read_bytes())
        save_study(find_study(screen), copy)
        assert copy.read_bytes() == path.read_bytes(), name


@pytest.mark.parametrize("name", ["explorer", "finishing", "quilting", "cutting", "size"])
def test_a_metric_study_between_the_stops_stays_as_it_is(name, tmp_path):
    study = make_metric()
    path = tmp_path / "mine.toml"
    path.write_text(write_study(study), encoding="utf-8")
    before = path.read_bytes()
    screen = SCREENS[name](kit.open_study(path))
    echo(screen)
    save_study(find_study(screen), path)
    assert path.read_bytes() == before
    assert find_study(screen).fingerprint == study.fingerprint


# ---- what is shown, and what is so ---------------------------------------------------------------------------------


def plain(text):
    return unescape(text).replace("\N{NO-BREAK SPACE}", " ")


def find_fact(path, study):
    """Return what the study itself says of a quantity, as its model holds it."""
    if path[0] == "unit":
        table = study_keys(study)["unit"][path[1]]
        usual = FAMILIES[table["family"]].model_fields[path[2]].default if "family" in table else None
        usual = 1 if path[2] in ("columns", "rows") else usual  # a unit of a family is one block of it
        fact = table.get(path[2], usual)
        return fact[0] if isinstance(fact, list | tuple) else fact
    place = study.measures if path[0] == "measures" else study.design
    if path[:2] == ("design", "border"):
        number = int(path[2])
        return study.design.border[number - 1].finished if number <= len(study.design.border) else None
    for step in path[1:]:
        place = None if place is None else getattr(place, step)
    return place[0] if isinstance(place, tuple) else place


def check_controls(controls, study):
    for control in controls:
        fact = find_fact(control.quantity.path, study)
        if control.layout.display == "none":
            continue
        if isinstance(control, LengthControl):
            fact = fact if fact is not None else 0.0
            fact = read_length(fact) if isinstance(fact, str) else fact
            text = control.field.value
            shown = read_length(text) if text != "0" else 0.0
            assert shown == fact, (control.quantity.label, text, fact)
            thumb = control.slider.value / (2.54 if study.measures.system == "metric" else 1)
            assert abs(thumb - fact) <= max(control.slider.step, 0.1), control.quantity.label
        elif isinstance(control, CountControl | ChoiceControl):
            assert control.value == (control.quantity.first if fact is None else fact), control.quantity.label
        elif isinstance(control, FlagControl):
            assert control.value == bool(fact), control.quantity.label


def check_explorer(explorer):
    """Compare all that is shown with the study as it is now, the last that could be built."""
    study = explorer.study
    sketch = kit.make_sketch(study)
    top, system = study.make_patchwork(), study.measures.system
    size = " × ".join(write_nearest(side, system) for side in top.finished)
    said = plain(explorer._summary.value)
    assert plain(f"finished {size}; {len(top.patches):,} patches of {len(sketch.cut_list.pieces)} kinds") in said
    assert plain(f"allowance {write_length(study.measures.seam_allowance, system)}") in said
    assert study.title in said
    made = {"To buy": tables.shopping, "Pieces": tables.pieces, "Cutting": tables.cutting}
    for place, (name, make) in enumerate(made.items()):
        explorer._tabs.selected_index = place
        assert explorer._tabs.tables[name].value == write_table(make(sketch)), name
    compare_shown(explorer._picture.parts, sketch)
    if explorer.refused:
        assert "The picture below is the last one that could be built" in explorer.message.value
        return
    assert "last one that could be built" not in explorer.message.value
    check_controls(explorer._panel.controls, study)
    for number in explorer._sentence.children[0].numbers:
        if number.layout.display != "none":
            fact = find_fact(number.quantity.path, study)
            fact = number.quantity.first if fact is None else fact
            if number.quantity.kind == "length":
                fact = read_length(fact) if isinstance(fact, str) else fact
                assert read_length(number.field.value) == fact, number.quantity.label
            else:
                assert number.field.value == str(fact), number.quantity.label
    rows = [(f["colour"].value, f["name"].value, f["slot"].value) for f in explorer._panel.rows._fields]
    assert rows == [(fabric.colour, fabric.name, fabric.slot) for fabric in study.fabrics]
    assert (explorer._panel.place.title.value, explorer._panel.place.seed.value) == (study.title, study.seed)
    assert explorer._panel.system.value == system
    rules = vars(study.rules)
    for key, field in explorer._panel.tools.rules.items():
        plain_value = 0 if key == "difference" else "–"
        assert field.value == (plain_value if rules[key] is None else rules[key]), key
    assert explorer._panel.size.read() == top.finished
    for field, side in zip(explorer._panel.size.fields, top.finished, strict=True):
        assert plain(field.value) == plain(write_length(side, system))


def type_length(rng, inches, system):
    """Return a length near another in one of the notations, and the inches that it says."""
    eighths = max(1, round(inches * 16) + rng.randint(-9, 9))
    whole, rest = divmod(eighths, 16)
    value = eighths / 16
    notations = {
        f"{whole} {rest}/16 in" if rest else f"{whole} in": value,
        f'{value}"': value,
        f"{value} inches": value,
        f"{round(value * 2.54, 2)} cm": round(value * 2.54, 2) / 2.54,
        f"{round(value * 2.54, 2)} cm".replace(".", ","): round(value * 2.54, 2) / 2.54,
        f"{whole} {rest}/16" if rest else f"{whole}": value / 2.54 if system == "metric" else value,
        f"{round(value * 25.4, 1)} mm": round(value * 25.4, 1) / 25.4,
        f"{value}": value / 2.54 if system == "metric" else value,
    }
    return rng.choice(list(notations.items()))


def gesture(rng, explorer):  # noqa: C901, PLR0912  one branch per kind of control
    """Do something at random that a maker can do; return what, for the message."""
    found = [
        control
        for control in (*walk(explorer._panel), *walk(explorer._sentence))
        if isinstance(control, widgets.ValueWidget | widgets.Button) and not isinstance(control, widgets.HTML)
    ]
    by_length = {id(part): control for control in explorer._panel.controls if isinstance(control, LengthControl)
                 for part in control.children}  # fmt: skip
    numbers = {id(number.field): number for number in explorer._sentence.children[0].numbers}
    control = rng.choice([*found, explorer._undo, explorer._redo, explorer._view])
    owner, number = by_length.get(id(control)), numbers.get(id(control))
    if owner is not None and owner.layout.display == "none":
        return None
    if isinstance(control, widgets.Button):
        if "Save" in control.description or "Open" in control.description:
            return None
        control.click()
    elif isinstance(control, widgets.IntSlider):
        control.value = min(control.max, max(control.min, control.value + rng.randint(-2, 2)))
    elif isinstance(control, widgets.FloatSlider):
        move = rng.randint(-6, 6) * control.step
        control.value = min(control.max, max(control.min, round(control.value + move, 6)))
    elif isinstance(control, widgets.Dropdown | widgets.ToggleButtons):
        options = [one[1] if isinstance(one, tuple) else one for one in control.options]
        if options:
            control.value = rng.choice(options)
    elif isinstance(control, widgets.Checkbox):
        control.value = not control.value
    elif isinstance(control, widgets.ColorPicker):
        control.value = f"#{rng.randrange(16**6):06x}"
    elif isinstance(control, widgets.BoundedIntText | widgets.BoundedFloatText):
        control.value = min(control.max, control.value + rng.randint(0, 2))
    elif owner is not None:
        text, inches = type_length(rng, owner.inches, explorer.study.measures.system)
        control.value = text
        if not explorer.refused and owner in explorer._panel.controls:
            held = find_fact(owner.quantity.path, explorer.study)
            held = read_length(held) if isinstance(held, str) else held or 0.0
            assert held == pytest.approx(inches, abs=1e-12), text
        return f"{owner.quantity.label}: {text}"
    elif number is not None:
        kind, text = number.quantity.kind, str(rng.randint(1, 9))
        control.value = text if kind == "count" else type_length(rng, number._held, explorer.study.measures.system)[0]
        return f"{number.quantity.label} in the sentence: {control.value}"
    elif control is explorer._panel.place.title:
        control.value = f"Quilt {rng.randint(1, 99)} <b>"
    else:
        return None
    return f"{type(control).__name__} {control.description or control.tooltip}"


@pytest.mark.parametrize(("name", "gestures"), [("tideline", 50), ("metric", 50), ("boat-shed", 12)])
def test_after_each_of_many_gestures_all_that_is_shown_is_the_study_and_undone_all_is_as_it_was(name, gestures):
    study = make_metric() if name == "metric" else kit.open_study(f"data/studies/{name}.toml")
    rng = random.Random(5)  # noqa: S311  gestures, not secrets
    explorer = kit.explore(study)
    explorer.history._together = 0.0
    check_explorer(explorer)
    first = write_study(study)
    done = Counter()
    while sum(done.values()) < gestures:
        what = gesture(rng, explorer)
        if what is None:
            continue
        done[what] += 1
        assert "could not be done" not in explorer.message.value, what
        try:
            check_explorer(explorer)
        except AssertionError as error:
            raise AssertionError(f"after {what}: {error}") from error
        if explorer.refused and rng.random() < 0.7:  # a maker goes back from what cannot be built
            explorer.undo()
            check_explorer(explorer)
    last = write_study(explorer.study)
    acts = explorer.history.before
    assert acts > gestures / 4
    for _ in range(acts):
        explorer._undo.click()
    check_explorer(explorer)
    assert write_study(explorer.study) == first
    assert explorer.study == study
    assert not explorer.history.before
    for _ in range(acts):
        explorer._redo.click()
    if not explorer.refused:
        assert write_study(explorer.study) == last
        check_explorer(explorer)


# ---- finishing, quilting, cutting ------------------------------------------------------------------------------------


def list_gestures(screen):
    """Return the controls of a screen that set the study, by key."""
    return {key: field for key, field in screen.fields.items() if key != "insurance"}


def move(rng, field, system):
    """Move a control as a maker does."""
    if isinstance(field, LengthControl):
        if rng.random() < 0.5:
            steps = rng.randint(-4, 4) * field.slider.step
            field.slider.value = min(field.slider.max, max(field.slider.min, round(field.slider.value + steps, 6)))
        else:
            field.field.value = type_length(rng, field.inches, system)[0]
    elif isinstance(field, widgets.Checkbox):
        field.value = not field.value
    elif isinstance(field, widgets.Dropdown):
        field.value = rng.choice([one[1] if isinstance(one, tuple) else one for one in field.options])
    elif isinstance(field, widgets.SelectMultiple):
        options = [one[1] if isinstance(one, tuple) else one for one in field.options]
        field.value = tuple(one for one in options if rng.random() < 0.5)
    else:
        field.value = min(field.max, field.value + rng.choice((0.25, 1.37)))


def read_shown(field):
    """Return what a control shows, lengths in inches."""
    if isinstance(field, LengthControl):
        return read_length(field.field.value, zero_allowed=True) if field.field.value != "0" else 0.0
    return field.value


def check_fields(screen, wishes):
    """Compare each control with what the study says; what it leaves open is left out."""
    for key, field in list_gestures(screen).items():
        said = getattr(wishes, key, None)
        if isinstance(field, widgets.SelectMultiple) and hasattr(wishes, key):
            assert field.value == tuple(said or ()), key
            continue
        if said is None or isinstance(said, tuple) or key == "width":
            continue
        percent = key == "margin" and "ruler" in screen.fields  # of the cutting, not of the costs
        shown = read_shown(field) / 100 if percent else read_shown(field)
        if isinstance(said, float):
            assert shown == pytest.approx(said, abs=1e-12), key
        else:
            assert shown == (said or OTHER if key.endswith("_fabric") else said), key


@pytest.mark.parametrize(("name", "study"), [
    (name, study) for name in ("finishing", "quilting", "cutting") for study in ("metric", "ferry-steps")
])  # fmt: skip
def test_after_each_gesture_the_other_screens_show_what_their_study_says(name, study):
    study = make_metric() if study == "metric" else kit.open_study(f"data/studies/{study}.toml")
    rng, screen = random.Random(11), SCREENS[name](study)  # noqa: S311  gestures, not secrets
    top, system = kit.make_sketch(study), study.measures.system
    for _ in range(25):
        key = rng.choice(list(list_gestures(screen)))
        move(rng, screen.fields[key], system)
        assert "could not be done" not in screen.message.value, key
        if screen.refused:
            assert screen.shown in screen.message.value
            continue
        if name == "cutting":
            check_fields(screen, screen.study.cloth)
            check_fields(screen, screen.study.cutting)
            sketch = kit.make_sketch(screen.study, ways=True)
            assert screen._tables["To buy"].value == write_table(tables.shopping(sketch)), key
            assert screen._tables["Cutting"].value == write_table(tables.cutting(sketch)), key
            continue
        check_fields(screen, getattr(screen.study, name))
        if name == "finishing":
            plan = plan_finishing(replace(top, study=screen.study))
            assert screen._tables["Costs"].value == write_table(tables.finishing_tables.list_costs(plan)), key
        else:
            lines = tables.quilting_tables.order(screen.plan, system)
            assert screen._tables["Order"].value == write_table(lines), key
            assert screen.plan == screen._plan(top, screen.study)
