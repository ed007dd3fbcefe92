"""The composing table in a real browser: a quilt by mouse, a smaller one by keyboard, undone, redone, saved, opened."""

import json
import re
import urllib.request

import pytest
from test_explore import wait_until

from kit.explore.composing.table import NEW, ComposingTable
from kit.study import read_study, study_from_keys

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
    const frame = look(document.querySelector('{TABLE}'));
    return frame && frame.height > 100 ? [frame.x, frame.y, frame.width, frame.height] : null; }}"""
CUT_OFF = f"""() => [...document.querySelectorAll('{TABLE} .widget-label, {TABLE} .jupyter-button, {TABLE} select')]
    .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"""
FOCUSED = """() => { const e = document.activeElement;
    return (e.labels && e.labels.length ? e.labels[0].innerText : '') || e.innerText || ''; }"""
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
    """A maker at the table in the browser, and beside it the same table, to know what lies where."""

    def __init__(self, page, table=None):
        self.page = page
        self.twin = table or ComposingTable(study_from_keys(NEW))

    def read_text(self):
        self.turn_to("Text")
        return self.page.locator(f"{TABLE} .seamproof-composing-text textarea").input_value()

    def turn_to(self, section):
        self.page.locator(f"{TABLE} .widget-toggle-buttons").get_by_role("button", name=section, exact=True).click()

    def press(self, name):
        named = re.compile(rf"(^|\W){name}$")  # an icon before the words counts as a sign
        self.page.locator(TABLE).get_by_role("button", name=named).click()

    def see(self):
        return self.page.locator(f"{TABLE} [role=status]").first.inner_text().replace("\xa0", " ")

    def agree(self):
        """Wait until the page has come to what the table beside it has."""
        self.turn_to("Text")
        field = self.page.locator(f"{TABLE} .seamproof-composing-text textarea")
        wait_until(field.input_value, lambda text: text == self.twin.sheet.text)

    def fill(self, label, value):
        field = self.page.locator(TABLE).get_by_label(label, exact=True)
        field.fill(value)
        field.press("Tab")

    def choose(self, label, option):
        self.page.locator(TABLE).get_by_label(label, exact=True).select_option(label=option)

    def make_patch(self, kind, name, slot, **sizes):
        """Make a plain patch with the form of new units."""
        self.turn_to("New unit")
        self.choose("Kind of unit", f"patch: {kind}")
        wait_until(lambda: self.page.locator(TABLE).get_by_label(next(iter(sizes)), exact=True).count(), bool)
        for label, value in sizes.items():
            self.fill(label, value)
        self.fill("Name", name)
        self.fill("Slot", slot)
        self.press("Make the unit")
        new = self.twin.panel.new
        new.kind.value = ("patch", kind)
        labels = {field.description: field for field in new.fields.values()}
        for label, value in sizes.items():
            labels[label].value = value
        new.name.value, new.slot.value = name, slot
        new.button.click()
        self.agree()

    def take(self, name):
        self.page.locator(f"{TABLE} .seamproof-tray button").filter(has_text=re.compile(rf"^{name}\s")).click()
        self.twin.take(name)
        self.agree()

    def click(self, label):
        """Click a free edge in the middle."""
        x, y = self.twin.sheet.shown.laid.find_edge(label).middle
        left, bottom, width = self.twin.picture.view
        box = wait_until(lambda: self.page.evaluate(FIND_FRAME), bool)
        at = box[0] + box[2] * (x - left) / width, box[1] + box[3] * (1 - (y - bottom) / width)
        self.page.mouse.click(*at)
        self.twin.picture.click((x, y))
        self.agree()


def start(open_page, lab, name, cells=EMPTY, **size):
    write_notebook(lab, name, cells)
    page = open_page(name, **size)
    page.evaluate("async () => await jupyterapp.commands.execute('notebook:run-all-cells') ?? true")
    page.locator(f"{TABLE} .bk-Figure").first.wait_for()
    assert page.locator(TROUBLE).count() == 0
    page.locator(TABLE).scroll_into_view_if_needed()
    return page


def test_a_star_of_four_kinds_of_unit_is_built_by_mouse_undone_redone_saved_and_opened(open_page, lab):
    page = start(open_page, lab, "table-1.ipynb")
    maker = Maker(page)
    sheet = maker.twin.sheet
    maker.make_patch("diamond", "point", "light", **{"Side, finished": "6 in"})
    legs = {"Short 1, finished": "6 in", "Short 2, finished": "6 in", "Long, finished": ""}
    maker.make_patch("right triangle", "wing", "sky", **legs)
    half = {"Short 1, finished": "", "Short 2, finished": "", "Long, finished": "wing.long", "Sewn larger by": "1/2 in"}
    maker.make_patch("right triangle", "corner", "water", **half)
    assert list(sheet.units) == ["point", "wing", "corner"]
    maker.take("point")

    maker.turn_to("Copies")
    maker.fill("Copies", "8")
    maker.choose("Corner there", "corner 1, 45°")
    maker.fill("Name", "star")
    maker.press("Copy round")
    sheet.copy_round(8, corner=1, name="star")
    maker.twin.show()
    maker.agree()

    maker.turn_to("Place")
    maker.take("wing")
    for _ in range(8):
        maker.click(next(edge.label for edge in sheet.shown.laid.free if edge.label.startswith("star")))
    maker.take("corner")
    for number in (1, 3, 5, 7):
        maker.click(f"wing {number}.long")
    assert "nothing open" in wait_until(maker.see, lambda said: said.startswith("One piece"))
    whole = maker.read_text()
    study = read_study(whole)
    top = study.make_patchwork()
    assert len(top.patches) == 20
    assert top.finished[0] == pytest.approx(top.finished[1])
    assert [len(trim.group) for trim in top.trims]

    for _ in range(60):
        maker.press("Undo")
    wait_until(maker.read_text, lambda text: "[unit" not in text)
    for _ in range(60):
        maker.press("Redo")
    wait_until(maker.read_text, lambda text: text == whole)

    maker.fill("Study file", "built.toml")
    maker.press("Save the study")
    wait_until(maker.see, lambda said: said == "Saved as built.toml.")
    saved = call(lab, "GET", "built.toml")["content"]
    assert read_study(saved) == study
    for _ in range(60):
        maker.press("Undo")
    wait_until(maker.read_text, lambda text: "[unit" not in text)
    maker.press("Open this file")
    wait_until(maker.read_text, lambda text: text == whole)
    assert not page.errors
    assert not page.external


class Hands:
    """A maker who has no mouse."""

    def __init__(self, page):
        self.page, self.keys = page, page.keyboard

    def go_back(self):
        """Come to the first section, as Shift and Tab would."""
        self.page.locator(f"{TABLE} .widget-toggle-buttons button").first.focus()

    def go_to(self, name):
        """Press Tab until the control of this name has the focus."""
        for _ in range(120):
            if self.page.evaluate(FOCUSED).strip() == name:
                return
            self.keys.press("Tab")
        raise AssertionError(f"{name} is not reached by Tab")

    def write(self, name, value):
        self.go_to(name)
        self.keys.press("Control+a")
        self.keys.type(value)

    def press(self, name):
        self.go_to(name)
        self.keys.press("Enter")
        self.page.wait_for_timeout(500)

    def pick(self, name, wanted):
        """Go down the list of a control until the entry is chosen."""
        self.go_to(name)
        self.keys.press("Home")
        for _ in range(40):
            chosen = self.page.evaluate("() => document.activeElement.selectedOptions?.[0].label")
            if chosen and chosen.replace("\xa0", " ") == wanted:
                self.page.wait_for_timeout(300)
                return
            self.keys.press("ArrowDown")
            self.page.wait_for_timeout(120)
        raise AssertionError(f"{wanted} is not in the list of {name}")


def test_a_smaller_top_is_built_by_keyboard_alone(open_page, lab):
    page = start(open_page, lab, "table-2.ipynb")
    hands, tray = Hands(page), page.locator(f"{TABLE} .seamproof-tray")
    hands.go_back()
    hands.press("New unit")
    hands.write("Name", "stone")
    hands.write("Slot", "stone")
    hands.press("Make the unit")
    hands.go_back()
    wait_until(tray.inner_text, lambda said: "stone" in said)
    hands.pick("Kind of unit", "patch: rectangle")
    wait_until(page.locator(TABLE).get_by_label("Width, finished").count, bool)
    hands.write("Width, finished", "6 in")
    hands.write("Height, finished", "3 in")
    hands.write("Name", "bar")
    hands.write("Slot", "sand")
    hands.press("Make the unit")
    wait_until(tray.inner_text, lambda said: "bar" in said)
    hands.go_back()
    hands.press("Place")
    hands.pick("Unit to place", "stone")
    hands.press("Place it")
    hands.go_back()
    hands.pick("Unit to place", "bar")
    hands.pick("At the edge", "stone.top")
    hands.press("Place it")
    go = page.locator(f"{TABLE} [role=status]").first
    wait_until(go.inner_text, lambda said: "2 units" in said)
    hands.go_back()
    hands.press("Text")
    text = page.locator(f"{TABLE} .seamproof-composing-text textarea").input_value()
    top = read_study(text).make_patchwork()
    assert top.finished == pytest.approx((6, 9))
    assert not page.errors
    assert not page.external


def test_every_section_is_readable_at_three_widths(open_page, lab):
    page = start(open_page, lab, "table-3.ipynb")
    maker = Maker(page)
    maker.make_patch("square", "stone", "stone", **{"Side, finished": "6 in"})
    for width in (1440, 1280, 800):
        page.set_viewport_size({"width": width, "height": 1100})
        for section in ("Place", "Copies", "New unit", "Units", "Fabrics", "Text"):
            maker.turn_to(section)
            assert page.evaluate(CUT_OFF) == [], (width, section)
