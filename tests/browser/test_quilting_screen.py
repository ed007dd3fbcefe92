"""The quilting notebook in a real browser: another way of stitching, and lines, route and open spaces follow."""

import os
import time

SCREEN = ".seamproof-quilting"
CUT_OFF = """() => [...document.querySelectorAll(
        '.seamproof-quilting .widget-label, .seamproof-quilting .jupyter-button, .seamproof-quilting select')]
        .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"""


def run_all(page):
    page.evaluate("async () => await jupyterapp.commands.execute('notebook:run-all-cells') ?? true")
    page.locator(f"{SCREEN} .seamproof-table").first.wait_for(timeout=240_000)
    page.locator(SCREEN).first.scroll_into_view_if_needed()


def read_now(page):
    """Return what stands in the column of what holds now, by its heading."""
    return page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('.seamproof-quilting .seamproof-table')[0]
            .querySelectorAll('tbody tr')].map(row => [row.cells[0].textContent.trim(),
                row.cells[2].textContent.replaceAll('\\u00a0', ' ').trim()]))"""
    )


def wait_for(test, timeout=60):
    end = time.monotonic() + timeout
    while time.monotonic() < end:
        if test():
            return
        time.sleep(0.2)
    raise AssertionError("what was awaited did not come")


def take(page, name):
    if os.environ.get("KIT_PICTURES"):
        page.screenshot(path=f"{os.environ['KIT_PICTURES']}/{name}.png")


def row_of(page, where):
    """Return the row of the wish whose first dropdown stands at a part."""
    rows = page.locator(f"{SCREEN} .widget-hbox:has(> .widget-dropdown)")
    for k in range(rows.count()):
        if rows.nth(k).locator("select").first.evaluate("e => e.selectedOptions[0]?.text") == where:
            return rows.nth(k)
    raise AssertionError(where)


def test_another_way_of_stitching_changes_lines_and_route_and_no_label_is_cut_off(open_page):
    page = open_page("8-quilting.ipynb")
    run_all(page)
    page.wait_for_timeout(1500)
    take(page, "quilting-first")
    before = read_now(page)
    said = page.locator(f"{SCREEN} [role=status]").first
    assert "The batting is held" in said.inner_text()
    row_of(page, "blade").locator("select").nth(1).select_option(label="continuous curves")
    wait_for(lambda: all(read_now(page)[what] != before[what] for what in ("Lines", "Route")))
    after = read_now(page)
    ways = row_of(page, "sashing").locator("select").nth(1)
    first = ways.evaluate("e => e.selectedOptions[0].text")
    row_of(page, "sashing").locator("select").nth(1).select_option(label="meander")
    wait_for(lambda: read_now(page)["Lines"] != after["Lines"])
    assert "too narrow" not in said.inner_text()
    page.wait_for_timeout(800)
    take(page, "quilting-narrow")
    row_of(page, "sashing").locator("select").nth(1).select_option(label=first)
    wait_for(lambda: read_now(page)["Lines"] == after["Lines"])
    cut = []
    for width in (1280, 800):
        page.set_viewport_size({"width": width, "height": 1300})
        page.wait_for_timeout(800)
        cut += page.evaluate(CUT_OFF)
        take(page, f"quilting-{width}")
    assert cut == []
    assert not page.errors
    assert not page.external
