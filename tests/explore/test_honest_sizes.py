"""After every gesture at random on the screen for a size all that is shown is the answer, or it says what it is of."""

import random
import re
from collections import Counter
from html import unescape

import ipywidgets as widgets
import pytest

import kit
from kit.explore.fit_screen import PICTURE, TYPED
from kit.fitting.beds import read_beds
from kit.lengths import read_length, write_length
from kit.output.pictures.colour_views import draw_view
from kit.output.pictures.svg import write_image
from kit.study import study_from_keys, study_keys

pytestmark = pytest.mark.slow


def make_study(name):
    study = kit.open_study(f"data/studies/{name.removesuffix(' metric')}.toml")
    if not name.endswith("metric"):
        return study
    keys = study_keys(study)
    keys["measures"] = {"system": "metric", "seam_allowance": "0.75 cm", "round_cuts_to": "0.1 cm"}
    return study_from_keys(keys)


def type_length(rng, inches, system):
    """Return a length near another in one of the notations, and the inches that it says."""
    halves = max(1, round(inches * 2) + rng.randint(-8, 8))
    whole, rest = divmod(halves, 2)
    cm, per = round(halves * 1.27, 1), 2.54 if system == "metric" else 1.0
    return rng.choice(list({
        f"{whole} 1/2 in" if rest else f"{whole} in": halves / 2, f"{halves / 2}": halves / 2 / per,
        f"{whole}{'½' if rest else ''}": halves / 2 / per, f"{cm} cm": cm / 2.54,
        f"{cm} cm".replace(".", ","): cm / 2.54,
    }.items()))  # fmt: skip


def plain(text):
    return unescape(text).replace("\N{NO-BREAK SPACE}", " ")


def value(cell):
    """Return the number of a cell, or its words."""
    try:
        return float(cell)
    except ValueError:
        return plain(cell)


def check(screen, asked, found_for):
    """Compare all that is shown with what was found; `asked` are the fields now, `found_for` those of the search."""
    system = screen.given.measures.system
    said = plain(screen.message.value)
    if screen.found is None:
        assert not screen.table.value
        assert not screen.picture.value
        assert not screen.pick.options
        assert screen.study == screen.given
        return
    assert ("what was asked before" in said) == (asked != found_for)
    target = screen.found.target
    if asked == found_for and "Target" in said:
        assert plain(f"{write_length(target.width, system)} × {write_length(target.height, system)}") in said
    frame = kit.tables.fits(screen.found).drop(columns="Because of")
    assert len(screen.pick.options) == len(screen.found.options)
    if len(frame):
        shown = [[plain(re.sub("<[^>]+>", "", cell)).strip() for cell in re.findall(r"<td>(.*?)</td>", row, re.DOTALL)]
                 for row in re.findall(r"<tr.*?</tr>", screen.table.value, re.DOTALL)]  # fmt: skip
        cells = frame.astype(str).to_numpy().tolist()
        assert [list(map(value, row)) for row in shown if row] == [list(map(value, row)) for row in cells]
        option = screen.found.options[screen.pick.value]
        assert screen.study == option.sketch.study
        assert option.sketch.patchwork.finished == pytest.approx(screen.study.make_patchwork().finished)
        width, height = (write_length(size, system) for size in option.sketch.patchwork.finished)
        assert plain(f"{width} × {height}") in plain(screen.pick.label)
        wide, high = screen.study.make_patchwork().finished
        drawn = write_image(draw_view(kit.make_sketch(screen.study), "colour"), width=PICTURE * min(1.0, wide / high))
        assert screen.picture.value == drawn


def read_fields(screen):
    asked = (screen.bed, *screen.lengths.values(), screen.shrinkage, *screen.parity.values())
    return tuple(field.value for field in asked)


def gesture(rng, screen):
    """Do something at random that a maker can do; return what, and what was typed with its inches."""
    fields = [screen.bed, *(field for field in screen.lengths.values() if not field.disabled), screen.shrinkage,
              *screen.parity.values(), screen.button, screen.button, screen.button, screen.pick,
              screen.pick, screen.keep_button]  # fmt: skip
    field = rng.choice(fields)
    if isinstance(field, widgets.Button):
        if not field.disabled:
            screen.name.value = f"size {rng.randint(1, 10**6)}"
            field.click()
    elif isinstance(field, widgets.Text):
        near = 3 if "off by" in field.description else 40 if "Wanted" in field.description else 12
        field.value = type_length(rng, near, screen.given.measures.system)[0]
    elif isinstance(field, widgets.BoundedFloatText):
        field.value = rng.choice((0.0, 2.5, 4.0))
    elif field is screen.bed:
        field.value = rng.choice((TYPED, TYPED, *list(read_beds())[:4]))
    else:
        values = [one[1] if isinstance(one, tuple) else one for one in field.options]
        if values:
            field.value = rng.choice(values)
    return field.description


@pytest.mark.parametrize(("name", "gestures"), [("ferry-steps", 40), ("ferry-steps metric", 40)])
def test_after_each_gesture_the_screen_for_a_size_shows_what_was_found(name, gestures):
    study, rng = make_study(name), random.Random(3)  # noqa: S311  gestures, not secrets
    screen, found_for, done = kit.choose_size(study), None, Counter()
    for _ in range(gestures):
        what = gesture(rng, screen)
        done[what] += 1
        assert "did not finish" not in screen.message.value, what
        if what == screen.button.description:
            found_for = read_fields(screen)
        try:
            check(screen, read_fields(screen), found_for)
        except AssertionError as error:
            raise AssertionError(f"after {what}: {error}") from error
    assert done[screen.button.description] > 3
    assert screen.given == study, "the study that was given is not changed"


@pytest.mark.parametrize("system", ["inch", "metric"])
def test_a_size_in_any_notation_is_the_size_that_is_looked_for(system):
    screen = kit.choose_size(make_study("ferry-steps" if system == "inch" else "ferry-steps metric"))
    screen.bed.value = TYPED
    screen.lengths["tolerance"].value = "30 in"
    unit = "in" if system == "inch" else "cm"
    texts = {"47½": f"47 1/2 {unit}", "120,5 cm": "120.5 cm", "47.5 in": "47.5 in", "48 1/2": f"48 1/2 {unit}"}
    for text, said in texts.items():
        screen.lengths["width"].value = text
        screen.lengths["height"].value = "60 in"
        screen.find()
        assert screen.found is not None, (text, screen.message.value)
        assert screen.found.target.width == pytest.approx(read_length(said), abs=1e-9), text
