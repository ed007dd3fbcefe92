"""The check of a quilting plan: it walks the route again, measures again, and looks for gaps on its own grid."""

from itertools import pairwise

import numpy as np
import shapely

from kit.checks.quilting_cloth_check import check_draw_in, check_trapped, draw_lines, join_shapes
from kit.checks.quilting_fit_check import STRAIGHT, check_fits
from kit.errors import CheckError
from kit.geometry.outlines import Point
from kit.model.patchwork import Patchwork
from kit.model.quilting import QuiltingPlan, QuiltLine, QuiltRegion, RouteStretch
from kit.model.quilting_wishes import STAGES

SLACK = 1e-4
"""Inches: the tolerance of places."""
GRID = 160
"""The number of places across the longer side in the check for gaps."""


def check_quilting_plan(patchwork: Patchwork, plan: QuiltingPlan) -> None:
    """Accept a quilting plan or refuse it by name.

    Every line lies in its region, and every line in the ditch on a seam. The strands of a line together are the
    line. The route runs along every strand of every line, begins and ends only at declared stops, travels only
    along seams, lines stitched already and declared bridges, and keeps to its panel and the order of stages. The
    lengths, threads and minutes add up. The widest circle is empty, and no place on a grid has a wider one. The draw-in
    follows from the crossings of new scans; the trapped parts are those named. No thread is cut where it could
    continue.

    Raises
    ------
    CheckError
        Names the line, stop, run or figure, with the figure found and the figure needed.

    Notes
    -----
    It shares no helper with `quilting_plan`. O(n log n); 20,000 in of lines take about 1 s.
    """
    _check_lines(patchwork, plan)
    check_fits(plan)
    _check_strands(plan)
    _check_runs(plan)
    _check_stops(plan)
    _check_panels(plan)
    _check_figures(plan)
    _check_gap(patchwork, plan)
    check_draw_in(patchwork, plan)
    check_trapped(patchwork, plan)


def _refuse(found: str, needed: str, do: str = "plan the quilting again") -> CheckError:
    return CheckError(found, needed=needed, do=do)


def _check_lines(patchwork: Patchwork, plan: QuiltingPlan) -> None:
    regions: dict[str, QuiltRegion] = {region.id: region for region in plan.regions}
    for line in plan.lines:
        if line.region not in regions:
            raise _refuse(f"Line `{line.id}` names the region `{line.region}`", "a region of the plan")
    shapes = {k: shapely.Polygon(r.rings[0], r.rings[1:]).buffer(SLACK) for k, r in regions.items()}
    drawn = draw_lines([line.points for line in plan.lines])
    holders = np.array([shapes[line.region] for line in plan.lines], dtype=object)
    shapely.prepare(holders)
    for k in np.flatnonzero(~shapely.covers(holders, drawn)).tolist():
        line = plan.lines[k]
        out = drawn[k].difference(holders[k]).length
        raise _refuse(f"Line `{line.id}` runs {out:.3f} in outside its region `{line.region}`", "a line inside it")
    rings = [p.outline for p in patchwork.patches]
    corners = np.array([pair for ring in rings for pair in zip(ring, ring[1:] + ring[:1], strict=True)])
    edges = shapely.STRtree(shapely.linestrings(corners))
    for line, length in zip(plan.lines, shapely.length(drawn).tolist(), strict=True):
        region = regions[line.region]
        if line.way == "ditch" and not _lies_along(corners, edges, np.array(line.points)):
            raise _refuse(f"Line `{line.id}` leaves the seam", "a line along seams")
        if abs(length - line.length) > SLACK:
            raise _refuse(f"Line `{line.id}` is said to be {line.length:.4f} in long", f"{length:.4f} in")
        if line.way != region.way:
            raise _refuse(f"Line `{line.id}` is of the way {line.way}", f"{region.way}, as its region wants")


def _lies_along(corners: np.ndarray, edges: shapely.STRtree, path: np.ndarray) -> bool:
    """Return True if edges of patches in line with a path cover it from end to end."""
    for a, b in pairwise(path):
        size = float(np.hypot(*(b - a)))
        along = (b - a) / size
        near = corners[edges.query(shapely.LineString([a, b]), predicate="dwithin", distance=SLACK)] - a
        aside = np.abs(near @ (-along[1], along[0]))
        spans = np.sort((near @ along)[(aside <= SLACK).all(axis=1)], axis=1)
        spans = spans[np.argsort(spans[:, 0])]
        reached = np.maximum.accumulate(np.concatenate([[0.0], spans[:, 1]]))
        starts = np.concatenate([spans[:, 0], [size]])
        if (starts - reached > SLACK).any():
            return False
    return True


def _check_strands(plan: QuiltingPlan) -> None:
    """Check that the strands of each line, in order, cover it from end to end."""
    parts: dict[str, list[int]] = {line.id: [] for line in plan.lines}
    lengths = shapely.length(draw_lines([strand.points for strand in plan.strands])).tolist()
    for n, (strand, length) in enumerate(zip(plan.strands, lengths, strict=True)):
        if abs(length - strand.length) > SLACK:
            raise _refuse(f"Strand {n} is said to be {strand.length:.4f} in long", f"{length:.4f} in")
        if strand.kind == "line":
            if strand.line not in parts:
                raise _refuse(f"Strand {n} belongs to `{strand.line}`", "a line of the plan")
            parts[strand.line].append(n)
    wholes = draw_lines([line.points for line in plan.lines])
    for line, whole, length in zip(plan.lines, wholes, shapely.length(wholes).tolist(), strict=True):
        own = parts[line.id]
        total = sum(lengths[n] for n in own)
        if abs(total - length) > SLACK * max(1, len(own)):
            raise _refuse(
                f"Line `{line.id}` is missing from the route in part: its strands are {total:.3f} in long",
                f"{length:.3f} in",
            )
        corners = set(line.points)
        new = [point for n in own for point in plan.strands[n].points if point not in corners]
        if new and shapely.distance(whole, shapely.points(new)).max() > SLACK:
            raise _refuse(f"A strand of `{line.id}` leaves the line", "strands on their line")


def _check_runs(plan: QuiltingPlan) -> None:
    """Walk the route."""
    left = {n for n, strand in enumerate(plan.strands) if strand.kind == "line"}
    along_seam = _list_seams(plan)
    line_of = {line.id: line for line in plan.lines}
    for r, run in enumerate(plan.runs, start=1):
        stage = 0
        here = None
        for stretch in run.stretches:
            here = _step(plan, r, stretch, here)
            strand = plan.strands[stretch.strand]
            if stretch.kind == "stitch" and strand.line in line_of:
                stage = _stitch(plan, r, stretch.strand, left, line_of[strand.line], stage)
            elif stretch.kind == "again":
                # travel along a strand in the ditch before its turn is allowed: the seam hides the thread
                if strand.kind != "line" or (stretch.strand in left and stretch.strand not in along_seam):
                    raise _refuse(f"Run {r} travels along `{strand.line}`", "a line that is stitched already")
            elif stretch.kind != strand.kind:
                raise _refuse(f"Run {r} calls a {strand.kind} a {stretch.kind}", strand.kind)
    if left:
        names = sorted({plan.strands[n].line for n in left})
        raise _refuse(
            f"Line `{names[0]}` is missing from the route"
            + (f", and {len(names) - 1} more are" if len(names) > 1 else ""),
            "every line stitched",
        )


def _step(plan: QuiltingPlan, r: int, stretch: RouteStretch, here: Point | None) -> Point:
    """Check that a stretch begins at the end of the thread, and return its end."""
    if not 0 <= stretch.strand < len(plan.strands):
        raise _refuse(f"Run {r} names strand {stretch.strand}", "a strand of the plan")
    points = plan.strands[stretch.strand].points[:: -1 if stretch.back else 1]
    x, y = points[0]
    if here is not None and np.hypot(here[0] - x, here[1] - y) > SLACK:
        raise _refuse(
            f"Run {r} jumps from ({here[0]:.2f}, {here[1]:.2f}) to ({x:.2f}, {y:.2f}) with no stop declared",
            "a thread that goes on where it is, or a stop",
        )
    return points[-1]


def _stitch(plan: QuiltingPlan, r: int, n: int, left: set[int], line: QuiltLine, stage: int) -> int:
    """Check that a strand may be stitched now, remove it from the remaining strands, and return its stage."""
    strand = plan.strands[n]
    if n not in left:
        raise _refuse(
            f"Run {r} stitches strand {n} of `{strand.line or strand.kind}` again", "each strand of a line once"
        )
    left.discard(n)
    if line.colour != plan.runs[r - 1].colour:
        raise _refuse(f"Line `{line.id}` is stitched in {plan.runs[r - 1].colour}", line.colour)
    if STAGES[line.way] < stage:
        raise _refuse(f"Line `{line.id}` comes after a later stage", "seams, then motifs, then fillers")
    return STAGES[line.way]


def _list_seams(plan: QuiltingPlan) -> set[int]:
    ditch = {line.id for line in plan.lines if line.way == "ditch"}
    return {n for n, strand in enumerate(plan.strands) if strand.line in ditch}


def _check_stops(plan: QuiltingPlan) -> None:
    declared: dict[tuple[int, str], tuple[float, float]] = {(stop.run, stop.kind): stop.at for stop in plan.stops}
    if len(declared) != len(plan.stops):
        raise _refuse(f"{len(plan.stops)} stops are declared for {len(plan.runs)} runs", "one start and one stop a run")
    for r, run in enumerate(plan.runs):
        first, last = run.stretches[0], run.stretches[-1]
        ends = (
            ("start", plan.strands[first.strand].points[-1 if first.back else 0]),
            ("stop", plan.strands[last.strand].points[0 if last.back else -1]),
        )
        for kind, (x, y) in ends:
            at = declared.pop((r, kind), None)
            if at is None:
                raise _refuse(f"The {kind} of run {r + 1} at ({x:.2f}, {y:.2f}) is not declared", "a declared stop")
            if np.hypot(at[0] - x, at[1] - y) > SLACK:
                raise _refuse(
                    f"The {kind} of run {r + 1} is declared at ({at[0]:.2f}, {at[1]:.2f})", f"({x:.2f}, {y:.2f})"
                )
    if declared:
        raise _refuse(f"A stop is declared for run {min(declared)[0] + 1}, which does not exist", "no such stop")
    _check_cuts(plan)


def _check_cuts(plan: QuiltingPlan) -> None:
    """Check that a thread is cut only where panel or colour change, or where neither seam nor bridge continues."""
    for r in range(1, len(plan.runs)):
        before, run = plan.runs[r - 1], plan.runs[r]
        if (before.panel, before.colour) != (run.panel, run.colour):
            continue
        passed = {_spot(p) for stretch in before.stretches for p in _ends(plan, stretch.strand)}
        for stretch in run.stretches:
            for place in _ends(plan, stretch.strand):
                if _spot(place) in passed:
                    raise _refuse(
                        f"The thread is cut between runs {r} and {r + 1}, though both pass ({place[0]:.2f},"
                        f" {place[1]:.2f})",
                        "one thread where it can go on",
                    )


def _ends(plan: QuiltingPlan, strand: int) -> tuple[Point, Point]:
    points = plan.strands[strand].points
    return points[0], points[-1]


def _spot(place: Point) -> tuple[float, float]:
    return round(place[0], 3), round(place[1], 3)


def _check_panels(plan: QuiltingPlan) -> None:
    """Check that each run keeps to its panel, and that a panel fits under the machine's arm."""
    for p, (left, bottom, right, top) in enumerate(plan.panels):
        least = min(right - left, top - bottom)
        if plan.wishes.throat is not None and least > plan.wishes.throat + SLACK:
            raise _refuse(f"Panel {p + 1} is {least:.2f} in wide", f"at most the throat, {plan.wishes.throat:g} in")
    for r, run in enumerate(plan.runs):
        points = np.concatenate([plan.strands[stretch.strand].points for stretch in run.stretches])
        low, high = points.min(axis=0), points.max(axis=0)
        left, bottom, right, top = plan.panels[run.panel]
        over = max(left - low[0], bottom - low[1], high[0] - right, high[1] - top)
        if over > SLACK:
            raise _refuse(f"Run {r + 1} leaves its panel by {over:.2f} in", f"stitches within panel {run.panel + 1}")
    panels = [run.panel for run in plan.runs]
    if panels != sorted(panels):
        raise _refuse("The runs go back to an earlier panel", "panels worked from the middle outward")


def _check_figures(plan: QuiltingPlan) -> None:
    """Add up the measured lengths of lines and strands."""
    wished = sum(line.length for line in plan.lines)
    _compare("length of the lines", plan.wished, wished)
    each: dict[str, float] = {}
    minutes = 0.0
    curved = {line.id for line in plan.lines if line.way not in STRAIGHT}
    for run in plan.runs:
        minutes += plan.wishes.stop_minutes
        for stretch in run.stretches:
            strand = plan.strands[stretch.strand]
            size = strand.length
            each[run.colour] = each.get(run.colour, 0.0) + size
            minutes += size / (plan.wishes.curve_speed if strand.line in curved else plan.wishes.straight_speed)
    _compare("length of the route", plan.length, sum(each.values()))
    for colour in sorted({*each, *plan.threads}):
        _compare(f"length of thread {colour}", plan.threads.get(colour, 0.0), each.get(colour, 0.0))
    _compare("time", plan.minutes, minutes)
    if not wished - SLACK <= plan.bound <= plan.length + SLACK:
        raise _refuse(f"The bound of the route is {plan.bound:.2f} in", f"{wished:.2f} to {plan.length:.2f} in")


def _compare(what: str, said: float, found: float) -> None:
    if abs(said - found) > 1e-6 * max(1.0, abs(found)) + SLACK:
        raise _refuse(f"The {what} is said to be {said:.4f}", f"{found:.4f}")


def _check_gap(patchwork: Patchwork, plan: QuiltingPlan) -> None:
    """Measure the stated circles against every line, then look for a wider one from a grid of places."""
    top = join_shapes([shapely.Polygon(p.outline) for p in patchwork.patches])
    lines = draw_lines([line.points for line in plan.lines])
    pieces = shapely.segmentize([*lines, *shapely.get_parts(top.boundary)], 2.0)
    points, owner = shapely.get_coordinates(pieces, return_index=True)
    same = owner[1:] == owner[:-1]
    segments = shapely.linestrings(np.stack([points[:-1][same], points[1:][same]], axis=1))
    tree = shapely.STRtree(segments)
    for gap in (plan.gap, *plan.gaps, *plan.open_gaps):
        found = float(_measure(tree, np.array([gap.at]))[0])
        if abs(2 * found - gap.width) > SLACK:
            raise _refuse(f"The space at ({gap.at[0]:.2f}, {gap.at[1]:.2f}) is said to be {gap.width:.3f} in wide",
                          f"{2 * found:.3f} in")  # fmt: skip
    left, bottom, right, up = patchwork.box
    step = max(right - left, up - bottom) / GRID
    x, y = np.meshgrid(np.arange(left + step / 2, right, step), np.arange(bottom + step / 2, up, step))
    places = np.column_stack([x.ravel(), y.ravel()])
    places = places[shapely.contains_xy(top, places[:, 0], places[:, 1])]
    room = _measure(tree, places)
    widest = int(np.argmax(room)) if len(room) else -1
    if widest >= 0 and 2 * room[widest] > plan.gap_bound + SLACK:
        at = places[widest]
        raise _refuse(
            f"No space is said to be wider than {plan.gap_bound:.3f} in, but the one at ({at[0]:.2f}, {at[1]:.2f}) is",
            f"{2 * room[widest]:.3f} in",
        )
    if not plan.gap.width - SLACK <= plan.gap_bound:
        raise _refuse(f"The widest space is {plan.gap.width:.3f} in", f"at most its bound, {plan.gap_bound:.3f} in")


def _measure(tree: shapely.STRtree, places: np.ndarray) -> np.ndarray:
    points = shapely.points(places)
    return np.asarray(shapely.distance(points, tree.geometries[tree.nearest(points)]))
