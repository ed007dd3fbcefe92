"""An open notebook in a browser: run it, read the table of what holds now, wait, and look for what is cut off."""

import os
import time

WIDTHS = (1280, 800)


def run_cells(page, screen=None, first="img", timeout=180_000):
    """Run every cell; of a screen, wait until something of it is there, and bring it into sight."""
    page.evaluate("async () => await jupyterapp.commands.execute('notebook:run-all-cells') ?? true")
    if screen:
        page.locator(f"{screen} {first}").first.wait_for(timeout=timeout)
        page.locator(screen).first.scroll_into_view_if_needed()


def read_now(page, screen):
    """Return what stands in the third column of the first table of a screen, by its first: what holds now."""
    return page.evaluate(
        """screen => Object.fromEntries([...document.querySelectorAll(`${screen} .seamproof-table`)[0]
            .querySelectorAll('tbody tr')].map(row => [row.cells[0].textContent.trim(),
                row.cells[2].textContent.replaceAll('\\u00a0', ' ').trim()]))""",
        screen,
    )


def wait_until(see, wanted, timeout=20):
    """Look until what is seen is what is wanted, and return it."""
    end = time.monotonic() + timeout
    while time.monotonic() < end:
        if wanted(seen := see()):
            return seen
        time.sleep(0.05)
    raise AssertionError(f"still {see()!r}"[:2000])


def wait_for_change(page, screen, before):
    """Wait until what holds now is something else, and return it."""
    return wait_until(lambda: read_now(page, screen), lambda now: now != before, timeout=60)


def list_cut_off(page, screen):
    """Return the words of labels, buttons and lists of a screen that have less room than they need."""
    return page.evaluate(
        """screen => [...document.querySelectorAll(`${screen} :is(.widget-label, .jupyter-button, select)`)]
            .filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1).map(e => e.innerText)""",
        screen,
    )


def list_cut_off_at_widths(page, screen, name, widths=WIDTHS):
    """Return what is cut off at any width of the page; each is kept as a picture if KIT_PICTURES names a folder."""
    cut = []
    for width in widths:
        page.set_viewport_size({"width": width, "height": 1300})
        page.wait_for_timeout(800)
        cut += [(width, words) for words in list_cut_off(page, screen)]
        take_picture(page, f"{name}-{width}")
    return cut


def take_picture(page, name):
    """Keep a picture of the page if KIT_PICTURES names a folder."""
    if os.environ.get("KIT_PICTURES"):
        page.screenshot(path=f"{os.environ['KIT_PICTURES']}/{name}.png")
