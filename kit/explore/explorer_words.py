"""The words of the explorer: the line above the picture, the views, and what is said below the tables."""

from html import escape

from kit.lengths import write_length, write_nearest
from kit.model.pattern import Sketch

QUICKLY = (
    '<div class="seamproof-soft" style="max-width:860px">While controls move, every piece is counted by itself and its'
    " cloth is planned quickly. The pattern makes units together where that saves work, which may take more cloth;"
    " planned with more care it may also need a strip less.</div>"
)
SHOWN = {
    "colour": "Colour",
    "value": "Value (grey)",
    "fabric": "Fabric letters",
    "seams": "Seams only",
    "protan": "Red-blind sight",
    "deutan": "Green-blind sight",
    "tritan": "Blue-blind sight",
}


def say_summary(sketch: Sketch) -> str:
    """Return the title, the finished size, the patches and the allowance of a quilt as one line of HTML."""
    system = sketch.study.measures.system
    width, height = (write_nearest(size, system) for size in sketch.patchwork.finished)
    allowance = write_length(sketch.study.measures.seam_allowance, system)
    count, kinds = len(sketch.patchwork.patches), len(sketch.cut_list.pieces)
    return (
        f'<div style="font-size:15px;padding:4px 0"><b>{escape(sketch.study.title)}</b>: finished'
        f" {width} × {height}; {count:,} patches of {kinds} kinds; allowance {allowance}</div>"
    )
