"""The cutting notebook in a real browser: choose a way, and cloth, diagram and tables follow; nothing is cut off."""

import os
import time

SCREEN = ".seamproof-cutting"
CUT_OFF = """() => [...document.querySelectorAll(
        '.seamproof-cutting .widget-label, .seamproof-cutting .jupyter-button, .seamproof-cutting select')]
        .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"""


def run_all(page):
    page.evaluate("async () => await jupyterapp.commands.execute('notebook:run-all-cells') ?? true")
    page.locator(f"{SCREEN} img").first.wait_for(timeout=180_000)
    page.locator(SCREEN).first.scroll_into_view_if_needed()


def read_cloth(page):
    """Return what each cloth takes now."""
    return page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('.seamproof-cutting .seamproof-table')[0]
            .querySelectorAll('tbody tr')].map(row => [row.cells[0].textContent.trim(),
                row.cells[2].textContent.replaceAll('\\u00a0', ' ').trim()]))"""
    )


def wait_for_change(page, before, timeout=40):
    end = time.monotonic() + timeout
    while time.monotonic() < end:
        now = read_cloth(page)
        if now != before:
            return now
        time.sleep(0.1)
    raise AssertionError("nothing changed")


def take(page, name):
    if os.environ.get("KIT_PICTURES"):
        page.screenshot(path=f"{os.environ['KIT_PICTURES']}/{name}.png")


def test_a_way_changes_the_cloth_and_a_search_finds_less(open_page):
    page = open_page("3-cutting.ipynb")
    run_all(page)
    before = read_cloth(page)
    assert before["Sea mist"] == "42⅝ in"
    row = page.locator(f"{SCREEN} .widget-dropdown").filter(has=page.locator("label:text-is('Geese')"))
    row.locator("select").select_option("stitch and flip")
    after = wait_for_change(page, before)
    assert after["Sea mist"] != before["Sea mist"]
    assert after["Channel"] == before["Channel"]
    page.locator(f"{SCREEN} button:has-text('Search for less cloth')").click()
    page.locator(f"{SCREEN} div[role=status]:has-text('Searched to the end')").first.wait_for(timeout=60_000)
    page.locator(f"{SCREEN} .lm-TabBar-tab:has-text('Batches')").click()
    page.locator(f"{SCREEN} td:has-text('stitch and flip')").first.wait_for()
    cut = []
    for width in (1280, 800):
        page.set_viewport_size({"width": width, "height": 1300})
        page.wait_for_timeout(800)
        cut += page.evaluate(CUT_OFF)
        take(page, f"cutting-{width}")
    assert cut == []
    assert not page.errors
    assert not page.external
