"""Pictures about sizes: the loss in an allowance, finished, unfinished and cut, and the points of triangles."""

from kit.geometry.outlines import Outline, make_rectangle, measure_box, move_outline, offset_outline
from kit.lengths import round_up
from kit.lessons.exercises.exercise import Terms
from kit.lessons.exercises.lesson_shapes import cut_piece, halve_square, quarter_square
from kit.lessons.lesson import Values
from kit.lessons.pictures.marks import CUT, SHOWS, Sheet, plain
from kit.output.pictures.drawing import Drawing

ROW = 4
"""Squares in the row."""


def draw_allowance(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw four cut squares, and the row sewn from them with an allowance."""
    cut, a, say = values["cut"], values["allowance"], terms.write
    left, _, right, _ = measure_box(offset_outline(make_rectangle(0, 0, cut, cut), -a))
    f = right - left
    row = ROW * f + 2 * a
    sheet, h = Sheet(), 0.03 * ROW * cut
    gap, wide = 0.12 * cut, ROW * cut * 1.12
    for k in range(ROW):
        x = k * (cut + gap)
        sheet.lay(make_rectangle(x, cut + 4 * h, cut, cut), CUT)
        sheet.lay(make_rectangle(x + a, cut + 4 * h + a, f, f), SHOWS)
        sheet.outline(make_rectangle(x + a, cut + 4 * h + a, f, f), h / 2)
    sheet.lay(make_rectangle(0, 0, row, cut), CUT)
    for k in range(ROW):
        sheet.lay(make_rectangle(a + k * f, a, f, f), SHOWS)
    sheet.measure((0, cut + 3.4 * h), (cut, cut + 3.4 * h), f"cut {say(cut)}", h)
    sheet.measure((0, -0.7 * h), (row, -0.7 * h), f"unfinished {say(row)}", h)
    sheet.measure((a, cut / 2), (a + f, cut / 2), "", h)
    sheet.say(a + f / 2, cut / 2 - 1.3 * h, "finished", 0.8 * h)
    sheet.say(a + f / 2, cut / 2 - 2.3 * h, say(f), 0.8 * h)
    said = (
        f"Cut {say(cut)} and sewn with an allowance of {say(a)}, each square finishes {say(f)}. The row of {ROW}"
        f" measures {say(row)} from raw edge to raw edge and finishes {say(ROW * f)}."
    )
    return sheet.done((-h, -3 * h, wide + h, 2 * cut + 5 * h), plain(said)), said


def draw_sizes(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw a row of squares as cut, as sewn, and as seen in the quilt."""
    f, n, a, say = values["finished"], values["count"], terms.allowance, terms.write
    cut = cut_piece([make_rectangle(0, 0, f, f)], terms)["side"]
    gap = 0.15 * f
    wide = n * cut + (n - 1) * gap
    h = 0.035 * max(wide, 4 * f)
    levels = [0.0, cut + 5 * h, 2 * (cut + 5 * h)]
    sheet = Sheet()
    for k in range(n):
        square = make_rectangle(k * (cut + gap), levels[2], cut, cut)
        sheet.lay(square, CUT)
        sheet.outline(offset_outline(square, -a), h / 2)
    sheet.lay(make_rectangle(0, levels[1], n * f + 2 * a, cut), CUT)
    for k in range(n):
        inside = make_rectangle(a + k * f, levels[1] + a, f, f)
        sheet.lay(inside, SHOWS)
        sheet.lay(move_outline(inside, 0, -levels[1]), SHOWS)
    sheet.measure((0, levels[2] - 0.7 * h), (cut, levels[2] - 0.7 * h), f"cut {say(cut)}", h)
    sheet.measure((0, levels[1] - 0.7 * h), (n * f + 2 * a, levels[1] - 0.7 * h), f"unfinished {say(n * f + 2 * a)}", h)
    sheet.measure((a, a - 0.7 * h), (a + n * f, a - 0.7 * h), f"finished {say(n * f)}", h)
    said = (
        f"{n} squares, cut {say(cut)} each, measure {say(n * cut)} before sewing; sewn together they measure"
        f" {say(n * f + 2 * a)}, unfinished; in the quilt they finish {say(n * f)}, {say(f)} each."
    )
    return sheet.done((-h, -3 * h, max(wide, 4 * cut) + h, levels[2] + cut + h), plain(said)), said


def draw_triangle(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw a triangle with its allowance, and the distance of each corner of the cut from that of the patch."""
    f, a, say = values["finished"], values["allowance"], terms.write
    once = values["shape"].startswith("half")
    here = Terms(terms.system, a, terms.step, terms.usable, terms.squaring)
    inside: Outline = ((0.0, 0.0), (f, 0.0), (0.0, f)) if once else ((0.0, 0.0), (f, 0.0), (f / 2, f / 2))
    cut = offset_outline(inside, a)
    exact = cut_piece(halve_square(f) if once else quarter_square(f), here)["square"]
    left, bottom, right, top = measure_box(cut)
    h = 0.035 * (right - left)
    sheet = Sheet()
    sheet.lay(cut, CUT)
    sheet.lay(inside, SHOWS)
    sheet.outline(inside, h / 2)
    level = bottom - 0.8 * h
    for start, end, text, low in (
        (left, 0.0, say(-left), 0.0),
        (0.0, f, say(f), 0.0),
        (f, right, say(right - f), 0.0),
    ):
        sheet.measure((start, level), (end, level), text, h, low)
    sheet.measure((left, level - 3 * h), (right, level - 3 * h), f"square to cut: {say(exact)}", h)
    for x in (left, 0.0, f, right):
        sheet.sew([(x, bottom), (x, level - 0.5 * h)], 0.0, width=0.6)
    added, rule = exact - f, "(2 + √2)" if once else "(2 + 2√2)"
    corner = (
        f"At the square corner the cut lies one allowance, {say(-left)}, beyond the patch"
        if once
        else f"At one sharp corner the cut lies (1 + √2) allowances, {say(-left)}, beyond the patch"
    )
    said = (
        f"{corner}; at the {'' if once else 'other '}sharp one (1 + √2) allowances, {say(right - f)}. Together"
        f" {rule} × {say(a)} = {say(added)}: the square is cut {say(exact)}, on the ruler"
        f" {say(round_up(exact, terms.step))}.{_compare_with_trade(terms, a, added, once=once)}"
    )
    return sheet.done((left - h, level - 6 * h, right + h, top + h), plain(said)), said


def _compare_with_trade(terms: Terms, allowance: float, added: float, *, once: bool) -> str:
    """Return the excess of the trade's amount over the exact one, if the allowance is a quarter of an inch."""
    if terms.system != "inch" or abs(allowance - 0.25) > 1e-9:
        return ""
    trade = 0.875 if once else 1.25
    return f" The trade adds {terms.write(trade)}, {trade - added:.3f} in more than needed."
