"""The picture of the whirl: the sewn rectangles, the missing ones, and the place where it stops."""

from kit.geometry.outlines import Outline, Point
from kit.lessons.exercises.exercise import Terms
from kit.lessons.exercises.whirl import CENTRE, PLACES, WhirlTrial, sew_whirl
from kit.lessons.lesson import Values
from kit.lessons.pictures.marks import OTHER, SHOWS, SPARE, WRONG, Sheet, plain
from kit.output.pictures.drawing import Drawing

ORDERS = {
    "round, to the left hand": ("below", "right", "above", "left"),
    "round, to the right hand": ("below", "left", "above", "right"),
    "opposite ones first": ("below", "above", "right", "left"),
}
"""Ready-made orders; any other is sewn piece by piece with the buttons."""


def draw_whirl(terms: Terms, values: Values) -> tuple[Drawing, str]:
    """Draw the progress in an order."""
    order = tuple(values.get("order") or ())
    trial = sew_whirl(order, partly=bool(values.get("partly")), terms=terms)
    return draw_trial(trial, order), trial.said


def draw_trial(trial: WhirlTrial, order: tuple[str, ...]) -> Drawing:
    """Draw a trial: sewn pieces in colour with their number, the stopping piece with a warning word."""
    sheet, h = Sheet(), 0.42
    for place, outline in trial.outlines.items():
        on = place == CENTRE or place in trial.sewn
        sheet.lay(outline, OTHER if place == CENTRE else SHOWS if on else SPARE)
    for place, outline in trial.outlines.items():
        x, y = _middle(outline)
        if place in trial.sewn:
            sheet.say(x, y, f"{trial.sewn.index(place) + 1}", 2 * h)
        elif place == trial.stopped:
            sheet.say(x, y + 0.3 * h, "stops", h)
            sheet.say(x, y - 1.1 * h, "here", h)
        elif place != CENTRE:
            sheet.say(x, y, place, h)
    sheet.say(*_middle(trial.outlines[CENTRE]), CENTRE, h)
    if trial.stopped:
        for side in _find_sides(trial):
            sheet.sew(side, 0.0, WRONG, 5)
    if trial.waiting and trial.sewn:
        a, b = _find_waiting(trial)
        sheet.sew([a, b], 0.25, WRONG, 4)
    sewn = ", ".join(order) or "nothing"
    title = f"A square with four rectangles around it; sewn: {sewn}. {trial.said}"
    return sheet.done((-0.5, -0.5, 10.5, 10.5), plain(title))


def _middle(outline: Outline) -> Point:
    return sum(x for x, _ in outline) / len(outline), sum(y for _, y in outline) / len(outline)


def _find_sides(trial: WhirlTrial) -> list[list[Point]]:
    """Return the stretches where the stopping rectangle touches the sewn part."""
    stopped = trial.outlines[trial.stopped or CENTRE]
    found = []
    for place in (CENTRE, *trial.sewn):
        left, low, right, high = (
            f(g(p[k] for p in stopped), g(p[k] for p in trial.outlines[place]))
            for f, g, k in ((max, min, 0), (max, min, 1), (min, max, 0), (min, max, 1))
        )
        if right >= left and high >= low and (right > left or high > low):
            found.append([(left, low), (right, high)])
    return found


def _find_waiting(trial: WhirlTrial) -> tuple[Point, Point]:
    """Return the open stretch of the first rectangle's seam."""
    first = trial.outlines[trial.sewn[0]]
    centre = _middle(trial.outlines[CENTRE])
    k = PLACES.index(trial.sewn[0])
    turn = ((0, 1), (-1, 0), (0, -1), (1, 0))[k]
    inner = max(first, key=lambda p: (p[0] - centre[0]) * turn[0] + (p[1] - centre[1]) * turn[1])
    level = [p for p in first if abs((p[0] - inner[0]) * turn[0] + (p[1] - inner[1]) * turn[1]) < 1e-6]
    run = (turn[1], -turn[0])
    level.sort(key=lambda p: p[0] * run[0] + p[1] * run[1])
    mx, my = centre
    along = (mx - level[0][0]) * run[0] + (my - level[0][1]) * run[1]
    return level[0], (level[0][0] + along * run[0], level[0][1] + along * run[1])
