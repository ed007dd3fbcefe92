"""The front door in a real browser: a new quilt is there again after a reload, a restart and on another page."""

import os
import shutil
import tomllib

from open_notebooks import list_cut_off, run_cells, wait_until

TROUBLE = "[data-mime-type='application/vnd.jupyter.error'], [data-mime-type='application/vnd.jupyter.stderr']"
IDLE = "window.jupyterapp?.shell.currentWidget?.context?.sessionContext?.session?.kernel?.status === 'idle'"
RESTART = "async () => { await jupyterapp.shell.currentWidget.context.sessionContext.session.kernel.restart(); }"
SHOTS = os.environ.get("SEAMPROOF_SHOTS")
"""A folder for pictures to look at."""
PICTURES = os.environ.get("SEAMPROOF_PICTURES")
"""The folder of the README's pictures, where they are to be taken again."""


def shoot(page, name):
    if SHOTS:
        page.screenshot(path=f"{SHOTS}/{name}-{page.viewport_size['width']}.png")


def open_door(page):
    run_cells(page)
    page.locator(".seamproof-begin").first.wait_for()
    assert page.locator(TROUBLE).count() == 0


def begin_pinwheel(page):
    page.locator(".seamproof-new .widget-text input").first.fill("Sea pinks")
    page.locator(".seamproof-new .seamproof-tiles button", has_text="Pinwheel").click()
    page.locator(".seamproof-begin .seamproof-explorer .bk-Figure").first.wait_for()


def move_right(page, label):
    row = page.locator(".seamproof-explorer .widget-slider").filter(has=page.locator(f"label:text-is('{label}')"))
    row.locator(".noUi-handle").first.focus()
    page.keyboard.press("ArrowRight")


def shoot_for_readme(page, name):
    """Take the upper part of the front door as a picture."""
    if PICTURES:
        box = page.locator(".seamproof-begin").bounding_box()
        page.screenshot(path=f"{PICTURES}/{name}.png", clip={**box, "height": min(box["height"], 1130)})


def read_kept(quilts, key="columns", name="sea-pinks"):
    path = quilts / f"{name}.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))["design"].get(key) if path.exists() else None


def read_summary(page):
    return (
        page.locator(".seamproof-explorer b:not(.seamproof-kept b)")
        .first.locator("xpath=..")
        .inner_text()
        .replace("\xa0", " ")
    )


def test_a_new_quilt_is_changed_and_all_of_it_is_there_after_a_reload_and_after_a_restart(open_page, quilts):
    page = open_page("0-begin.ipynb")
    open_door(page)
    shoot(page, "door")
    begin_pinwheel(page)
    move_right(page, "Blocks across")
    wait_until(lambda: read_kept(quilts), lambda seen: seen == 5)
    wait_until(lambda: read_summary(page), lambda text: "40 in × 32 in" in text)
    said = page.locator(".seamproof-kept [role=status]").first.inner_text()
    assert "sea-pinks.toml" in said
    assert "seamproof/quilts" in said
    assert "saved" in said
    page.evaluate("async () => await jupyterapp.commands.execute('docmanager:save')")

    page.reload(wait_until="domcontentloaded")
    page.locator(".seamproof-begin .seamproof-explorer .bk-Figure").first.wait_for()
    assert "40 in × 32 in" in read_summary(page)
    assert not page.locator(".seamproof-return").first.is_visible()
    shoot(page, "door-reload")
    page.locator(".seamproof-undo").first.click()
    wait_until(lambda: read_kept(quilts), lambda seen: seen is None)  # four, as it is when left out
    page.locator(".seamproof-redo").first.click()
    wait_until(lambda: read_kept(quilts), lambda seen: seen == 5)

    page.evaluate(RESTART)
    page.locator(".seamproof-return").first.wait_for()
    assert "Run All Cells" in page.locator(".seamproof-return").first.inner_text()
    shoot(page, "door-restart")
    page.evaluate("async () => await jupyterapp.commands.execute('docmanager:save')")
    page.reload(wait_until="domcontentloaded")
    page.wait_for_function(IDLE)
    page.locator(".seamproof-return").first.wait_for()
    assert not page.get_by_text("Error displaying widget").first.is_visible()
    shoot(page, "door-restart-reload")
    open_door(page)
    first = page.locator(".seamproof-begin .seamproof-tiles button").first
    wait_until(first.inner_text, lambda text: text.startswith("Sea pinks") and "last worked on" in text)
    shoot(page, "door-tiles")
    first.click()
    page.locator(".seamproof-begin .seamproof-explorer .bk-Figure").first.wait_for()
    assert "40 in × 32 in" in read_summary(page)
    # a figure that is given other room tells its kernel, which was restarted meanwhile
    assert [error for error in page.errors if error != "Cannot send"] == []
    assert not page.external


def test_two_pages_with_one_quilt_and_the_second_that_saves_is_asked(open_page, quilts):
    page = open_page("0-begin.ipynb")
    open_door(page)
    begin_pinwheel(page)
    wait_until((quilts / "sea-pinks.toml").exists, bool)
    other = open_page("1-explore.ipynb")
    run_cells(other)
    other.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    assert "Sea pinks" in read_summary(other)
    move_right(other, "Blocks across")
    wait_until(lambda: read_kept(quilts), lambda seen: seen == 5)
    move_right(page, "Blocks down")
    question = page.locator(".seamproof-kept [role=alert]")
    question.wait_for()
    shoot(page, "door-question")
    assert (read_kept(quilts), read_kept(quilts, "rows")) == (5, None)
    page.get_by_role("button", name="Keep both").click()
    wait_until(lambda: read_kept(quilts, "rows", "sea-pinks-2"), lambda seen: seen == 5)
    assert (read_kept(quilts), read_kept(quilts, "rows")) == (5, None)
    move_right(other, "Blocks across")
    wait_until(lambda: read_kept(quilts), lambda seen: seen == 6)
    assert not other.locator(".seamproof-kept [role=alert]").is_visible()
    assert not page.errors


def test_next_goes_from_screen_to_screen_and_the_link_leads_to_the_notebook_with_the_same_quilt(open_page):
    page = open_page("0-begin.ipynb")
    open_door(page)
    begin_pinwheel(page)
    move_right(page, "Blocks across")
    wait_until(lambda: read_summary(page), lambda text: "40 in × 32 in" in text)
    for name, screen in (
        ("size", ".seamproof-sizes"), ("sewing order", ".seamproof-walkthrough"), ("cutting", ".seamproof-cutting"),
        ("finishing", ".seamproof-finishing"), ("quilting", ".seamproof-quilting"),
    ):  # fmt: skip
        page.get_by_role("button", name=f"Next: {name}").click()
        page.locator(f".seamproof-begin {screen}").wait_for()
        page.wait_for_timeout(800)
        shoot(page, f"stage-{name.replace(' ', '-')}")
    page.get_by_role("button", name="Next: design").click()
    wait_until(lambda: read_summary(page), lambda text: "40 in × 32 in" in text)
    with page.context.expect_page() as opened:
        page.get_by_role("link", name="1-explore").click()
    opened.value.wait_for_load_state("domcontentloaded")
    opened.value.wait_for_function(IDLE)
    assert "1-explore" in opened.value.url
    assert not page.errors


def look(page, name):
    """Look at what is shown at each width in both themes: nothing may be cut off."""
    cut = []
    for theme in ("Light", "Dark"):
        page.evaluate("""async theme => await jupyterapp.commands.execute(
            'apputils:change-theme', {theme: `JupyterLab ${theme}`}) ?? true""", theme)  # fmt: skip
        for width in (800, 1280, 1440):
            page.set_viewport_size({"width": width, "height": 1300})
            page.wait_for_timeout(700)
            cut += [(name, theme, width, text) for text in list_cut_off(page, ".seamproof-begin")]
            shoot(page, f"{name}-{theme.lower()}")
    assert cut == []


def test_nothing_of_the_front_door_is_cut_off(open_page):
    page = open_page("0-begin.ipynb")
    open_door(page)
    page.wait_for_timeout(1500)
    look(page, "door")
    for way in ("From a drawing", "From units", "To fit a bed", "From a photograph of cloth"):
        page.get_by_role("button", name=way).click()
        page.wait_for_timeout(1200)
        if way in ("From a drawing", "From units"):
            page.locator(".seamproof-new .bk-Figure").first.wait_for()
            assert page.get_by_text("javascript error").count() == 0
        look(page, f"new-{way.split()[-1]}")
    page.get_by_role("button", name="From a family").click()
    page.wait_for_timeout(800)
    begin_pinwheel(page)
    page.get_by_text("Versions, and two designs side by side").click()
    page.wait_for_timeout(800)
    look(page, "open")
    page.evaluate("async () => await jupyterapp.commands.execute('apputils:change-theme',"
                  " {theme: 'JupyterLab Light'}) ?? true")  # fmt: skip
    assert not page.errors


def test_the_pictures_of_the_readme_show_the_front_door_and_the_explorer(open_page, quilts):
    quilts.mkdir()
    for number, name in enumerate(("harbour-light", "saltmarsh", "tideline")):
        path = quilts / f"{name}.toml"
        shutil.copy(quilts.parent / f"data/studies/{name}.toml", path)
        os.utime(path, (1_780_000_000 + 4000 * number,) * 2)
    (quilts / "working-on.txt").write_text("tideline.toml\n", encoding="utf-8")
    page = open_page("0-begin.ipynb", width=1200, height=1750)
    page.evaluate("() => jupyterapp.shell.collapseLeft()")
    open_door(page)
    tiles = page.locator(".seamproof-begin .seamproof-tiles button")
    assert [text.splitlines()[0] for text in tiles.all_inner_texts()[:3]] == ["Tideline", "Saltmarsh", "Harbour Light"]
    page.get_by_text("A new quilt", exact=True).click()
    page.locator(".seamproof-new .seamproof-tiles button").first.wait_for()
    page.wait_for_timeout(1500)
    shoot_for_readme(page, "begin")
    tiles.first.click()
    page.locator(".seamproof-begin .seamproof-explorer .bk-Figure").first.wait_for()
    page.wait_for_timeout(2500)
    assert "Tideline" in read_summary(page)
    shoot_for_readme(page, "explore")
    assert not page.errors
