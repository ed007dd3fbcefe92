"""A stand-alone page of a quilt: title, size, the picture as wide as the page, what a finger touches, the cloths."""

from html import escape
from json import dumps
from operator import itemgetter
from typing import Any

from bokeh.embed import file_html
from bokeh.models import CustomJS, TapTool
from bokeh.models.annotations import LegendItem
from bokeh.plotting import figure
from bokeh.resources import INLINE, Resources

from kit.lengths import write_nearest
from kit.model.pattern import Pattern, Sketch
from kit.output.pictures.bokeh_figure import list_columns, preview
from kit.output.pictures.drawing import name_fabrics
from kit.output.pictures.quilt_top import QuiltTop, bring_for_file, frame_top, list_top_parts
from kit.output.tables.buying_tables import shopping

FRAME = """
{% block inner_head %}
<meta name="viewport" content="width=device-width, initial-scale=1">
{{ super() }}
<style>
:root{color-scheme:light}
body{margin:0;background:#fff;color:#26221f;font:17px/1.5 system-ui,sans-serif}
main{max-width:1100px;margin:0 auto;padding:8px 16px 32px}
h1{font-size:1.6rem;line-height:1.2;margin:.4em 0 .1em}h2{font-size:1.15rem;margin:1.2em 0 .3em}
p{margin:.3em 0}#touched{min-height:3em}
ul.cloths{list-style:none;margin:0;padding:0;columns:2 300px}
ul.cloths li{break-inside:avoid;padding:3px 0}
ul.cloths span{display:inline-block;width:1.2em;height:1.2em;margin-right:.5em;border:1px solid #26221f;
 vertical-align:-.2em;print-color-adjust:exact;-webkit-print-color-adjust:exact}
@media print{main{padding:0}#touched{display:none}ul.cloths{font-size:11pt}h1{margin-top:0}@page{margin:15mm}}
</style>
{% endblock %}
{% block inner_body %}
<main>
<h1>{{ heading }}</h1>
<p>{{ size }}</p>
{{ super() }}
<p id="touched" role="status">Touch a patch, or point at it, to see its cloth and its cut size.</p>
<h2>Cloth</h2>
<ul class="cloths">{{ cloths }}</ul>
</main>
<script>  // on a telephone the picture has the whole width; the cloths stand below as text
if (innerWidth < 600) { const ask = setInterval(() => {
    const shown = window.Bokeh && Bokeh.documents[0];
    if (!shown) return;
    clearInterval(ask);
    for (const root of shown.roots()) for (const part of root.right ?? []) part.visible = false; }, 50); }
</script>
{% endblock %}
"""
TOUCH = """
const touched = cb_obj.indices ? cb_obj.indices[0] : cb_obj.said[0] == 'patch' ? cb_obj.said[1] : null;
if (touched != null && words[of[touched]])
    document.getElementById('touched').textContent = words[of[touched]].replace('#', names[touched]);
"""


def write_page(pattern: Sketch) -> str:
    """Return a stand-alone HTML page of a quilt; it needs no server and no network.

    It has the title, the finished size and the cloths as text, a picture as wide as the page with hover and a legend
    in the order of the letters, a line that says what is touched (a telephone has no pointer that hovers), and a style
    for print. Where cloth has a picture, it lies in its patches.
    """
    library: Resources
    parts = list_top_parts(pattern)
    columns = list_columns(pattern)
    told_of = zip(*(columns[key] for key in ("name", "fabric", "slot", "finished", "cut", "alike")), strict=True)
    words = [
        f"{name}: {cloth}, {slot}; finished {whole}, cut {cut}; {alike} alike"
        for name, cloth, slot, whole, cut, alike in told_of
    ]
    kinds = {word: number for number, word in enumerate(dict.fromkeys(words))}
    told = {
        "words": [f"#: {word}" for word in kinds],
        "of": [kinds[word] for word in words],
        "names": columns["patch"],
    }
    touch = CustomJS(args=told, code=TOUCH)
    if parts["prints"]:
        top = QuiltTop(parts=dumps(parts))
        plot, library = frame_top(top), bring_for_file()
        top.js_on_change("said", touch)
    else:
        plot, library = preview(pattern), INLINE
        _sort_legend(plot, columns["fabric"])
        plot.add_tools(TapTool())
        drawn: Any = plot.renderers[0]
        drawn.nonselection_glyph = drawn.selection_glyph = None
        drawn.data_source.selected.js_on_change("indices", touch)
    plot.sizing_mode = "scale_width"
    return str(file_html(
        plot, library, title=pattern.study.title, template=FRAME,
        template_variables={
            "heading": escape(pattern.study.title), "size": _write_size(pattern), "cloths": _list_cloths(pattern),
        },
    ))  # fmt: skip


def _sort_legend(plot: figure, fabrics: list[Any]) -> None:
    """Give the legend its entries in the order of the letters; each knows a patch of its cloth."""
    (legend,) = plot.legend
    first: dict[str, int] = {}
    for place, name in enumerate(fabrics):
        first.setdefault(str(name), place)
    drawn: Any = plot.renderers[0]
    legend.items = [
        LegendItem(label={"value": name}, renderers=[drawn], index=place) for name, place in sorted(first.items())
    ]


def _write_size(pattern: Sketch) -> str:
    width, length = (write_nearest(side, pattern.study.measures.system) for side in pattern.patchwork.finished)
    return escape(f"{width} by {length} finished, {len(pattern.patchwork.patches):,} patches")


def _list_cloths(pattern: Sketch) -> str:
    """Return the cloths as items of a list: letter, name, use, pieces, and what to buy where that is planned."""
    letters, colours = name_fabrics(pattern), {fabric.name: fabric.colour for fabric in pattern.study.fabrics}
    bought = shopping(pattern) if isinstance(pattern, Pattern) else None
    items = []
    for name, letter in sorted(letters.items(), key=itemgetter(1)):
        count = pattern.colouring.uses.get(name, 0)
        buy = "" if bought is None else f"; buy {bought.loc[bought['Fabric'] == name, 'Buy'].iloc[0]}"
        items.append(
            f'<li><span style="background:{escape(colours[name])}" aria-hidden="true"></span>'
            f"{escape(f'{letter}  {name}, {count:,} pieces{buy}')}</li>"
        )
    return "".join(items)
