"""From a key on a slider to new pixels, beside the drawing of the same polygons alone; in Chromium.

    PYTHONPATH=.:tests/benchmarks python tests/benchmarks/quilt_moves.py [MOVES] [printed]

The explorer stands in one notebook and a slider over a plain figure in another; both are moved in turn, one way and
back. The plain figure has no model behind it: its polygons and colours lie ready, and one source of one figure takes
them. Printed are the medians of the time from the key to the last change of the picture, and their ratio. With
`printed` the quilt is made of photographs of cloth, the plain one of colours. `pairs.py` asks for the same.
"""

import json
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from compose_clicks import open_book, run_lab, write_book
from playwright.sync_api import Page

SIZES = {150: (3, 25), 600: (6, 50), 1000: (10, 50), 3000: (20, 75)}
"""Columns and pairs of a braid of about so many patches."""
START = """
import kit
from kit.study import study_from_keys
kit.start_notebook()
COLOURS = ["#2f5d7c", "#4c6b4f", "#39405e", "#b4552d", "#7fb3a6", "#a9a05a"]
fabrics = [{"slot": slot, "name": f"{slot} {i}", "colour": COLOURS[i]} for slot in ("blade", "start") for i in range(6)]
keys = {"title": "Moves", "seed": 5, "fabric": fabrics,
        "design": {"family": "braid", "columns": COLUMNS, "pairs": PAIRS, "strip_cut": "2 1/2 in"}}
"""
EXPLORER = (
    START
    + """
PRINTS
explorer = kit.explore(study_from_keys(keys, folder=FOLDER))
explorer
"""
)
PLAIN = (
    START
    + """
import ipywidgets as widgets
from bokeh.models import ColumnDataSource
from bokeh.plotting import figure
from jupyter_bokeh.widgets import BokehModel
from kit.pipeline import make_sketch
ready = []
for across in (COLUMNS, COLUMNS + 1):
    keys["design"]["columns"] = across
    sketch = make_sketch(study_from_keys(keys))
    colours = {fabric.name: fabric.colour for fabric in sketch.study.fabrics}
    patches = sketch.patchwork.patches
    ready.append({"xs": [[x for x, _ in patch.outline] for patch in patches],
                  "ys": [[y for _, y in patch.outline] for patch in patches],
                  "fill": [colours[sketch.colouring.assignment[patch.id]] for patch in patches]})
source = ColumnDataSource(ready[0])
plot = figure(width=640, height=620, match_aspect=True, tools="", toolbar_location=None)
plot.patches("xs", "ys", source=source, fill_color="fill", line_color="#26221f", line_width=0.6)
slider = widgets.IntSlider(min=COLUMNS, max=COLUMNS + 1, value=COLUMNS, description="Columns across")
def show(change):
    source.data = ready[change["new"] - COLUMNS]
slider.observe(show, names="value")
box = widgets.VBox([slider, BokehModel(plot)])
box.add_class("plain-figure")
box
"""
)
WATCH = """(root) => {
    const canvases = [];
    const look = node => { for (const e of node.querySelectorAll('*')) {
        if (e.tagName === 'CANVAS') canvases.push(e);
        if (e.shadowRoot) look(e.shadowRoot); } };
    look([...document.querySelectorAll(root)].at(-1));
    const sum = () => { let all = 0;
        for (const c of canvases) { if (!c.width || !c.height) continue;
            const pen = c.getContext('2d'), wide = c.width;
            for (const y of [0.25, 0.4, 0.55, 0.7]) {
                const d = new Uint32Array(pen.getImageData(0, Math.floor(y * c.height), wide, 1).data.buffer);
                for (let i = 0; i < d.length; i++) all = (all * 31 + d[i]) | 0; } }
        return all; };
    window.seen = { first: 0, last: 0 };
    let before = sum(), start = 0, quiet = 0;
    document.addEventListener('keydown', () => { start = performance.now(); }, { capture: true, once: true });
    const step = () => {
        const now = sum();
        if (start && now !== before) { before = now; quiet = performance.now(); window.seen.last = quiet - start;
            if (!window.seen.first) window.seen.first = window.seen.last; }
        if (!start || performance.now() - (quiet || start + 5000) < 700) requestAnimationFrame(step);
        else window.seen.done = true; };
    requestAnimationFrame(step); }"""
ALONE = """
import json
import ipywidgets as widgets
from bokeh.io import output_notebook
from bokeh.models import ColumnDataSource
from bokeh.plotting import figure
from bokeh.resources import INLINE
from jupyter_bokeh.widgets import BokehModel
output_notebook(INLINE, hide_banner=True)
plot = figure(width=640, height=620, match_aspect=True, tools="", toolbar_location=None)
source = ColumnDataSource(json.load(open("ready.json")))
plot.patches("xs", "ys", source=source, fill_color="fill", line_color="#26221f", line_width=0.6)
box = widgets.VBox([BokehModel(plot)])
box.add_class("plain-figure")
box
"""
PAINTED = """root => {
    const seen = node => { for (const e of node.querySelectorAll('*')) {
        if (e.tagName === 'CANVAS' && e.width > 300 && e.height > 200) {
            const row = e.getContext('2d').getImageData(0, e.height >> 1, e.width, 1).data, colours = new Set();
            for (let i = 0; i < row.length; i += 4) colours.add(row[i] << 16 | row[i + 1] << 8 | row[i + 2]);
            if (colours.size > 4) return true; }
        if (e.shadowRoot && seen(e.shadowRoot)) return true; }
        return false; };
    const top = document.querySelector(root);
    return top != null && seen(top); }"""
"""True once a line across the middle of a picture has several colours."""
PAN = """async count => {
    const plots = window.Bokeh.documents.flatMap(one => one.roots()).flatMap(one => [...one.references()]);
    const {x_range: x, y_range: y} = plots.find(one => one.x_range != null && one.renderers?.length);
    const [a, b, low, high] = [x.start, x.end, y.start, y.end], frame = () => new Promise(requestAnimationFrame);
    for (const range of [x, y]) range.have_updated_interactively = true;
    const begun = performance.now();
    for (let n = 1; n <= count; n++) {
        const shift = 0.2 * n / count, zoom = 1 + 0.3 * n / count;
        x.setv({start: a + shift * (b - a), end: a + shift * (b - a) + (b - a) / zoom});
        y.setv({start: low + shift * (high - low), end: low + shift * (high - low) + (high - low) / zoom});
        await frame(); }
    return 1000 * count / (performance.now() - begun); }"""
"""Pictures a second while every frame moves and enlarges the picture."""
Times = tuple[str, int, float, float]
ROOTS = {"quilt": ".seamproof-quilt", "plain": ".plain-figure"}


def press(page: Page, root: str, key: str) -> dict[str, float]:
    """Press a key on the slider and return when the picture changed first and last, milliseconds."""
    label = "Columns across"
    row = page.locator(".widget-slider").filter(has=page.locator(f"label:text-is('{label}')"))
    row.locator(".noUi-handle").first.focus()
    page.evaluate(WATCH, root)
    page.keyboard.press(key)
    page.wait_for_function("window.seen.done", timeout=60_000)
    return dict(page.evaluate("window.seen"))


def measure_moves(moves: int = 11, *, printed: bool = False, sizes: Sequence[int] = tuple(SIZES)) -> Iterator[Times]:
    """Move both sliders in turn; yield the patches, and of quilt and plain figure the median to the last change, ms.

    What is measured comes first: of "pan", pictures a second stand in place of milliseconds.
    """
    fabrics = Path(__file__).resolve().parents[2] / "data/fabrics"
    names = sorted(path.name for path in fabrics.glob("*.png"))
    prints = f"for i, one in enumerate(fabrics):\n    one['picture'] = {names!r}[i % {len(names)}]" if printed else ""
    with run_lab() as (folder, shown, address):
        for size in sizes:
            columns, pairs = SIZES[size]
            pages = {}
            for what, cell in (("quilt", EXPLORER), ("plain", PLAIN)):
                made = f"import pathlib\nFOLDER = pathlib.Path({str(fabrics)!r})\nCOLUMNS, PAIRS = {columns}, {pairs}\n"
                write_book(folder / f"{what}-{size}.ipynb", [made + cell.replace("PRINTS", prints)])
                pages[what] = open_book(shown, address(f"{what}-{size}.ipynb"), f"{ROOTS[what]} .bk-Figure")
            found: dict[str, list[float]] = {"quilt": [], "plain": []}
            for number in range(moves + 1):
                for what, page in pages.items():
                    page.bring_to_front()
                    seen = press(page, ROOTS[what], ["ArrowRight", "ArrowLeft"][number % 2])
                    found[what] += [seen["last"]] if number else []
            yield "move", size, median(found["quilt"]), median(found["plain"])
            yield "pan", size, *(measure_panning(page) for page in pages.values())
            for page in pages.values():
                page.close()


def measure_panning(page: Page) -> float:
    """Return the pictures a second of a page whose picture is moved and enlarged."""
    page.bring_to_front()
    return float(page.evaluate(PAN, 60))


def measure_openings(times: int = 3, sizes: Sequence[int] = tuple(SIZES)) -> Iterator[Times]:
    """Open both notebooks in turn in new kernels; yield the patches and the medians from Run All to the picture, ms.

    The plain one has its polygons in a file, and loads the drawing library alone.
    """
    with run_lab() as (folder, shown, address):
        for size in sizes:
            columns, pairs = SIZES[size]
            made = f"FOLDER = None\nCOLUMNS, PAIRS = {columns}, {pairs}\n"
            (folder / "ready.json").write_text(list_ready(columns, pairs))
            found: dict[str, list[float]] = {"quilt": [], "plain": []}
            for number in range(times):
                for what, cell in (("quilt", made + EXPLORER.replace("PRINTS", "")), ("plain", ALONE)):
                    name = f"open-{what}-{size}-{number}.ipynb"
                    write_book(folder / name, [cell])
                    page = shown.new_page(viewport={"width": 1280, "height": 1500})
                    found[what].append(time_opening(page, address(name), ROOTS[what]))
                    page.close()
            yield "open", size, median(found["quilt"]), median(found["plain"])


def list_ready(columns: int, pairs: int) -> str:
    """Return the polygons and colours of the quilt as JSON."""
    space: dict[str, Any] = {}
    exec(f"COLUMNS, PAIRS = {columns}, {pairs}\n{PLAIN.split('source =')[0]}", space)  # noqa: S102  text of this file
    return json.dumps(space["ready"][0])


def time_opening(page: Page, address: str, root: str) -> float:
    """Open a notebook, run all of it, and return the milliseconds until its picture is there."""
    page.goto(address)
    page.wait_for_function("window.jupyterapp?.shell.currentWidget?.context?.sessionContext?.session"
                           "?.kernel?.status === 'idle'")  # fmt: skip
    begun = perf_counter()
    page.evaluate("() => { jupyterapp.commands.execute('notebook:run-all-cells'); }")
    page.wait_for_function(PAINTED, arg=root, timeout=180_000)
    return 1000 * (perf_counter() - begun)


def main(moves: int = 11, printed: str = "") -> None:
    """Measure every size and print it."""
    for what, size, quilt, plain in measure_moves(moves, printed=bool(printed)):
        print(f"{what}, {size} patches: quilt {quilt:.0f}, plain {plain:.0f}, {quilt / plain:.2f}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 11, *sys.argv[2:])
