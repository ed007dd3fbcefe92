"""From a key on a slider to new pixels, beside the drawing of the same polygons alone; in Chromium.

    PYTHONPATH=.:tests/benchmarks python tests/benchmarks/quilt_moves.py [MOVES] [printed]

The explorer stands in one notebook and a slider over a plain figure in another; both are moved in turn, one way and
back. The plain figure has no model behind it: its polygons and colours lie ready, and one source of one figure takes
them. Printed are the medians of the time from the key to the first frame that shows something else and to the last
one, and the ratio of the two. With `printed` the quilt is made of photographs of cloth, the plain one of colours.
"""

import sys
from pathlib import Path
from statistics import median

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


def main(moves: int = 11, printed: str = "") -> None:
    """Measure every size and print it."""
    fabrics = Path(__file__).resolve().parents[2] / "data/fabrics"
    names = sorted(path.name for path in fabrics.glob("*.png"))
    prints = f"for i, one in enumerate(fabrics):\n    one['picture'] = {names!r}[i % {len(names)}]" if printed else ""
    with run_lab() as (folder, shown, address):
        for size, (columns, pairs) in SIZES.items():
            pages = {}
            for what, cell in (("quilt", EXPLORER), ("plain", PLAIN)):
                made = f"import pathlib\nFOLDER = pathlib.Path({str(fabrics)!r})\nCOLUMNS, PAIRS = {columns}, {pairs}\n"
                write_book(folder / f"{what}-{size}.ipynb", [made + cell.replace("PRINTS", prints)])
                pages[what] = open_book(shown, address(f"{what}-{size}.ipynb"), f"{ROOTS[what]} .bk-Figure")
            found: dict[str, list[dict[str, float]]] = {"quilt": [], "plain": []}
            for number in range(moves + 1):
                for what, page in pages.items():
                    page.bring_to_front()
                    seen = press(page, ROOTS[what], ["ArrowRight", "ArrowLeft"][number % 2])
                    found[what] += [seen] if number else []
            for what in ("first", "last"):
                quilt, plain = (median(one[what] for one in found[name]) for name in ("quilt", "plain"))
                print(f"{size} patches, {what} change: quilt {quilt:.0f} ms, plain {plain:.0f} ms, {quilt / plain:.2f}",
                      flush=True)  # fmt: skip
            for page in pages.values():
                page.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 11, *sys.argv[2:])
