"""The top of a quilt as one renderer of the drawing library, and the parts that it draws.

The library's own polygons keep six copies of every outline, ask a pen for each, and send all columns again. The
renderer (`quilt_top.js`) takes flat numbers, fills all patches of a fabric at once, clips a print into each patch, and
is sent only the parts that changed.
"""

from base64 import b64encode
from collections.abc import Mapping, Sequence
from functools import cache
from importlib.resources import files
from itertools import chain
from typing import Any

import numpy as np
from bokeh.core.properties import Any as AnyValue
from bokeh.core.properties import Override
from bokeh.models import DataRange1d, FullscreenTool
from bokeh.models.renderers import Renderer
from bokeh.plotting import figure
from bokeh.resources import Resources

from kit.lengths import CM
from kit.model.cutting import Piece
from kit.model.pattern import ColouredTop, DrawnTop
from kit.output.pictures.drawing import View, fill_fabrics, name_fabrics
from kit.output.pictures.print_tiles import find_tiles, lay_prints
from kit.output.words.sizes import describe_finished, describe_size

WIDTH, HEIGHT = 640, 620
"""Pixels, before the picture takes the room that it has."""
SOFT, CLEAR = ("rgba(38,34,31,0.5)", 0.9), ("#26221f", 0.9)
"""Colour and pixels of a seam between cloths, and of one that is all there is to see."""
TopParts = dict[str, Any]
"""What the renderer draws, by name; a part is sent again only if it differs."""
NOT_TOLD: TopParts = {"kinds": "", "ids": [], "words": []}
"""Of a top whose pieces are not known yet."""


class QuiltTop(Renderer):
    """The top of a quilt.

    `parts` is what it draws (`list_top_parts`, as JSON). `said` is what was last done to it on the page: a verb, what
    it was done to, and a number that grows: ("patch", 12, 1) for a click on the thirteenth patch, ("cloth", 3, 2) for
    one on a row of the legend, ("swap", 0, 3, 3) for a cloth that was carried to another.
    """

    parts: Any = AnyValue(default="{}")
    said: Any = AnyValue(default=[])
    level: Any = Override(default="glyph")


class QuiltResources(Resources):
    """The drawing library with the renderer of quilts."""

    @property
    def js_raw(self) -> list[str]:
        """The scripts, in order."""
        return [*super().js_raw, read_renderer()]

    def clone(self, *, components: Any = None) -> "QuiltResources":
        """Return the same with other components; a bundle is made of such a copy."""
        return QuiltResources(mode=self.mode, components=list(self.components) if components is None else components)


@cache
def read_renderer() -> str:
    """Return the script of the renderer."""
    return files(__package__).joinpath("quilt_top.js").read_text(encoding="utf-8")


def bring_library() -> QuiltResources:
    """Return the drawing library for a page that may use nothing from elsewhere."""
    return QuiltResources(mode="inline", components=["bokeh", "bokeh-widgets"])


def bring_for_file() -> QuiltResources:
    """Return the drawing library for a page in a file, which takes of it what its figures use."""
    return QuiltResources(mode="inline")


def list_top_parts(draft: DrawnTop, view: View = "colour") -> TopParts:
    """Return what the renderer draws of a top: places and outlines in inches, packed; one line of words per kind.

    Parameters
    ----------
    draft
        A draft, a sketch or a pattern.
    view
        As for `draw_top`.

    Notes
    -----
    3,000 patches take some 10 ms and 120 kilobytes.
    """
    return {**list_seen_parts(draft, view), **list_told_parts(draft)}


def list_seen_parts(top: ColouredTop, view: View = "colour") -> TopParts:
    """Return what there is to see of a top; what lies under the pointer is not known yet.

    Parameters
    ----------
    top
        Its patches and their fabrics.
    view
        As for `draw_top`.
    """
    patches, assignment = top.patchwork.patches, top.colouring.assignment
    letters, fills = name_fabrics(top), fill_fabrics(top, view)
    numbers = {name: k for k, name in enumerate(fills)}
    slots = {fabric.name: fabric.slot for fabric in top.study.fabrics}
    tiles = find_tiles(top, view)
    lies = [(0.0, 0.0, 0.0) if lie is None else (lie.turn, *lie.at) for lie in lay_prints(top, tiles)] if tiles else []
    corners = list(chain.from_iterable(chain.from_iterable(patch.outline for patch in patches)))
    return {
        "box": list(top.patchwork.box),
        "corners": _pack(np.array(corners, dtype="<f4")),
        "sizes": _pack(np.array([len(patch.outline) for patch in patches], dtype="<u2")),
        "cloths": _pack(np.array([numbers[assignment[patch.id]] for patch in patches], dtype="<u2")),
        "fills": list(fills.values()),
        "prints": {numbers[name]: {"url": t.address, "wide": t.wide, "high": t.high} for name, t in tiles.items()},
        "lies": _pack(np.array(lies, dtype="<f4")),
        "names": list(fills),
        "labels": [f"{letters[name]}  {name}, {slots[name]}" for name in fills],
        "letters": list(letters.values()) if view == "fabric" else [],
        "seam": list(CLEAR if view == "seams" else SOFT),
        **NOT_TOLD,
    }


def list_told_parts(draft: DrawnTop) -> TopParts:
    """Return what is told of the patch under the pointer."""
    pieces, system = draft.cut_list.pieces, draft.study.measures.system
    of_piece = {patch: k for k, piece in enumerate(pieces) for patch in piece.patches}
    return {
        "kinds": _pack(np.array([of_piece[patch.id] for patch in draft.patchwork.patches], dtype="<u2")),
        "ids": [piece.id for piece in pieces],
        "words": [_describe(piece, system) for piece in pieces],
    }


def _describe(piece: Piece, system: Any) -> str:
    hand = f" ({piece.hand})" if piece.hand else ""
    return "\n".join(
        (
            f"{piece.id}: {piece.name}{hand}, {piece.count} alike",
            f"finished {describe_finished(piece.kind, piece.finished, system)}",
            f"cut {describe_size(piece.kind, piece.rounded, system)}",
        )
    )


def _pack(numbers: "np.ndarray[Any, Any]") -> str:
    return b64encode(np.ascontiguousarray(numbers).tobytes()).decode()


def find_changed(before: Mapping[str, Any], after: TopParts) -> TopParts:
    """Return the parts that differ from those before."""
    return {name: part for name, part in after.items() if name not in before or before[name] != part}


def give_ruler(system: str) -> TopParts:
    """Return the part that lays a ruler along two sides of the picture."""
    metric = system == "metric"
    return {"unit": "cm" if metric else "in", "inches": CM if metric else 1.0}


def frame_top(top: QuiltTop, *, tools: Sequence[str] = ("pan", "wheel_zoom", "box_zoom", "reset", "save")) -> figure:
    """Return a figure without axes that holds a top in its true proportions; it takes the room that it has."""
    plot = figure(
        x_range=DataRange1d(range_padding=0.03), y_range=DataRange1d(range_padding=0.03),
        width=WIDTH, height=HEIGHT, sizing_mode="scale_width", match_aspect=True, tools=",".join(tools),
        active_drag=None, active_scroll=None, toolbar_location="above", background_fill_color=None,
        border_fill_color=None, outline_line_color=None, min_border=0, output_backend="canvas",
    )  # fmt: skip
    plot.toolbar.logo = None
    plot.axis.visible = False
    plot.grid.visible = False
    plot.add_tools(FullscreenTool())
    plot.renderers.append(top)
    return plot
