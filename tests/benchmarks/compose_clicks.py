"""From a click on the composing table to new pixels, beside the drawing of the same polygons alone; in Chromium.

    PYTHONPATH=. python tests/benchmarks/compose_clicks.py [CLICKS]

Both pictures stand in one notebook and are clicked in turn. The plain one replaces one source of one figure with the
very polygons of the table, which lie ready; so the ratio is what the composing costs. Printed are medians of the time
from the release of the button to the first frame that shows something else, to the last one, and to the last change of
the words and controls beside the picture.
"""

import json
import os
import secrets
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from shutil import which
from statistics import median

from playwright.sync_api import Page, sync_playwright

from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.table import NEW, ComposingTable
from kit.study import study_from_keys

HERE = Path(__file__).resolve().parents[2]
SIZES = {"12 patches a unit": 3, "192 patches a unit": 12}
"""Pinwheels down a unit that is one across; each has 4 patches, and 4 across the larger one."""
PLAIN = """
from bokeh.events import DoubleTap, PressUp, Tap
from bokeh.models import ColumnDataSource, Range1d
from bokeh.plotting import figure
from jupyter_bokeh.widgets import BokehModel
from kit.explore.composing.table_pictures import PatchColumns
from kit.explore.composing.sheet import ComposeSheet
from kit.study import read_study
import ipywidgets as widgets
sheet = ComposeSheet(read_study(TEXT))
ready, left, bottom, width = [], *VIEW
colours = {fabric["slot"]: fabric["colour"] for fabric in sheet.keys["fabric"]}
for number in range(CLICKS + 1):
    columns = PatchColumns().list(sheet.shown.laid, colours)
    ready.append({key: columns[key] for key in ("xs", "ys", "fill")})
    sheet.put("block", sheet.shown.laid.find_edge("block.right" if number == 0 else f"block {number + 1}.right").label)
source = ColumnDataSource(ready[0])
plot = figure(frame_width=420, frame_height=420, x_range=Range1d(start=left, end=left + width),
              y_range=Range1d(start=bottom, end=bottom + width), tools="", toolbar_location=None)
plot.patches("xs", "ys", source=source, fill_color="fill", line_color="#26221f", line_width=1)
waiting = iter(ready[1:])
def show(_):
    source.data = next(waiting)
for event in (Tap, DoubleTap, PressUp):
    plot.on_event(event, show)
box = widgets.Box([BokehModel(plot)])
box.add_class("plain-figure")
box
"""
WATCH = """(root) => {
    const canvases = [];
    const look = node => { for (const e of node.querySelectorAll('*')) {
        if (e.tagName === 'CANVAS') canvases.push(e);
        if (e.shadowRoot) look(e.shadowRoot); } };
    look(document.querySelector(root));
    const sum = () => { let all = 0;
        for (const c of canvases) { if (!c.width || !c.height) continue;
            const d = new Uint32Array(c.getContext('2d').getImageData(0, 0, c.width, c.height).data.buffer);
            for (let i = 0; i < d.length; i += 7) all = (all * 31 + d[i]) | 0; }
        return all; };
    window.seen = { first: 0, last: 0, words: 0 };
    let before = sum(), start = 0;
    const note = () => { if (start) window.seen.words = performance.now() - start; };
    const watcher = new MutationObserver(note);
    watcher.observe(document.querySelector(root), { subtree: true, childList: true, characterData: true });
    document.addEventListener('pointerup', () => { start = performance.now(); }, { capture: true, once: true });
    const step = () => {
        const now = sum();
        if (start && now !== before) { before = now; window.seen.last = performance.now() - start;
            if (!window.seen.first) window.seen.first = window.seen.last; }
        if (!start || performance.now() - start < 2500) requestAnimationFrame(step);
        else { window.seen.done = true; watcher.disconnect(); } };
    requestAnimationFrame(step); }"""
FRAME = """(root) => { const look = node => { for (const e of node.querySelectorAll('*')) {
        if (e.classList.contains('bk-CartesianFrame')) return e.getBoundingClientRect();
        const found = e.shadowRoot && look(e.shadowRoot); if (found) return found; } return null; };
    const frame = look(document.querySelector(root)); return [frame.x, frame.y, frame.width, frame.height]; }"""


def make_table(down: int) -> ComposingTable:
    """Return a table beside a unit of pinwheels."""
    sheet = ComposeSheet(study_from_keys(NEW))
    across = 1 if down == 3 else 4
    sheet.add("block", {"family": "pinwheel", "block_finished": "4 in", "columns": across, "rows": down})
    return ComposingTable(sheet.shown.study)


def click(page: Page, root: str, at: tuple[float, float]) -> dict[str, float]:
    """Click at a share of the frame and return when the picture changed first and last, milliseconds."""
    x, y, width, height = page.evaluate(FRAME, root)
    place = x + at[0] * width, y + at[1] * height
    page.mouse.move(*place)
    page.wait_for_timeout(400)
    page.evaluate(WATCH, root)
    page.mouse.click(*place)
    page.wait_for_function("window.seen.done")
    return dict(page.evaluate("window.seen"))


def measure(page: Page, table: ComposingTable, clicks: int) -> None:
    """Click both in turn and print the medians."""
    found: dict[str, list[dict[str, float]]] = {"table": [], "plain": []}
    for number in range(clicks):
        labels = [edge.label for edge in table.sheet.shown.laid.free]
        label = next(one for one in labels if one in ("block.right", f"block {number + 1}.right"))
        x, y = table.sheet.shown.laid.find_edge(label).middle
        left, bottom, width = table.picture.view
        for root in (".seamproof-composing-table", ".plain-figure"):
            page.locator(root).scroll_into_view_if_needed()
            at = ((x - left) / width, 1 - (y - bottom) / width) if root != ".plain-figure" else (0.5, 0.9)
            found["plain" if root == ".plain-figure" else "table"].append(click(page, root, at))
        table.picture.click((x, y))
    for what in ("first", "last"):
        values = {name: median(one[what] for one in times) for name, times in found.items()}
        ratio = values["table"] / values["plain"]
        said = f"table {values['table']:.0f} ms, plain {values['plain']:.0f} ms, ratio {ratio:.2f}"
        print(f"  {what} change of the picture: {said}")
    print(f"  last change of words and controls: table {median(one['words'] for one in found['table']):.0f} ms")


def write_notebook(path: Path, table: ComposingTable, clicks: int) -> None:
    """Write the notebook that both pictures stand in."""
    made = f"TEXT = {table.sheet.text!r}\nVIEW = {table.picture.view!r}\nCLICKS = {clicks}\n"
    start = "from kit.study import read_study\ntable = kit.compose(read_study(TEXT))\ntable.take('block')\ntable"
    write_book(path, ["import kit\nkit.start_notebook()\n" + made, start, PLAIN])


def write_book(path: Path, cells: list[str]) -> None:
    """Write a notebook of these cells."""
    book = [
        {"cell_type": "code", "id": f"cell-{i}", "metadata": {}, "execution_count": None, "outputs": [], "source": cell}
        for i, cell in enumerate(cells)
    ]
    kernel = {"name": "python3", "display_name": "Python 3", "language": "python"}
    path.write_text(json.dumps({"cells": book, "metadata": {"kernelspec": kernel}, "nbformat": 4, "nbformat_minor": 5}))


@contextmanager
def run_lab():
    """Start a notebook server in a new folder, and a browser; yield the folder, the browser and a page's address."""
    with tempfile.TemporaryDirectory() as folder, socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port, token = probe.getsockname()[1], secrets.token_hex(8)
        probe.close()
        places = {f"JUPYTER_{name}_DIR": f"{folder}/{name}" for name in ("CONFIG", "DATA", "RUNTIME")}
        places |= {"JUPYTERLAB_SETTINGS_DIR": f"{folder}/settings", "JUPYTERLAB_WORKSPACES_DIR": f"{folder}/workspaces"}
        command = [sys.executable, "-m", "jupyter", "lab", "--no-browser", "--allow-root", f"--ServerApp.port={port}",
                   f"--IdentityProvider.token={token}", f"--ServerApp.root_dir={folder}",
                   "--LabApp.expose_app_in_browser=True"]  # fmt: skip
        server = subprocess.Popen(command, env={**os.environ, **places, "PYTHONPATH": str(HERE)},
                                  stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # fmt: skip
        try:
            wait_for(f"http://127.0.0.1:{port}/api/status?token={token}")
            with sync_playwright() as running:
                shown = running.chromium.launch(executable_path=os.environ.get("KIT_CHROME") or which("chromium"),
                                                args=["--no-sandbox", "--disable-gpu", "--enable-precise-memory-info",
                                                      "--js-flags=--expose-gc"])  # fmt: skip
                yield Path(folder), shown, lambda book: f"http://127.0.0.1:{port}/lab/tree/{book}?reset&token={token}"
        finally:
            server.terminate()
            server.wait(20)


def open_book(shown, address: str, ready: str) -> Page:
    """Open a notebook, run all of it, and wait until a part of the page is there."""
    page = shown.new_page(viewport={"width": 1280, "height": 1500})
    page.goto(address)
    page.wait_for_function("window.jupyterapp?.shell.currentWidget?.context?.sessionContext?.session"
                           "?.kernel?.status === 'idle'")  # fmt: skip
    page.evaluate("async () => await jupyterapp.commands.execute('notebook:run-all-cells') ?? true")
    page.locator(ready).wait_for(timeout=120_000)
    page.wait_for_timeout(2000)
    return page


def main(clicks: int = 15) -> None:
    """Start a notebook server, measure every size, and stop it."""
    with run_lab() as (folder, shown, address):
        for name, down in SIZES.items():
            table = make_table(down)
            table.take("block")
            write_notebook(folder / f"clicks-{down}.ipynb", table, clicks)
            page = open_book(shown, address(f"clicks-{down}.ipynb"), ".plain-figure .bk-Figure")
            print(f"{name}, {clicks} clicks:")
            measure(page, table, clicks)
            page.close()


def wait_for(address: str) -> None:
    """Wait until a server answers."""
    for _ in range(300):
        try:
            urllib.request.urlopen(address, timeout=2).read()
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
        else:
            return
    raise TimeoutError(address)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:]))
