"""Served as pages: a notebook under voila shows no code and its controls work; a page of a study needs no server."""

import contextlib
import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from importlib.util import find_spec

import pytest
from open_notebooks import wait_until
from test_explore import ROOT, bought, expected, handle
from test_lessons import answer, read_mark

import kit
from kit.lengths import write_plain
from kit.lessons import make_exercise

ICONS = r"https://[^?#]*/fontawesome-free@[^/?#]*/css/[\w.-]+\.css"
"""What voila's own page asks a network for: the icons on buttons. The fence refuses them, and the page works."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    """Serve a copy of the notebooks by voila."""
    if find_spec("voila") is None:
        pytest.skip("voila is not installed (the extra `pages`)")
    tmp = tmp_path_factory.mktemp("pages")
    home = tmp / "project"
    for part in ("kit", "notebooks", "data"):
        shutil.copytree(ROOT / part, home / part, ignore=shutil.ignore_patterns(".*", "__pycache__"))
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    env = {
        **os.environ,
        **{f"JUPYTER_{place}_DIR": str(tmp / place.lower()) for place in ("CONFIG", "DATA", "RUNTIME")},
        "IPYTHONDIR": str(tmp / "ipython"),
        "PYTHONPATH": str(home),
        "SEAMPROOF_QUILTS": str(tmp / "quilts"),
    }
    command = [sys.executable, "-m", "voila", "notebooks", "--no-browser", f"--port={port}", "--Voila.ip=127.0.0.1"]
    base, log = f"http://127.0.0.1:{port}", tmp / "voila.log"
    with log.open("w") as out:
        server = subprocess.Popen(
            command, cwd=home, env=env, stdout=out, stderr=subprocess.STDOUT, start_new_session=True
        )
        try:
            for _ in range(600):
                if server.poll() is not None:
                    pytest.fail(log.read_text()[-3000:])
                with contextlib.suppress(OSError):
                    urllib.request.urlopen(f"{base}/", timeout=10).read()
                    break
                time.sleep(0.1)
            yield base
        finally:
            os.killpg(server.pid, signal.SIGTERM)
            try:
                server.wait(15)
            except subprocess.TimeoutExpired:
                os.killpg(server.pid, signal.SIGKILL)
                server.wait()


@pytest.fixture
def fenced(browser):
    """Return a function that opens an address in a page which may speak to one place only."""
    contexts = []

    def start(address, allowed, width=1280):
        context = browser.new_context(viewport={"width": width, "height": 1300})
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(120_000)
        page.errors, page.external = [], []
        page.on("pageerror", lambda error: page.errors.append(str(error)))

        def fence(route):
            if route.request.url.startswith((allowed, "data:", "blob:")):
                route.continue_()
            else:
                page.external.append(route.request.url)
                route.abort()

        page.route("**/*", fence)
        page.goto(address, wait_until="domcontentloaded")
        return page

    yield start
    for context in contexts:
        context.close()


def test_the_explorer_is_served_without_code_and_its_controls_move_the_quilt(pages, fenced):
    page = fenced(f"{pages}/voila/render/1-explore.ipynb", pages)
    page.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    assert wait_until(lambda: bought(page), bool) == expected()
    shown = page.locator("body").inner_text()
    assert "import kit" not in shown
    assert "kit.explore(" not in shown
    assert page.locator(".jp-CodeMirrorEditor, .cm-editor, .jp-InputArea-editor").count() == 0
    handle(page, "Columns across").focus()
    page.keyboard.press("ArrowRight")
    wait_until(lambda: bought(page), lambda seen: seen == expected(columns=4))
    assert not page.errors
    assert [address for address in page.external if not re.fullmatch(ICONS, address)] == []


def test_the_front_door_is_served_without_code_and_a_new_quilt_opens_in_place(pages, fenced, tmp_path_factory):
    quilts = tmp_path_factory.getbasetemp() / "pages0/quilts"
    shutil.rmtree(quilts, ignore_errors=True)  # what other tests have changed was saved there
    page = fenced(f"{pages}/voila/render/0-begin.ipynb", pages)
    tile = page.locator(".seamproof-new .seamproof-tiles button", has_text="Pinwheel")
    tile.wait_for(state="attached")
    if not tile.is_visible():  # folded where there are quilts already
        page.get_by_text("A new quilt", exact=True).click()
    tile.click()
    try:
        page.locator(".seamproof-begin .bk-Figure").first.wait_for()
        handle(page, "Blocks across").focus()
        page.keyboard.press("ArrowRight")
        wait_until(lambda: kit.open_study(quilts / "my-quilt.toml").design.columns, lambda seen: seen == 5)
        assert "import kit" not in page.locator("body").inner_text()
        assert not page.locator(".seamproof-return").first.is_visible()
        assert not page.errors
    finally:
        shutil.rmtree(quilts)


def test_a_lesson_is_served_without_code_and_names_the_slip(pages, fenced):
    page = fenced(f"{pages}/voila/render/10-allowances.ipynb", pages)
    lesson = page.locator(".seamproof-lesson").first
    lesson.wait_for()
    wait_until(lesson.locator(".seamproof-exercise [role=status]").count, bool)
    exercise = make_exercise("square", 1)
    slip = next(wrong for wrong in exercise.mistakes if wrong.name == "allowance forgotten")
    answer(lesson, write_plain(slip.values[0]))
    assert "Allowance forgotten?" in wait_until(lambda: read_mark(lesson), lambda text: "Not yet" in text)
    answer(lesson, write_plain(exercise.answer))
    assert wait_until(lambda: read_mark(lesson), lambda text: "Right" in text).startswith("✓")
    assert "import kit" not in page.locator("body").inner_text()
    assert not page.errors


def test_a_question_is_answered_within_three_gestures_by_keyboard_alone_on_a_telephone(pages, fenced):
    page = fenced(f"{pages}/voila/render/14-quick-sums.ipynb", pages, width=390)
    quick = page.locator(".seamproof-quick").first
    status = quick.locator("[role=status]").first

    def read():
        return status.inner_text().replace("\N{NO-BREAK SPACE}", " ")

    assert "28 squares" in wait_until(read, bool)
    for _ in range(12):  # to the form, past what the page itself holds
        if page.evaluate("document.activeElement.closest('.seamproof-quick select') !== null"):
            break
        page.keyboard.press("Tab")
    page.keyboard.type("Backing")  # 1: the question
    wait_until(read, lambda text: "60 in by 80 in" in text)
    page.keyboard.press("Tab")  # 2: to its first field, where all is selected
    page.keyboard.type("50 x 70 in\n")  # 3: the figure
    told = wait_until(read, lambda text: "50 in by 70 in" in text)
    backing = kit.sums.backing("50 x 70 in")
    assert str(backing).splitlines()[1].strip() in told
    assert quick.locator("img").first.get_attribute("alt").startswith("Backing of")
    assert page.evaluate("document.querySelector('.seamproof-quick').scrollWidth") <= 390
    assert (
        page.evaluate("""() => [...document.querySelectorAll('.seamproof-quick *')]
        .filter(e => e.offsetParent && e.getBoundingClientRect().right > 391).length""")
        == 0
    )
    assert not page.errors
    assert [address for address in page.external if not re.fullmatch(ICONS, address)] == []


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    pattern = kit.make_pattern(kit.open_study(ROOT / "data/studies/tideline.toml"))
    from kit.output.files.quilt_page import write_page

    path = tmp_path_factory.mktemp("page") / "tideline.html"
    path.write_text(write_page(pattern), encoding="utf-8")
    return pattern, path


def test_a_page_of_a_study_shows_hover_and_legend_without_any_server(written, fenced):
    pattern, path = written
    page = fenced(path.as_uri(), path.as_uri())
    figure = page.locator(".bk-Figure").first
    figure.wait_for()
    page.wait_for_timeout(500)
    box = figure.bounding_box()
    page.mouse.move(box["x"] + box["width"] * 0.4, box["y"] + box["height"] * 0.5)
    tip = page.locator(".bk-Tooltip").first
    tip.wait_for()
    text = wait_until(lambda: tip.evaluate("e => e.shadowRoot.textContent"), bool)
    names = [fabric.name for fabric in pattern.study.fabrics]
    assert any(patch.id in text for patch in pattern.patchwork.patches)
    assert any(name in text for name in names)
    legend = page.evaluate(
        """() => { const [view] = Object.values(Bokeh.documents[0].roots());
            const entries = view.right.flatMap(part => part.items ?? []);
            return entries.flatMap(entry => entry.get_labels_list_from_label_prop()); }"""
    )
    used = set(pattern.colouring.assignment.values())
    assert {label.split("  ")[1] for label in legend} == used
    assert not page.errors
    assert not page.external


def test_a_page_of_a_study_names_no_outside_address_that_it_would_fetch(written):
    _, path = written
    text = path.read_text(encoding="utf-8")
    assert not re.findall(r"<(?:script|link|img|iframe)[^>]*(?:src|href)=[\"'](?:https?:)?//", text)
