"""Every screen in JupyterLab: nothing cut, the picture in sight beside the controls, and open to everybody.

Looked at from 800 to 1920 px, with the side bar open and shut, in both themes. An accessibility engine (axe-core,
Mozilla Public License 2.0, from the npm registry, fetched for the test and not part of the kit) looks at the roots of
our screens alone; what JupyterLab brings is not ours to mend.
"""

import os
import shutil
import subprocess
import tarfile
from pathlib import Path

import nbformat
import pytest
from open_notebooks import run_cells
from test_compose import call

pytestmark = pytest.mark.slow

ENGINE = "axe-core@4.14.1"
START = "import kit, kit.lessons\nkit.start_notebook()"
TIDELINE = "'../data/studies/tideline.toml'"
METRIC = """
from kit.study import study_from_keys, study_keys
keys = study_keys(kit.open_study('../data/studies/ferry-steps.toml'))
keys['measures'] = {'system': 'metric', 'seam_allowance': '0.75 cm'}
kit.explore(study_from_keys(keys))"""
RANGES = "{'design.columns': [3, 4], 'design.pairs': [8, 12]}"
SCREENS = {
    "explorer": f"kit.explore({TIDELINE})",
    "metric": METRIC,
    "units": "kit.explore('../data/studies/boat-shed.toml')",
    "table": "kit.compose('../data/studies/harbour-wheel.toml')",
    "cutting": f"kit.explore_cutting({TIDELINE})",
    "finishing": f"kit.explore_finishing(kit.make_sketch(kit.open_study({TIDELINE})))",
    "quilting": "kit.explore_quilting('../data/studies/ferry-steps.toml')",
    "sizes": "sizes = kit.choose_size(kit.open_study('../data/studies/ferry-steps.toml'))\nsizes.find()\nsizes",
    "sweep": f"kit.show_sweep(kit.sweep(kit.open_study({TIDELINE}), {RANGES}))",
    "lesson": "kit.lessons.open_lesson('allowance')",
    "whirl": "kit.lessons.open_lesson('whirl')",
}
PINNED = {"explorer", "metric", "units", "table", "cutting", "finishing", "quilting", "sizes", "lesson", "whirl"}
"""Screens with controls beside a picture; a sweep has its plots across the whole width."""
WIDTHS = (800, 1280, 1920)
SHOTS = os.environ.get("SEAMPROOF_SHOTS")
CUT = """() => { const found = [];
    for (const e of document.querySelectorAll('.seamproof :is(.widget-label, button, select)'))
        if (e.offsetParent && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 4))
            found.push('cut: ' + e.innerText.slice(0, 60));
    for (const e of document.querySelectorAll('.seamproof')) {
        const room = e.getBoundingClientRect();
        for (const part of e.querySelectorAll('.widget-label, button, select, input, img, .seamproof-picture')) {
            const box = part.getBoundingClientRect(), fold = part.closest('.jupyter-widget-Collapse-contents');
            const edge = Math.min(room.right, fold ? fold.getBoundingClientRect().right : Infinity);
            if (part.closest('.seamproof-table, .seamproof-hidden, .seamproof-library, .widget-tab')) continue;
            if (part.offsetParent && box.width && box.right > edge + 2)
                found.push('beyond the edge: ' + (part.innerText || part.className || part.tagName).slice(0, 60)); } }
    return found; }"""
IN_SIGHT = """async () => { const lost = [];
    for (const e of document.querySelectorAll('.seamproof-controls :is(select, input, button, .noUi-handle)')) {
        if (!e.offsetParent || e.closest('.seamproof-library')) continue;
        e.scrollIntoView({block: 'center'});
        await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
        const body = e.closest('.seamproof-body');
        const box = body.querySelector('.seamproof-stage').getBoundingClientRect(), own = e.getBoundingClientRect();
        const seen = Math.min(box.bottom, innerHeight) - Math.max(box.top, 0);
        if (seen < Math.min(120, box.height / 2)) lost.push((e.title || e.innerText || e.className).slice(0, 50));
        if (own.top < box.bottom && own.bottom > box.top && own.left < box.right && own.right > box.left
            && getComputedStyle(body).gridTemplateColumns.split(' ').length > 1) lost.push('under the picture'); }
    return lost; }"""
BESIDE = "() => getComputedStyle(document.querySelector('.seamproof-body')).gridTemplateColumns.split(' ').length"
RUN = """async () => (await axe.run({include: [['.seamproof']]}, {resultTypes: ['violations']})).violations
    .filter(one => ['serious', 'critical'].includes(one.impact))
    .map(one => one.id + ': ' + one.nodes.slice(0, 4).map(node => node.html.slice(0, 160)).join(' | '))"""
NAMELESS = """() => [...document.querySelectorAll(
    '.seamproof :is(input, select, textarea, button, [role=slider], [role=button], [role=tab])')]
    .filter(e => e.offsetParent && !e.closest('.seamproof-library') && !(e.getAttribute('aria-label') || e.innerText
        || [...(e.labels || [])].map(l => l.innerText).join('')).trim()).map(e => e.outerHTML.slice(0, 160))"""


@pytest.fixture(scope="session")
def engine(tmp_path_factory):
    """Return the text of the accessibility engine, fetched through the npm registry's own client."""
    if os.environ.get("KIT_AXE"):
        return Path(os.environ["KIT_AXE"]).read_text(encoding="utf-8")
    npm = shutil.which("npm")
    if npm is None:
        pytest.fail("npm fetches the accessibility engine: install it, or name the file axe.min.js in KIT_AXE")
    folder = tmp_path_factory.mktemp("engine")
    subprocess.run([npm, "pack", "--silent", ENGINE], cwd=folder, check=True, capture_output=True, timeout=120)
    with tarfile.open(next(folder.glob("*.tgz"))) as packed:
        return packed.extractfile("package/axe.min.js").read().decode()


@pytest.fixture
def screen(lab, open_page, request):
    """Return the page of a screen, its cell run."""
    cells = [nbformat.v4.new_code_cell(source.strip()) for source in (START, SCREENS[request.param])]
    kernel = {"kernelspec": {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}}
    book = nbformat.v4.new_notebook(cells=cells, metadata=kernel)
    call(lab, "PUT", f"room-{request.param}.ipynb", {"type": "notebook", "content": book})
    page = open_page(f"room-{request.param}.ipynb", height=1000)
    run_cells(page)
    page.locator(".seamproof").first.wait_for()
    page.wait_for_timeout(2500)
    page.screen = request.param
    yield page
    page.evaluate("async () => await jupyterapp.shell.currentWidget.context.sessionContext.shutdown()")


def open_sections(page):
    """Open each section in turn; yield after each."""
    heads = page.locator(
        ".seamproof-controls > .jupyter-widgets .jupyter-widget-Collapse-header, "
        ".seamproof-controls > .jupyter-widget-accordion .jupyter-widget-Collapse-header"
    )
    yield "first"
    for number in range(1, heads.count()):
        heads.nth(number).click()
        page.wait_for_timeout(350)
        yield heads.nth(number).inner_text()


def find_cut(page, section):
    """Return what is cut, or lost from sight, at any width, the side bar open or shut."""
    faults = []
    for width in WIDTHS:
        for side in (False, True):
            page.set_viewport_size({"width": width, "height": 1000})
            page.evaluate("side => side ? jupyterapp.shell.expandLeft() : jupyterapp.shell.collapseLeft()", side)
            page.wait_for_timeout(250)
            faults += [(section, width, side, fault) for fault in page.evaluate(CUT)]
            if page.screen in PINNED:
                faults += [(section, width, side, f"not in sight: {one}") for one in page.evaluate(IN_SIGHT)]
                if (width > 800 or not side) and page.evaluate(BESIDE) != 2:
                    faults.append((section, width, side, "controls and picture not side by side"))
            if SHOTS and section == "first":
                page.screenshot(path=f"{SHOTS}/room-{page.screen}-{width}{'-side' if side else ''}.png")
    return faults


def find_shut_out(page, section):
    """Return what keeps somebody out, as the engine sees it in either theme, and controls without a name."""
    faults = []
    for theme in ("JupyterLab Light", "JupyterLab Dark"):
        page.evaluate("async theme => await jupyterapp.commands.execute('apputils:change-theme', {theme}) ?? true",
                      theme)  # fmt: skip
        page.wait_for_timeout(700)
        found = page.evaluate(RUN)
        if found:  # a section that is made when it is opened may only just have come
            page.wait_for_timeout(3000)
            found = page.evaluate(RUN)
        faults += [(section, theme, one) for one in found]
        if SHOTS and section == "first":
            page.screenshot(path=f"{SHOTS}/theme-{page.screen}-{theme[-4:].strip().lower()}.png")
    return faults + [(section, "nameless", one) for one in page.evaluate(NAMELESS)]


@pytest.mark.parametrize("screen", SCREENS, indirect=True)
def test_nothing_is_cut_or_out_of_sight_at_any_width_and_nobody_is_shut_out_in_either_theme(screen, engine):
    page, faults = screen, []
    page.evaluate(engine)
    for section in open_sections(page):
        faults += find_cut(page, section) + find_shut_out(page, section)
    page.evaluate("async () => await jupyterapp.commands.execute('apputils:change-theme',"
                  " {theme: 'JupyterLab Light'}) ?? true")  # fmt: skip
    assert faults == []
    assert not page.errors
