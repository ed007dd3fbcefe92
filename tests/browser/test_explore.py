"""JupyterLab in a real browser: run the first notebook, move controls, see drawing and tables follow."""

import json
import time
from pathlib import Path

from open_notebooks import run_cells, wait_until

import kit
from kit.study import study_from_keys, study_keys

ROOT = Path(__file__).resolve().parents[2]


def run_all(page):
    run_cells(page)
    page.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    trouble = "[data-mime-type='application/vnd.jupyter.error'], [data-mime-type='application/vnd.jupyter.stderr']"
    assert page.locator(trouble).count() == 0


def settle(see, quiet=0.6, timeout=20):
    end = time.monotonic() + timeout
    last, since = see(), time.monotonic()
    while time.monotonic() < end:
        time.sleep(0.1)
        now = see()
        if now != last:
            last, since = now, time.monotonic()
        elif time.monotonic() - since > quiet:
            return now
    raise AssertionError("never settled")


def handle(page, label):
    row = page.locator(".seamproof-explorer .widget-slider").filter(has=page.locator(f"label:text-is('{label}')"))
    return row.locator(".noUi-handle").first


def picture(page):
    return page.locator(".seamproof-explorer .bk-Figure").first.screenshot()


def bought(page):
    """Return (fabric, pieces, strips) of each row of the table of what to buy."""
    return [
        (row[0], row[2], row[3])
        for row in page.evaluate(
            """() => {
                const table = document.querySelector('.seamproof-explorer .seamproof-table');
                return table ? [...table.querySelectorAll('tbody tr')]
                    .map(row => [...row.cells].map(cell => cell.textContent.trim())) : []; }"""
        )
    ]


def expected(**changes):
    keys = study_keys(kit.open_study(ROOT / "data/studies/tideline.toml"))
    keys["design"].update(changes)
    table = kit.tables.shopping(kit.make_sketch(study_from_keys(keys)))
    return [(row.Fabric, str(row.Pieces), str(row.Strips)) for row in table.itertuples()]


def test_controls_move_the_drawing_and_the_table_to_what_the_model_says(open_page):
    page = open_page("1-explore.ipynb")
    run_all(page)
    assert wait_until(lambda: bought(page), bool) == expected()
    before = settle(lambda: picture(page))

    handle(page, "Columns across").focus()
    page.keyboard.press("ArrowRight")
    wait_until(lambda: bought(page), lambda seen: seen == expected(columns=4))
    wider = wait_until(lambda: picture(page), lambda seen: seen != before)

    handle(page, "Strip, cut width (in)").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    wait_until(lambda: bought(page), lambda seen: seen == expected(columns=4, strip_cut="2.25 in"))
    wait_until(lambda: picture(page), lambda seen: seen != wider)
    assert not page.errors
    assert not page.external


def test_an_impossible_setting_is_explained_in_words_and_the_picture_stays(open_page):
    page = open_page("1-explore.ipynb")
    run_all(page)
    wait_until(lambda: bought(page), bool)
    knob = handle(page, "Column, finished width (in)")
    knob.focus()
    page.keyboard.press("Home")
    said = page.locator(".seamproof-explorer .seamproof-message [role=status]").first
    wait_until(said.inner_text, lambda text: "too narrow for a blade" in text and "Needed: at least" in text)
    assert bought(page) != []
    assert page.locator(".seamproof-explorer .bk-Figure").count() == 1
    assert "Traceback" not in page.locator("body").inner_text()
    assert not page.errors


def test_a_change_reaches_the_picture_soon(open_page, benchmark):
    page = open_page("1-explore.ipynb")
    run_all(page)
    settle(lambda: picture(page))
    page.evaluate(
        """() => { window.seen = 0;
            const watch = new MutationObserver(() => { window.seen = performance.now(); });
            const tables = document.querySelector('.seamproof-explorer .seamproof-table').closest('.widget-html');
            watch.observe(tables, {subtree: true, childList: true, characterData: true}); }"""
    )
    knob = handle(page, "Columns across")
    knob.focus()
    keys = iter(["ArrowRight", "ArrowLeft"] * 40)

    def move():
        page.evaluate("() => { window.seen = 0; }")
        page.keyboard.press(next(keys))
        page.wait_for_function("window.seen > 0", polling="raf")

    benchmark.pedantic(move, rounds=12, warmup_rounds=1)
    assert json.loads(page.evaluate("JSON.stringify(window.seen)")) > 0
