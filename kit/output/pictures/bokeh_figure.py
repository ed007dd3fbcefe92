"""The live preview: a bokeh figure with true proportions, a scale, a legend and details under the pointer."""

from typing import Any, Literal, TypeAlias

from bokeh.models import ColumnDataSource, HoverTool
from bokeh.models.annotations import Legend, LegendItem
from bokeh.plotting import figure

from kit.errors import KitError
from kit.lengths import CM
from kit.model.colour import tint
from kit.model.pattern import Pattern, Sketch
from kit.output.pictures.drawing import VIEWS, View, draw_top, name_fabrics
from kit.output.pictures.quilting_picture import add_quilting
from kit.output.words.sizes import describe_finished, describe_size

WIDTH, HEIGHT = 640, 620


Shown: TypeAlias = View | Literal["quilting"]
"""The views of the preview."""


def preview(pattern: Sketch, view: Shown = "colour") -> figure:
    """Return a bokeh figure of the finished top.

    Parameters
    ----------
    pattern
        A pattern or a sketch.
    view
        "colour", "value", "fabric", "seams", as seen without one kind of cone, or, of a pattern, "quilting": the lines
        over the pale top, travel dotted, a dot at each start, a ring at each stop.

    Raises
    ------
    KitError
        An unknown view, or the quilting of a sketch.
    """
    if view == "quilting":
        return _preview_quilting(pattern)
    if view not in VIEWS:
        raise KitError(f"There is no view `{view}`", needed=", ".join([*VIEWS, "quilting"]), do="choose one of these")
    return make_figure(pattern, ColumnDataSource(list_columns(pattern, view)), view)


def _preview_quilting(pattern: Sketch) -> figure:
    if not isinstance(pattern, Pattern):
        raise KitError(
            "A sketch has no quilting yet",
            needed="a pattern with every plan",
            do="make it with kit.make_pattern(study)",
        )
    columns = list_columns(pattern)
    columns["fill"] = [tint(tint(str(fill))) for fill in columns["fill"]]
    plot = make_figure(pattern, ColumnDataSource(columns), "seams")
    add_quilting(plot, pattern.quilting, metric=pattern.study.measures.system == "metric")
    return plot


def list_columns(pattern: Sketch, view: View = "colour") -> dict[str, list[object]]:
    """Return the data columns of the preview: plain lists, one entry per patch.

    Lengths on the axes are inches, or centimetres in a metric study.
    """
    drawing = draw_top(pattern, view)
    metric = pattern.study.measures.system == "metric"
    scale = 1 / CM if metric else 1.0
    letters = name_fabrics(pattern)
    said = {}
    for piece in pattern.cut_list.pieces:
        system = pattern.study.measures.system
        hand = f" ({piece.hand})" if piece.hand else ""
        said[piece.id] = (
            f"{piece.name}{hand}",
            describe_finished(piece.kind, piece.finished, system),
            describe_size(piece.kind, piece.rounded, system),
            f"{piece.count}",
        )
    owner = pattern.cut_list.piece_of
    patches = pattern.patchwork.patches
    fabrics = [pattern.colouring.assignment[patch.id] for patch in patches]
    words = [said[owner[patch.id].id] for patch in patches]
    return {
        "xs": [[x * scale for x, _ in polygon.points] for polygon in drawing.polygons],
        "ys": [[y * scale for _, y in polygon.points] for polygon in drawing.polygons],
        "fill": [polygon.fill for polygon in drawing.polygons],
        "patch": [patch.id for patch in patches],
        "fabric": [f"{letters[name]}  {name}" for name in fabrics],
        "slot": [patch.slot for patch in patches],
        "name": [word[0] for word in words],
        "finished": [word[1] for word in words],
        "cut": [word[2] for word in words],
        "alike": [word[3] for word in words],
        "letter": [polygon.word for polygon in drawing.polygons],
        "tx": [sum(x for x, _ in p.points) / len(p.points) * scale for p in drawing.polygons],
        "ty": [sum(y for _, y in p.points) / len(p.points) * scale for p in drawing.polygons],
    }


def make_figure(pattern: Sketch, source: ColumnDataSource, view: View = "colour") -> figure:
    """Return the figure of a source made by `list_columns`."""
    unit = "cm" if pattern.study.measures.system == "metric" else "in"
    plot = figure(
        width=WIDTH,
        height=HEIGHT,
        match_aspect=True,
        tools="pan,wheel_zoom,box_zoom,reset,save",
        active_scroll=None,
        toolbar_location="above",
        x_axis_label=f"finished width ({unit})",
        y_axis_label=f"finished length ({unit})",
        background_fill_color="#faf8f5",
        output_backend="canvas",
    )
    plot.toolbar.logo = None
    plot.grid.visible = False
    plot.outline_line_color = None
    patches = plot.patches("xs", "ys", source=source, fill_color="fill", line_color="#26221f", line_width=0.6)
    plot.text(
        "tx", "ty", text="letter", source=source, text_align="center", text_baseline="middle", text_font_size="11px"
    )
    plot.add_tools(
        HoverTool(
            renderers=[patches],
            tooltips=[
                ("patch", "@patch (@name)"),
                ("fabric", "@fabric, @slot"),
                ("finished", "@finished"),
                ("cut", "@cut"),
                ("alike", "@alike"),
            ],
        )
    )
    if view in ("colour", "fabric"):
        plot.add_layout(_make_legend(patches), "right")
    return plot


def _make_legend(patches: Any) -> Legend:
    """Return a legend with one entry per fabric that follows the data."""
    return Legend(
        items=[LegendItem(label={"field": "fabric"}, renderers=[patches])],
        title="fabric",
        label_text_font_size="11px",
        spacing=0,
        glyph_width=15,
        glyph_height=15,
        border_line_color=None,
    )
