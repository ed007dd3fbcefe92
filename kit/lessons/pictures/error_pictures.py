"""The picture of errors: a row rehearsed a thousand times by human hands, as a histogram."""

from dataclasses import replace

import numpy as np

from kit.geometry.outlines import make_rectangle
from kit.lengths import CM
from kit.lessons.exercises.exercise import Terms
from kit.lessons.exercises.lesson_shapes import line_up, make_cut_list
from kit.lessons.lesson import Values
from kit.lessons.pictures.marks import SHOWS, WRONG, Sheet, plain
from kit.output.pictures.drawing import Drawing
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.by_hand import rehearse_by_hand

TRIALS = 1000
BARS = 41
SEED = 9


def draw_errors(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw the differences of a row of patches from its design, rehearsed a thousand times with seams a little off."""
    n, bias, spread, say = values["patches"], values["bias"], values["spread"], terms.write
    f = 2.0 if terms.system == "inch" else 5 * CM
    patchwork, cuts = make_cut_list(line_up(n, f, 6), terms)
    hand = rehearse_by_hand(
        cuts, sewing_plan(patchwork, cuts), TRIALS, SEED, seam_bias=bias, seam_spread=spread, cut_spread=0.0
    )
    off = np.array(hand.width) - hand.design[0]
    (low, high), _ = hand.spread()
    drawing = _draw_bars(terms, off)
    unit, word = (1.0, "in") if terms.system == "inch" else (CM, "cm")
    mean = hand.design[0] - hand.expected[0]
    said = f"{n} patches, {n - 1} seams, "
    if bias:
        said += (
            f"each {say(bias)} too deep on average: {n - 1} × 2 × {say(bias)}. The row comes out"
            f" {mean / unit:.2f} {word} shorter on average than its {say(hand.design[0])}."
        )
    else:
        said += (
            f"true on average: the rows scatter around their {say(hand.design[0])}, because errors in both directions"
            " balance one another."
        )
    said += f" Nine rows of ten measure {low / unit:.2f} to {high / unit:.2f} {word}."
    return replace(drawing, title=plain(said)), said


def _draw_bars(terms: Terms, off: np.ndarray) -> Drawing:
    """Draw a histogram of differences from the design, from 2 in too short to half an inch too long."""
    left, right, high = -2.0, 0.75, 1.1
    counts, edges = np.histogram(np.clip(off, left, right), BARS, (left, right))
    sheet, h = Sheet(), 0.075
    tallest = max(1, int(counts.max()))
    for k, count in enumerate(counts.tolist()):
        if count:
            x = float(edges[k])
            sheet.lay(make_rectangle(x, 0, float(edges[k + 1]) - x, high * count / tallest), SHOWS)
    sheet.sew([(left, 0), (right, 0)], 0.0)
    sheet.sew([(0, -0.04), (0, high + 0.12)], 0.0, WRONG, 3)
    sheet.say(0, high + 0.16, "as designed", h)
    steps = [k / 4 for k in range(-8, 4)] if terms.system == "inch" else [k * CM for k in range(-5, 2)]
    for place in steps:
        sheet.sew([(place, 0), (place, -0.04)], 0.0)
        if terms.system == "metric" or (place * 2) % 1 == 0:
            sheet.say(place, -0.15, _write_off(terms, place), h)
    sheet.say((left + right) / 2, -0.32, "difference of the row from its design, shorter or longer", h)
    return sheet.done((left - 0.15, -0.42, right + 0.15, high + 0.3), "")


def _write_off(terms: Terms, place: float) -> str:
    return "0" if not place else f"{'−' if place < 0 else '+'}{terms.write(abs(place))}"
