"""JupyterLab in a real browser: sliders that are only drawn say nothing, and what is written is kept as it is."""

import json
import os
import urllib.request

import nbformat
import pytest
from open_notebooks import run_cells

from kit.study import read_study, write_study

CODE = """
import kit
from kit.study import study_from_keys, study_keys
kit.start_notebook()
"""
STUDY = """
keys = study_keys(kit.open_study("../data/studies/ferry-steps.toml"))
keys["measures"] = {"system": "metric", "seam_allowance": "0.75 cm", "usable_width": "108.3 cm"}
keys["design"] |= {"strip_cut": "6.47 cm", "border": [{"finished": "5.55 cm", "slot": "border"}]}
explorer = kit.explore(study_from_keys(keys))
explorer
"""
KERNEL = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}}
SHOTS = os.environ.get("SEAMPROOF_SHOTS")
"""A folder for pictures to look at."""
BELOW = "explorer.show_here(kit.tables.pieces)"


@pytest.fixture
def ask(lab):
    """Return a function that asks the server for a file, or puts one there."""
    base, token = lab

    def ask(path, content=None, kind="notebook"):
        body = None if content is None else json.dumps(
            {"type": kind, "format": "json" if kind == "notebook" else "text", "content": content}
        ).encode()  # fmt: skip
        request = urllib.request.Request(
            f"{base}/api/contents/{path}", body,
            {"Authorization": f"token {token}", "Content-Type": "application/json"},
            method="GET" if content is None else "PUT",
        )  # fmt: skip
        return json.loads(urllib.request.urlopen(request, timeout=30).read())

    return ask


@pytest.fixture
def page(ask, open_page, request):
    cells = [nbformat.v4.new_code_cell(source.strip()) for source in (CODE, STUDY, BELOW)]
    ask("notebooks/untouched.ipynb", nbformat.v4.new_notebook(cells=cells, metadata=KERNEL))
    page = open_page("untouched.ipynb", width=getattr(request, "param", 1280))
    run_cells(page)
    page.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    page.locator(".seamproof-elsewhere table").first.wait_for()
    page.wait_for_timeout(1500)
    return page


def read_field(page, label):
    return page.locator(f".seamproof-explorer input[title^='{label}:']").first


def open_section(page, title):
    page.locator(".seamproof-explorer").get_by_text(title, exact=True).click()
    page.wait_for_timeout(700)


def save(page, ask):
    if not page.get_by_role("button", name="Save the study").is_visible():
        open_section(page, "Save and open")
    page.get_by_role("button", name="Save the study").click()
    page.get_by_text("Saved as my-study.toml").wait_for()
    return ask("notebooks/my-study.toml")["content"]


def test_a_metric_study_drawn_and_left_alone_is_saved_as_it_was(page, ask):
    for title in ("Sashing and borders", "Placing prints", "Measures"):
        open_section(page, title)
    assert read_field(page, "Seam allowance").input_value() == "0.75 cm"
    space = {}
    exec(compile(CODE.replace("kit.start_notebook()", "") + STUDY.replace("../data", "data"), "cell", "exec"), space)  # noqa: S102  the cells above
    assert save(page, ask) == write_study(space["explorer"].study)
    assert not page.errors


def test_what_is_written_is_kept_and_undone_by_key(page, ask):
    field = read_field(page, "Strip, cut width")
    field.fill("2 5/16 in")
    field.press("Enter")
    elsewhere = page.locator(".seamproof-elsewhere").first
    elsewhere.get_by_text("as it was before").wait_for()
    page.wait_for_timeout(1500)
    assert field.input_value() == "2 5/16 in"
    before = elsewhere.locator("table").inner_text()
    elsewhere.get_by_role("button", name="Show it as it is now").click()
    page.wait_for_function("old => document.querySelector('.seamproof-elsewhere table').innerText !== old", arg=before)
    assert elsewhere.get_by_text("as it was before").count() == 0
    assert read_study(save(page, ask)).design.strip_cut == 2.3125
    page.locator(".seamproof-undo").focus()
    page.keyboard.press("Control+z")
    page.wait_for_timeout(1500)
    assert field.input_value() == "6.47 cm"
    page.keyboard.press("Control+Shift+z")
    page.wait_for_timeout(1500)
    assert field.input_value() == "2 5/16 in"
    assert not page.errors


def test_an_arrow_on_a_slider_goes_to_the_next_stop(page):
    slider = page.locator(".seamproof-explorer .widget-slider").filter(has_text="Strip, cut width (cm)")
    knob = slider.locator(".noUi-handle")
    knob.focus()
    page.keyboard.press("ArrowRight")
    page.wait_for_timeout(1500)
    assert read_field(page, "Strip, cut width").input_value() == "6.6 cm"


@pytest.mark.parametrize("page", [800, 1280], indirect=True)
def test_after_a_reload_the_picture_comes_back_with_the_quilt_as_it_was_left(page):
    field = read_field(page, "Strip, cut width")
    field.fill("7,3 cm")
    field.press("Enter")
    page.wait_for_timeout(1500)
    page.evaluate("async () => await jupyterapp.commands.execute('docmanager:save')")
    page.wait_for_timeout(1000)
    page.reload(wait_until="domcontentloaded")
    page.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    page.wait_for_timeout(1000)
    assert page.get_by_text("javascript error").count() == 0
    assert read_field(page, "Strip, cut width").input_value() == "7.3 cm"  # taken, and as a study file writes it
    page.locator(".seamproof-undo").click()
    page.wait_for_timeout(1500)
    assert read_field(page, "Strip, cut width").input_value() == "6.47 cm"
    if SHOTS:
        page.screenshot(path=f"{SHOTS}/reload-{page.viewport_size['width']}.png")
