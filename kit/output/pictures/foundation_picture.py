"""The picture of a block on paper: its papers apart, each with the order of its pieces."""

from kit.geometry.closing import find_inside
from kit.geometry.outlines import Outline, measure_box
from kit.model.foundations import FoundationPlan
from kit.output.pictures.drawing import Drawing, Note, Polygon
from kit.output.words.foundation_words import say_foundation

TINTS = ("#f2e8d5", "#d9e6ec", "#e4ead2", "#f3dcd3", "#e5dcee", "#eeeeea")
"""Light tints for papers, in turn."""
APART = 0.06
"""How far papers move from the middle, as a part of their distance from it."""


def draw_foundations(plan: FoundationPlan, letter: float = 1 / 34) -> Drawing:
    """Draw the papers of a block, right side up and a little apart, with number and letter on every piece.

    Parameters
    ----------
    plan
        From `foundation_plan`.
    letter
        Height of the numbers, as a part of the larger side of the block.
    """
    outlines, roles = dict(plan.target), plan.roles
    left, bottom, right, top = measure_box(plan.block)
    middle = (left + right) / 2, (bottom + top) / 2
    high = max(right - left, top - bottom) * letter
    polygons, notes = [], []
    for number, section in enumerate(plan.sections):
        x0, y0, x1, y1 = measure_box(section.outline)
        dx, dy = ((x0 + x1) / 2 - middle[0]) * 2 * APART, ((y0 + y1) / 2 - middle[1]) * 2 * APART
        for piece in section.pieces:
            moved: Outline = tuple((x + dx, y + dy) for x, y in outlines[piece.patch])
            polygons.append(Polygon(moved, TINTS[number % len(TINTS)], f"{section.name}: {piece.number}"))
            x, y = find_inside(moved)
            notes.append(Note((x, y), f"{piece.number} {roles[piece.slot]}", high))
    box = measure_box(point for polygon in polygons for point in polygon.points)
    title = say_foundation("picture", name=plan.name, count=len(plan.sections), pieces=len(polygons))
    return Drawing(box, title, tuple(polygons), notes=tuple(notes))
