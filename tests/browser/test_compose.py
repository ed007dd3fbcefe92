"""The composing table in a real browser: quilts by mouse, a smaller one by keyboard, undone, redone, saved, opened."""

import json
import re
import urllib.request
from pathlib import Path

import pytest
from open_notebooks import list_cut_off, run_cells, wait_until

from kit.explore.composing.lying import read_lying
from kit.explore.composing.sheet import ComposeSheet
from kit.study import open_study, read_study

WHEEL = Path(__file__).resolve().parents[2] / "data" / "studies" / "harbour-wheel.toml"
TABLE = ".seamproof-composing-table"
TROUBLE = "[data-mime-type='application/vnd.jupyter.error'], [data-mime-type='application/vnd.jupyter.stderr']"
FIND_FRAME = f"""() => {{
    const look = root => {{
        for (const e of root.querySelectorAll('*')) {{
            if (e.classList.contains('bk-CartesianFrame')) return e.getBoundingClientRect();
            const found = e.shadowRoot && look(e.shadowRoot);
            if (found) return found;
        }}
        return null; }};
    const table = document.querySelector('{TABLE}'), frame = look(table);
    const view = [...Bokeh.index].find(view => table.contains(view.el));
    if (!frame || frame.height < 100 || !view) return null;
    const range = view.model.x_range, up = view.model.y_range;
    return [frame.x, frame.y, frame.width, frame.height, range.start, range.end, up.start, up.end]; }}"""
FOCUSED = """() => { const e = document.activeElement;
    return (e.labels && e.labels.length ? e.labels[0].innerText : '') || e.innerText || ''; }"""
WITHIN = f"""() => !!document.activeElement.closest('{TABLE}')"""
CHOSEN = "() => document.activeElement.selectedOptions?.[0]?.label.replaceAll('\\u00a0', ' ')"
SETTLE = """async () => { const kernel = jupyterapp.shell.currentWidget.context.sessionContext.session.kernel;
    for (const _ of [1, 2]) await kernel.requestExecute({ code: '', silent: true }).done; }"""
"""Waits until the kernel has taken all that was typed: first what was sent, then what was held back meanwhile."""
EMPTY = ("import kit\nkit.start_notebook()", "kit.compose()")


def call(lab, method, path, content=None):
    """Ask the notebook server for a file, or give it one."""
    base, token = lab
    data = json.dumps(content).encode() if content is not None else None
    request = urllib.request.Request(f"{base}/api/contents/notebooks/{path}?token={token}", data, method=method)
    return json.loads(urllib.request.urlopen(request, timeout=30).read())


def write_notebook(lab, name, cells):
    made = [
        {"cell_type": "code", "id": f"cell-{i}", "metadata": {}, "execution_count": None, "outputs": [], "source": cell}
        for i, cell in enumerate(cells)
    ]
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    book = {"cells": made, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}
    call(lab, "PUT", name, {"type": "notebook", "content": book})


class Maker:
    """A maker at the table: looks, clicks, fills in forms; what lies where is read from the page alone."""

    def __init__(self, page):
        self.page, self.table = page, page.locator(TABLE)
        self.before = self.stand()

    # ---- looking

    def see(self):
        return self.page.locator(f"{TABLE} [role=status]").first.inner_text().replace("\xa0", " ")

    def turn_to(self, section):
        button = self.page.locator(f"{TABLE} .widget-toggle-buttons").get_by_role("button", name=section, exact=True)
        button.click()
        wait_until(lambda: "mod-active" in (button.get_attribute("class") or ""), bool)
        self.page.evaluate(SETTLE)

    def read_text(self):
        if not self.page.locator(f"{TABLE} .seamproof-composing-text textarea").count():
            self.turn_to("Text")
        return self.page.locator(f"{TABLE} .seamproof-composing-text textarea").input_value()

    def stand(self):
        """Return where the table stands: the text of the study, and the unit that lies open."""
        return self.read_text(), self.table.get_by_label("Unit that lies open").input_value()

    def act(self, do):
        """Do something by which the study or the unit that lies open changes, and wait until it has."""
        section = self.table.locator(".widget-toggle-buttons .mod-active").inner_text()
        do()
        old = self.before
        try:
            self.before = wait_until(self.stand, lambda now: now != old and now[0])
        except AssertionError:
            raise AssertionError(self.see()) from None
        if section != "Text":
            self.turn_to(section)

    def list_free(self):
        return self._lay().free

    def _lay(self):
        text, opened = self.before
        sheet = ComposeSheet(read_study(text))
        sheet.open_unit(opened)
        return sheet.shown.laid

    # ---- doing

    def press(self, name):
        named = re.compile(rf"(^|\W){name}$")  # an icon before the words counts as a sign
        self.page.evaluate(SETTLE)
        self.table.get_by_role("button", name=named).click()

    def find(self, label):
        """Return the control of a label, whose unit may follow in brackets."""
        return self.table.get_by_label(re.compile(rf"^{re.escape(label)}( \((in|cm)\))?$"))

    def fill(self, label, value):
        field = self.find(label)
        field.fill(value)
        field.press("Tab")

    def choose(self, label, option):
        field = self.table.get_by_label(label, exact=True)
        wait_until(field.inner_text, lambda text: option in text.replace("\xa0", " ").split("\n"))
        field.select_option(label=option)

    def make(self, kind, name, **fields):
        """Make a unit with the form of new units."""
        self.turn_to("New unit")
        self.choose("Kind of unit", kind)
        for label, value in fields.items():
            wait_until(self.find(label).count, lambda count: count == 1)
            self.fill(label, value)
        self.fill("Name", name)
        self.act(lambda: self.press("Make the unit"))
        wait_until(self.page.locator(f"{TABLE} .seamproof-tray").inner_text, lambda text: name in text)

    def begin(self, name, first):
        """Begin a unit on an empty table, and lay the first part there."""
        self.turn_to("New unit")
        self.choose("Kind of unit", "put together on the table")
        wait_until(lambda: self.table.get_by_text("The table is cleared for it").count(), bool)
        self.fill("Name", name)
        self.act(lambda: self.press("Make the unit"))
        self.act(lambda: self.take(first, quick=True))

    def take(self, name, quick=False):
        """Take a unit of the tray."""
        tray = self.page.locator(f"{TABLE} .seamproof-tray button")
        tray.filter(has_text=re.compile(rf"^{name}\s")).click()
        if not quick:
            self.turn_to("Place")
            wait_until(self.table.get_by_label("Unit to place").input_value, lambda taken: taken == name)

    def join(self, name, at, own=None):
        """Take a unit and click the free edge that it goes to."""
        self.take(name)
        if own:
            self.choose("Its own edge", own)
        self.act(lambda: self.click(at))

    def click(self, label):
        """Click a free edge in the middle."""
        x, y = self._lay().find_edge(label).middle
        box = wait_until(lambda: self.page.evaluate(FIND_FRAME), bool)
        left, top, width, height, start, end, low, high = box
        self.page.mouse.click(left + width * (x - start) / (end - start), top + height * (high - y) / (high - low))

    def copy_round(self, times, middle="a corner of it", side=None, at=None, along=None, corner=None, name=""):
        """Copy what lies with the form of copies."""
        self.turn_to("Copies")
        self.fill("Copies", str(times))
        self.choose("In the middle", middle)
        chosen = {"Its first edge": side, "At the edge": at, "Placed along it": along, "Corner there": corner}
        for label, option in chosen.items():
            if option:
                self.choose(label, option)
        self.fill("Name", name)
        self.act(lambda: self.press("Copy round"))

    def make_rows(self, name, *units):
        """Make a unit of rows, one unit to a row."""
        self.turn_to("New unit")
        self.choose("Kind of unit", "rows of units")
        rows = self.table.get_by_label("Rows, the top first", exact=True)
        wait_until(rows.count, bool)
        for number, unit in enumerate(units, start=1):
            self.choose("Unit for the row", unit)
            self.press("New row below")
            wait_until(rows.input_value, lambda text, number=number: len(text.split()) == number)
        self.fill("Name", name)
        self.act(lambda: self.press("Make the unit"))

    def undo_all(self, first):
        """Press Undo until the table stands as it did at first."""
        self.turn_to("Text")
        while self.before != first:
            self.act(lambda: self.press("Undo"))

    def redo_all(self, last):
        self.turn_to("Text")
        while self.before != last:
            self.act(lambda: self.press("Redo"))

    def save_and_open(self, lab, name, first):
        """Save the study, undo everything, open it again; return what the file holds."""
        whole = self.read_text()
        self.fill("Study file", name)
        self.press("Save the study")
        wait_until(self.see, lambda said: said == f"Saved as {name}.")
        self.undo_all(first)
        self.act(lambda: self.press("Open this file"))
        assert self.read_text() == whole
        return call(lab, "GET", name)["content"]


def start(open_page, lab, name, cells=EMPTY, **size):
    write_notebook(lab, name, cells)
    page = open_page(name, **size)
    run_cells(page)
    page.locator(f"{TABLE} .bk-Figure").first.wait_for()
    assert page.locator(TROUBLE).count() == 0
    page.locator(TABLE).scroll_into_view_if_needed()
    return page


def describe_top(study):
    """Return the patches of a study's top: where each lies, and its slot."""
    return sorted(
        (tuple(sorted((round(x, 3) + 0.0, round(y, 3) + 0.0) for x, y in patch.outline)), patch.slot)
        for patch in study.make_patchwork().patches
    )


def describe_units(study):
    """Return the keys of a study's units; a copy that is counted though it is the latest is the latest."""
    units = study.design.units.thaw()
    return {name: {**unit, "join": read_lying(unit["join"], name)} if "join" in unit else unit
            for name, unit in units.items()}  # fmt: skip


def make_patches_of_the_wheel(maker):
    """Make the plain units of Harbour Wheel, each by its form."""
    maker.turn_to("Fabrics")
    maker.act(lambda: maker.fill("Strip, cut width", "3 in"))
    pier = {"Geese in a flight": "4", "Goose, finished height": "1 strip", "Goose slots": "gull", "Sky slot": "water"}
    maker.make("family: flying geese", "pier", **pier)
    triangles = (("wing", "pier.bottom", "night"), ("eave", "pier.left", "sand"))
    for name, long, slot in triangles:
        maker.make("patch: right triangle", name, **{"Long, finished": long, "Slot": slot})
    diamonds = (("point", "wing.short 1", "lamp"), ("shoal", "1/2 pier.left", "shoal"),
                ("swell", "shoal.edge 1", "swell"), ("deep", "shoal.edge 1", "deep"))  # fmt: skip
    for name, side, slot in diamonds:
        maker.make("patch: diamond", name, **{"Side, finished": side, "Slot": slot})
    plank = {"Width, finished": "pier.top", "Height, finished": "eave.short 1", "Slot": "ember"}
    maker.make("patch: rectangle", "plank", **plank)


def put_the_wheel_together(maker):
    """Put the larger units of Harbour Wheel together on the table, one in rows, and the top."""
    maker.begin("rose", "point")
    maker.copy_round(8, corner="corner 1, 45°")
    maker.begin("tide", "shoal")
    maker.join("swell", "shoal.edge 2", "edge 4")
    maker.join("swell", "shoal.edge 3", "edge 1")
    maker.join("deep", "swell 2.edge 2", "edge 4")
    maker.begin("arm", "pier")
    maker.join("plank", "pier.top", "bottom")
    maker.join("wing", "pier.bottom")
    maker.begin("wave", "tide")
    maker.join("eave", "tide.edge 2")
    maker.join("eave", "tide.edge 3")
    maker.begin("spoke", "arm")
    maker.join("wave", "arm.edge 2", "edge 4")
    maker.begin("wheel", "spoke")
    maker.copy_round(8, middle="rose", side="edge 1", at="spoke.edge 1", along="end")
    cove = {"Long, finished": "wheel.edge 2", "Sewn larger by": "1/2 in", "Slot": "night"}
    maker.make("patch: right triangle", "cove", **cove)
    maker.begin("harbour", "wheel")
    for number in (2, 4, 6, 8):
        maker.join("cove", f"wheel.edge {number}")
    wall = {"Width, finished": "harbour.top + 2 strips", "Height, finished": "1 strip", "Slot": "deep"}
    maker.make("patch: rectangle", "wall", **wall)
    maker.make("patch: rectangle", "kerb", **{**wall, "Width, finished": "wall.top", "Slot": "swell"})
    maker.make_rows("mole", "kerb", "wall")
    maker.act(lambda: maker.choose("Unit that lies open", "whole"))
    maker.act(lambda: maker.take("mole", quick=True))
    maker.copy_round(4, middle="harbour", at="mole.top", along="start")


def test_harbour_wheel_is_composed_from_an_empty_table_by_mouse_undone_redone_saved_and_opened(open_page, lab):
    page = start(open_page, lab, "table-0.ipynb", width=1440)
    maker = Maker(page)
    first = maker.before
    make_patches_of_the_wheel(maker)
    put_the_wheel_together(maker)
    assert "180 patches" in wait_until(maker.see, lambda said: said.startswith("One piece"))
    last = maker.before
    built, stored = read_study(last[0]), open_study(WHEEL)
    assert describe_units(built) == describe_units(stored)
    assert describe_top(built) == describe_top(stored)
    assert len(built.make_patchwork().trims) == len(stored.make_patchwork().trims) > 0

    maker.undo_all(first)
    assert "[unit" not in maker.read_text()
    maker.redo_all(last)
    saved = read_study(maker.save_and_open(lab, "wheel.toml", first))
    assert saved == built
    assert not page.errors
    assert not page.external


def test_a_star_of_four_kinds_of_unit_is_built_by_mouse_in_the_notches_of_each_other(open_page, lab):
    page = start(open_page, lab, "table-1.ipynb")
    maker = Maker(page)
    maker.make("patch: diamond", "point", **{"Side, finished": "6 in", "Slot": "light"})
    legs = {"Short 1, finished": "6 in", "Short 2, finished": "6 in", "Long, finished": "", "Slot": "sky"}
    maker.make("patch: right triangle", "wing", **legs)
    half = {
        "Short 1, finished": "",
        "Short 2, finished": "",
        "Long, finished": "wing.long",
        "Sewn larger by": "1/2 in",
        "Slot": "water",
    }
    maker.make("patch: right triangle", "corner", **half)
    maker.act(lambda: maker.take("point", quick=True))
    maker.copy_round(8, corner="corner 1, 45°", name="star")
    for _ in range(8):
        maker.join("wing", next(edge.label for edge in maker.list_free() if edge.label.startswith("star")))
    for number in (1, 3, 5, 7):
        maker.join("corner", f"wing {number}.long")
    wait_until(maker.see, lambda said: said.startswith("One piece, nothing open"))
    top = read_study(maker.read_text()).make_patchwork()
    assert len(top.patches) == 20
    assert top.finished[0] == pytest.approx(top.finished[1])
    assert [len(trim.group) for trim in top.trims]
    assert not page.errors
    assert not page.external


class Hands:
    """A maker who has no mouse: every key is pressed, and nothing is focused by script."""

    def __init__(self, page):
        self.page, self.keys = page, page.keyboard
        self.keys.press("Escape")  # out of the cell, as a reader of the notebook would

    def find_focus(self):
        return self.page.evaluate(FOCUSED).strip()

    def go_to(self, name, key="Tab"):
        """Press Tab, or Shift and Tab, until the control of this name has the focus."""
        for _ in range(160):
            if self.find_focus() == name and self.page.evaluate(WITHIN):
                return
            self.keys.press(key)
        raise AssertionError(f"{name} is not reached by {key}")

    def go_back(self, name="Place"):
        self.go_to(name, "Shift+Tab")

    def write(self, name, value):
        self.go_to(name)
        self.keys.press("Control+a")
        self.keys.type(value)

    def press(self, name):
        self.go_to(name)
        self.page.evaluate(SETTLE)
        self.keys.press("Enter")

    def turn_to(self, section, control):
        """Turn to a section and wait until its controls are there."""
        self.go_back()
        self.press(section)
        wait_until(self.page.locator(TABLE).get_by_label(control, exact=True).count, bool)

    def pick(self, name, wanted):
        """Go down the list of a control until the entry is chosen."""
        self.go_to(name)
        self.keys.press("Home")
        chosen = wait_until(lambda: self.page.evaluate(CHOSEN), bool)
        for _ in range(60):
            if chosen == wanted:
                return
            self.keys.press("ArrowDown")
            chosen = wait_until(lambda: self.page.evaluate(CHOSEN), lambda now, old=chosen: now != old)
        raise AssertionError(f"{wanted} is not in the list of {name}")


def test_a_smaller_top_is_built_by_keyboard_alone_undone_redone_and_saved(open_page, lab):
    page = start(open_page, lab, "table-2.ipynb")
    hands, tray, table = Hands(page), page.locator(f"{TABLE} .seamproof-tray"), page.locator(TABLE)
    text = page.locator(f"{TABLE} .seamproof-composing-text textarea")
    says = page.locator(f"{TABLE} [role=status]").first
    hands.go_to("Place")
    hands.press("New unit")
    wait_until(table.get_by_label("Kind of unit").count, bool)
    hands.write("Name", "stone")
    hands.write("Slot", "stone")
    hands.press("Make the unit")
    wait_until(tray.inner_text, lambda said: "stone" in said)
    hands.go_back("Kind of unit")
    hands.pick("Kind of unit", "patch: rectangle")
    wait_until(table.get_by_label("Width, finished").count, bool)
    hands.write("Name", "bar")
    hands.write("Width, finished (in)", "6")
    hands.write("Height, finished (in)", "3")
    hands.write("Slot", "sand")
    hands.press("Make the unit")
    wait_until(tray.inner_text, lambda said: "bar" in said)
    hands.turn_to("Place", "Unit to place")
    hands.pick("Unit to place", "stone")
    hands.press("Place it")
    wait_until(says.inner_text, lambda said: "1 unit" in said)
    hands.go_back("Unit to place")
    hands.pick("Unit to place", "bar")
    hands.pick("At the edge", "stone.top")
    hands.press("Place it")
    wait_until(says.inner_text, lambda said: "2 units" in said)
    hands.turn_to("Text", "Study file")
    whole = wait_until(text.input_value, lambda now: "bar" in now)
    assert read_study(whole).make_patchwork().finished == pytest.approx((6, 9))

    for name, done in (("Undo", lambda now: "[unit" not in now), ("Redo", lambda now: now == whole)):
        hands.go_back(name)
        while not done(text.input_value()):
            before = text.input_value()
            hands.keys.press("Enter")
            wait_until(text.input_value, lambda now, before=before: now != before)
    hands.write("Study file", "keys.toml")
    hands.press("Save the study")
    wait_until(says.inner_text, lambda said: said == "Saved as keys.toml.")
    assert read_study(call(lab, "GET", "keys.toml")["content"]) == read_study(whole)
    assert not page.errors
    assert not page.external


def test_a_page_that_is_loaded_again_shows_the_table_as_it_stands_and_goes_on(open_page, lab):
    page = start(open_page, lab, "table-4.ipynb")
    maker = Maker(page)
    maker.make("patch: square", "stone", **{"Side, finished": "3 in", "Slot": "stone"})
    maker.act(lambda: maker.take("stone", quick=True))
    maker.join("stone", "stone.right")
    page.evaluate("async () => await jupyterapp.commands.execute('docmanager:save') ?? true")
    page.reload(wait_until="domcontentloaded")
    page.locator(f"{TABLE} .bk-Figure").first.wait_for()
    again = Maker(page)
    assert again.before == maker.before
    again.join("stone", "stone 2.top")
    assert len(read_study(again.read_text()).make_patchwork().patches) == 3
    assert not page.errors
    assert not page.external


def test_every_section_is_readable_at_three_widths(open_page, lab):
    page = start(open_page, lab, "table-3.ipynb")
    maker = Maker(page)
    maker.make("patch: square", "stone", **{"Side, finished": "6 in", "Slot": "stone"})
    for width in (1440, 1280, 800):
        page.set_viewport_size({"width": width, "height": 1100})
        for section in ("Place", "Copies", "New unit", "Units", "Fabrics", "Text"):
            maker.turn_to(section)
            assert list_cut_off(page, TABLE) == [], (width, section)
