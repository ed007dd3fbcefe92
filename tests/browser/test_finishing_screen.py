"""The finishing notebook in a real browser: move the overhang, and backing and binding follow; nothing is cut off."""

import os
import time

SCREEN = ".seamproof-finishing"
CUT_OFF = """() => [...document.querySelectorAll(
        '.seamproof-finishing .widget-label, .seamproof-finishing .jupyter-button, .seamproof-finishing select')]
        .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)"""


def run_all(page):
    page.evaluate("async () => await jupyterapp.commands.execute('notebook:run-all-cells') ?? true")
    page.locator(f"{SCREEN} img").first.wait_for(timeout=180_000)
    page.locator(SCREEN).first.scroll_into_view_if_needed()


def read_now(page):
    """Return what stands in the column of what holds now, by its heading."""
    return page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll('.seamproof-finishing .seamproof-table')[0]
            .querySelectorAll('tbody tr')].map(row => [row.cells[0].textContent.trim(),
                row.cells[2].textContent.replaceAll('\\u00a0', ' ').trim()]))"""
    )


def wait_for_change(page, before, timeout=30):
    end = time.monotonic() + timeout
    while time.monotonic() < end:
        now = read_now(page)
        if now != before:
            return now
        time.sleep(0.1)
    raise AssertionError("nothing changed")


def take(page, name):
    if os.environ.get("KIT_PICTURES"):
        page.screenshot(path=f"{os.environ['KIT_PICTURES']}/{name}.png")


def test_moving_the_overhang_changes_what_is_bought_and_no_label_is_cut_off(open_page):
    page = open_page("7-finish.ipynb")
    run_all(page)
    before = read_now(page)
    assert before["Backing, way"] == "lengthwise, 1 seam"
    row = page.locator(f"{SCREEN} .widget-slider").filter(
        has=page.locator("label:text-is('Overhang at each side (in)')")
    )
    row.locator(".noUi-handle").first.focus()
    for _ in range(24):
        page.keyboard.press("ArrowRight")
    after = wait_for_change(page, before)
    assert after["Backing, buy"] != before["Backing, buy"] or after["Backing, way"] != before["Backing, way"]
    cut = []
    for width in (1280, 800):
        page.set_viewport_size({"width": width, "height": 1300})
        page.wait_for_timeout(800)
        cut += page.evaluate(CUT_OFF)
        take(page, f"finishing-{width}")
    assert cut == []
    assert not page.errors
    assert not page.external
