"""`kit serve`: visitors kept apart and let go, what they save taken home, and nothing fetched from outside.

A smaller run of `tests/sweeps/twelve_visitors.py`, and the attacks on the server's own routes, by name.
"""

import json
import time
import urllib.error
import urllib.request
from importlib.util import find_spec
from pathlib import Path

import pytest
from served_room import ServedRoom
from test_explore import ROOT, handle
from test_room import RUN, engine  # noqa: F401  the accessibility engine, fetched once

import kit

SOON = {"PageKernels": {"left_after": 6}}
"""A page that was left ends soon, so that the next test need not wait for it; 25 seconds without this setting."""
QUICK = "/voila/render/14-quick-sums.ipynb"
ROUTES = {
    "files": "/voila/files/1-explore.ipynb",
    "files, climbing": "/voila/files/../data/studies/tideline.toml",
    "files, climbing in disguise": "/voila/files/%2e%2e/data/studies/tideline.toml",
    "files of the lab": "/files/1-explore.ipynb",
    "contents": "/voila/api/contents/",
    "contents of the lab": "/api/contents/",
    "contents, climbing": "/voila/api/contents/%2e%2e/data",
    "folders": "/voila/tree/",
    "list of kernels": "/api/kernels",
    "list of sessions": "/api/sessions",
    "terminals": "/api/terminals",
    "a page outside": "/voila/render/../tests/x.ipynb",
    "a page outside in disguise": "/voila/render/%2e%2e/pyproject.toml",
    "an absolute page": "/voila/render//etc/passwd",
    "static, absolute": "/voila/static//etc/passwd",
    "static, climbing": "/voila/static/../../../../../../../etc/passwd",
    "static, climbing in disguise": "/voila/static/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/etc/passwd",
    "template, climbing": "/voila/templates/lab/static/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/%2e%2e/etc/passwd",
    "template of a name that climbs": "/voila/templates/%2e%2e/static/conf.json",
    "extension, climbing": "/voila/labextensions/%2e%2e/%2e%2e/%2e%2e/%2e%2e/etc/passwd",
    "theme, climbing": "/voila/api/themes/%2e%2e/%2e%2e/%2e%2e/%2e%2e/etc/passwd",
}


@pytest.fixture(scope="module")
def room(tmp_path_factory):
    if find_spec("voila") is None:
        pytest.skip("voila is not installed (the extra `pages`)")
    served = ServedRoom(tmp_path_factory.mktemp("served"), "--visitors", "3", "--pages", "2", settings=SOON)
    yield served
    served.stop()


@pytest.fixture
def visit(browser, room):
    """Return a function that brings a visitor: a page of their own, with what it asks of other places."""
    contexts = []

    def come(address, width=1280, **more):
        context = browser.new_context(viewport={"width": width, "height": 900}, **more)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(240_000)
        page.errors, page.external = [], []
        page.on("pageerror", lambda error: page.errors.append(str(error)))
        local = (room.base, room.base.replace("http", "ws"), "data:", "blob:")
        page.on("request", lambda asked: asked.url.startswith(local) or page.external.append(asked.url))
        page.answer = page.goto(room.base + address, wait_until="domcontentloaded")
        return page

    yield come
    for context in contexts:
        context.close()
    wait_for_kernels(room, 0)


def wait_for_kernels(room, count, seconds=60):
    end = time.monotonic() + seconds
    while len(room.list_kernels()) != count:
        assert time.monotonic() < end, f"{len(room.list_kernels())} kernels after {seconds} s"
        time.sleep(0.5)


def find_kernel(page):
    return page.evaluate("JSON.parse(document.getElementById('jupyter-config-data').textContent).kernelId")


@pytest.mark.parametrize("name", ROUTES)
def test_no_route_of_the_server_hands_out_a_file(room, name):
    asked = urllib.request.Request(room.base)
    asked.selector = ROUTES[name]  # as it stands: nothing on the way straightens the path
    with pytest.raises(urllib.error.HTTPError) as refused:
        urllib.request.urlopen(asked, timeout=60)
    assert refused.value.code in (400, 403, 404, 405, 500), refused.value.code
    text = refused.value.read().decode()
    assert ":0:0:" not in text  # a line of accounts
    assert "[design]" not in text


def test_nobody_reaches_the_page_of_another_even_if_they_know_its_address(room, visit):
    one, other = visit(QUICK), visit("/")
    one.locator(".seamproof-quick").first.wait_for()
    kernel = find_kernel(one)
    for address, method in ((f"/api/kernels/{kernel}", "GET"), (f"/api/kernels/{kernel}", "DELETE"),
                            (f"/voila/api/shutdown/{kernel}", "POST")):  # fmt: skip
        assert one.request.get(f"{room.base}/api/kernels/{kernel}").ok
        assert other.request.fetch(room.base + address, method=method).status == 403
    opened = """kernel => new Promise(done => { const line = new WebSocket(
        location.origin.replace('http', 'ws') + '/api/kernels/' + kernel + '/channels?session_id=x');
        line.onopen = () => done('open'); line.onerror = () => done('refused'); })"""
    assert other.evaluate(opened, kernel) == "refused"
    assert one.evaluate(opened, kernel) == "open"
    assert len(room.list_kernels()) == 1


def test_the_files_of_a_visitor_are_theirs_and_paths_that_climb_out_are_refused(room, visit, tmp_path):
    page = visit(QUICK)
    card = page.locator(".seamproof-quick input[type=text]").last
    page.get_by_role("button", name="Copy or print").click()
    for name in (f"{tmp_path}/card.html", "../../../card.html", "/etc/card.html"):
        card.fill(name)
        card.press("Enter")
        page.get_by_role("button", name="Write the card").click()
        page.wait_for_function("""() => [...document.querySelectorAll('.seamproof-quick [role=status]')]
            .some(e => /cannot|refused|own folder/i.test(e.innerText))""")
    assert not list(tmp_path.iterdir())
    own = Path(room.list_kernels()[0].cwd())
    assert not list(own.parents[1].glob("*.html"))
    assert not (ROOT / "notebooks/card.html").exists()
    card.fill("card.html")
    card.press("Enter")
    with page.expect_download() as kept:
        page.get_by_role("button", name="Write the card").click()
        page.locator(".seamproof-quick a[download='card.html']").click()
    assert "squares" in Path(kept.value.path()).read_text(encoding="utf-8")


def test_a_place_is_free_again_once_a_visitor_has_left(room, visit):
    pages = [visit(QUICK) for _ in range(3)]
    for page in pages:
        page.locator(".seamproof-quick").first.wait_for()
    late = visit(QUICK)
    assert late.answer.status == 503
    assert "Every place is taken" in late.locator("body").inner_text()
    pages[0].close()  # without a word, as a machine that is shut
    wait_for_kernels(room, 2)
    late.goto(room.base + QUICK, wait_until="domcontentloaded")
    late.locator(".seamproof-quick").first.wait_for()
    assert len(room.list_kernels()) == 3


def test_more_pages_than_allowed_end_the_oldest_and_it_says_so(room, visit):
    first = visit(QUICK)
    first.locator(".seamproof-quick").first.wait_for()
    for _ in range(2):
        page = first.context.new_page()
        page.goto(room.base + QUICK, wait_until="domcontentloaded", timeout=240_000)
        page.locator(".seamproof-quick").first.wait_for(timeout=240_000)
    assert len(room.list_kernels()) == 2
    first.bring_to_front()
    first.locator("#seamproof-ended").wait_for()
    assert "This page has ended" in first.locator("#seamproof-ended").inner_text()


def test_a_quilt_goes_home_as_a_download_and_comes_back_as_an_upload(visit, tmp_path):
    page = visit("/voila/render/1-explore.ipynb")
    page.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    own = page.locator(".seamproof-own").first
    own.get_by_text("Your files").click()
    study = tmp_path / "from-home.toml"
    study.write_text(
        (ROOT / "data/studies/ferry-steps.toml").read_text("utf-8").replace("Ferry Steps", "From Home"), "utf-8"
    )
    with page.expect_file_chooser() as asked:  # the button makes its field when it is pressed
        own.get_by_role("button", name="Open a file of yours").click()
    asked.value.set_files(study)
    own.get_by_text("From Home is now the quilt that the pages open").wait_for()
    own.get_by_role("link", name="Show it on this page").click()
    page.locator(".seamproof-explorer .bk-Figure").first.wait_for()
    handle(page, "Blocks across").focus()
    page.keyboard.press("ArrowRight")
    link = page.locator("a[download='from-home.toml']").first
    link.wait_for(state="attached")
    page.wait_for_timeout(1500)
    with page.expect_download() as kept:
        page.evaluate("document.querySelector(\"a[download='from-home.toml']\").click()")
    assert kit.open_study(kept.value.path()).title == "From Home"
    assert not page.errors
    assert page.external == []


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_front_page_and_pages_are_open_to_everybody(visit, engine, theme):  # noqa: F811
    page = visit("/", width=390, color_scheme=theme)
    names = page.locator("ol.pages a").evaluate_all("all => all.map(e => e.getAttribute('href'))")
    assert len(names) == len(list((ROOT / "notebooks").glob("*.ipynb")))
    assert names.index("/voila/render/0-begin.ipynb") < names.index("/voila/render/10-allowances.ipynb")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.evaluate(engine)
    serious = RUN.replace("{include: [['.seamproof']]}", "document")
    assert page.evaluate(serious) == []
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")  # the first page, by keyboard alone
    page.wait_for_url("**/0-begin.ipynb")
    page.locator(".seamproof-begin").first.wait_for()
    assert page.evaluate("document.body.classList.contains('theme-dark')") == (theme == "dark")
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.evaluate(engine)
    assert page.evaluate(serious) == []
    assert page.external == []


def test_a_password_is_asked_for_and_nothing_is_shown_without(tmp_path, browser):
    served = ServedRoom(tmp_path, password="thimble", settings=SOON)  # noqa: S106  a word of this test
    try:
        page = browser.new_page()
        page.goto(f"{served.base}{QUICK}")
        assert "login" in page.url
        page.get_by_label("Password").fill("needle")
        page.keyboard.press("Enter")
        page.get_by_text("This is not the password").wait_for()
        page.get_by_label("Password").fill("thimble")
        page.keyboard.press("Enter")
        page.wait_for_url(f"**{QUICK}", wait_until="commit")
        page.locator(".seamproof-quick").first.wait_for(timeout=240_000)
        page.close()
        assert json.dumps("thimble") not in served.log.read_text()
    finally:
        served.stop()
