"""Pictures about strips: blocks on point, strips by counting, the braid, and mirror pairs from folded cloth."""

from math import ceil

from kit.geometry.congruence import compare_outlines
from kit.geometry.outlines import Outline, make_rectangle, measure_box, mirror_outline, move_outline
from kit.lengths import CM, round_up
from kit.lessons.exercises.blocks_on_point import count_on_point, outline_on_point
from kit.lessons.exercises.exercise import Terms
from kit.lessons.exercises.lesson_shapes import make_cut_list
from kit.lessons.exercises.sewing_exercises import make_braid
from kit.lessons.exercises.strip_exercises import TINY, count_across, plan_cuts
from kit.lessons.lesson import Values
from kit.lessons.pictures.marks import CUT, OTHER, SHOWS, SPARE, WRONG, Sheet, plain
from kit.model.fabrics import Supply
from kit.output.pictures.drawing import Drawing


def draw_on_point(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw blocks on point with their setting triangles, and the squares for the triangles."""
    columns, rows, b, say = values["columns"], values["rows"], values["block"], terms.write
    outlines = outline_on_point(columns, rows, b)
    patchwork, cuts = make_cut_list(outlines, terms)
    wide, high = patchwork.finished
    squares, sides, corners = count_on_point(columns, rows)
    sheet, h = Sheet(), 0.035 * max(wide, high)
    for k, outline in enumerate(outlines):
        within = CUT if k < squares else SPARE if k < squares + sides else OTHER
        sheet.lay(outline, SHOWS if k < columns * rows else within)
    sheet.measure((0, -0.7 * h), (wide, -0.7 * h), f"{columns} × {say(b)} × √2 = {say(wide)}", h)
    side = next((p.cut["square"] for p in cuts.pieces if p.kind == "quarter-square triangle"), 0.0)
    corner = next(p.cut["square"] for p in cuts.pieces if p.kind == "half-square triangle")
    more = (
        f"{sides} side triangles from {ceil(sides / 4)} squares of {say(round_up(side, terms.step))} (exactly"
        f" {say(side)}) cut twice, "
        if sides
        else ""
    )
    said = (
        f"{squares} squares of {say(b)} finished, {more}{corners} corner triangles from 2 squares of"
        f" {say(round_up(corner, terms.step))} (exactly {say(corner)}) cut once. The top finishes {say(wide)} by"
        f" {say(high)}."
    )
    return sheet.done((-h, -3 * h, wide + h, high + h), plain(said)), said


def draw_strips(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw squares laid out on strips across the cloth, and the false promise of dividing areas."""
    cut, usable, need, say = values["cut"], values["usable"], values["need"], terms.write
    f = cut - 2 * terms.allowance
    plan = plan_cuts(f, f, need, Supply("patch", "yardage", usable), terms)
    strips, per = len(plan.strips), count_across(usable, cut)
    by_area = ceil(need * cut / usable - TINY)
    sheet, h = Sheet(), 0.032 * max(usable, strips * cut)
    left = need
    for row in range(strips):
        y = -(row + 1) * cut
        sheet.lay(make_rectangle(0, y, usable, cut), SPARE)
        for k in range(min(per, left)):
            sheet.lay(make_rectangle(k * cut, y, cut, cut), SHOWS if row < by_area else OTHER)
        left -= min(per, left)
    sheet.measure((0, -strips * cut - 0.7 * h), (usable, -strips * cut - 0.7 * h), f"usable width {say(usable)}", h)
    sheet.say(usable / 2, 0.5 * h, f"{per} squares of {say(cut)} in a strip, {say(usable - per * cut)} left over", h)
    if by_area < strips:
        sheet.sew([(0, -by_area * cut), (usable, -by_area * cut)], 0.0, WRONG, 5)
    short = (
        f"Dividing areas gives {by_area}, and {need - min(need, by_area * per)} squares would be missing."
        if by_area < strips
        else f"Dividing areas gives {by_area} too, this time: the ends of the strips happen to be small."
    )
    said = (
        f"{need} squares, {per} in a strip: {strips} strips, {say(strips * cut)} of cloth before squaring up. {short}"
    )
    return sheet.done((-h, -strips * cut - 3 * h, usable + h, 2 * h), plain(said)), said


def draw_braid(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw a braid, and the lift of its last pair."""
    pairs, cut, say = values["pairs"], values["strip_cut"], terms.write
    s, a = cut - 2 * terms.allowance, terms.allowance
    width = 3 * s
    top = make_braid(1, pairs, cut, width).patchwork(a)
    high = top.finished[1]
    rise = high - make_braid(1, pairs - 1, cut, width).patchwork(a).finished[1]
    tallest = make_braid(1, 8, cut, width).patchwork(a).finished[1]
    sheet, h = Sheet(), 0.035 * tallest
    for patch in top.patches:
        left, _, right, _ = measure_box(patch.outline)
        on_left = left < width - right
        sheet.lay(patch.outline, SPARE if patch.name != "blade" else OTHER if on_left else SHOWS)
    x = width + 0.6 * h
    sheet.measure((x, high - rise), (x, high), "", h)
    sheet.say(x + 5 * h, high - rise / 2, f"one pair: {say(s)} × √2", h)
    sheet.say(x + 5 * h, high - rise / 2 - 1.4 * h, f"= {say(rise)}", h)
    said = (
        f"Strips cut {say(cut)} finish {say(s)} wide. {pairs} pairs make a column that finishes {say(high)} long; one"
        f" pair more, a left and a right strip, adds {say(s)} × √2 = {say(rise)}."
    )
    return sheet.done((-h, -h, width + 11 * h, tallest + h), plain(said)), said


def draw_pairs(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw the pieces from a strip cut through two layers, with the hand of each."""
    folded, count, say = values["layers"].startswith("folded"), values["cuts"], terms.write
    w = 2.5 if terms.system == "inch" else 6.5 * CM
    base = 2.4 * w
    blade: Outline = ((0.0, 0.0), (base, 0.0), (base + w, w), (w, w))
    upper = [move_outline(blade, k * base, 0) for k in range(count)]
    wide = count * base + w
    lower = [mirror_outline(one, axis=wide / 2) for one in upper] if folded else upper
    hands = [like.hand for like in compare_outlines([*upper, *lower])]
    sheet, h = Sheet(), 0.028 * (6 * base + w)
    step = w + 3.4 * h
    for row, (outlines, words) in enumerate(((upper, "one layer, right side up"), (lower, _name_lower(folded=folded)))):
        y = -row * step
        sheet.lay(make_rectangle(0, y, wide, w), SPARE)
        for k, outline in enumerate(outlines):
            hand = hands[row * count + k]
            sheet.lay(move_outline(outline, 0, y), OTHER if hand == "left" else SHOWS)
            box = measure_box(outline)
            sheet.say((box[0] + box[2]) / 2, y + w / 2 - 0.35 * h, str(hand), h)
        sheet.say(wide / 2, y + w + 0.6 * h, words, h)
    left, right = hands.count("left"), hands.count("right")
    verdict = (
        "a braid or a chevron needs equal numbers of both hands, and this gives them"
        if left == right
        else "half of the design needs the other hand and has none"
    )
    said = f"{count} cuts through two layers, {values['layers']}: {left} left and {right} right pieces; {verdict}."
    return sheet.done((-h, -step - h, 6 * base + w + h, w + 2.4 * h), plain(f"{said} Strips cut {say(w)} wide.")), said


def _name_lower(*, folded: bool) -> str:
    return "the other layer, turned over so that its right side is up" if folded else "the other layer, right side up"
