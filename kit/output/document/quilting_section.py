"""The quilting in sentences for the printed pattern: threads, ways, the order of working, and open gaps."""

from collections.abc import Iterator
from typing import TypeAlias

from kit.lengths import System, write_nearest
from kit.model.pattern import Pattern
from kit.model.quilting import QuiltingPlan, ThreadRun
from kit.model.quilting_wishes import STAGES, Stitching
from kit.output.pictures.drawing import Drawing
from kit.output.pictures.quilting_picture import draw_quilting, list_threads
from kit.output.tables.quilting_tables import describe_fit, describe_gap, describe_place, describe_trapped

Steps: TypeAlias = tuple[str, tuple[str, ...]]

STAGE_NAMES = {1: "seams", 2: "motifs and outlines", 3: "fillers"}
MOST_GAPS = 6
"""The most gaps listed in words; the picture shows them all."""

WAYS = {
    "ditch": "in the ditch of the seams",
    "outline": "once around, {spacing} inside the edge",
    "echo": "echo lines {spacing} apart, from the edge inward",
    "motif": "one motif, as large as fits {spacing} inside the edge",
    "corner curves": "continuous curves from corner to corner of each patch",
    "grid": "straight lines {spacing} apart at {angle:g}°",
    "crosshatch": "straight lines {spacing} apart at {angle:g}°, and as many across",
    "serpentine": "a wave between the two sides, half a wave in {spacing}",
    "swirls": "swirls that lie over one another, lines {spacing} apart",
    "loops": "rows of loops, {spacing} from loop to loop",
    "meander": "a wandering line that never crosses itself, {spacing} apart",
    "pebbles": "rows of pebbles, some {spacing} across",
    "clamshells": "clamshells, rows {spacing} apart",
    "feathers": "feathers on a spine, plumes {spacing} apart",
    "leaves": "a stem with leaves and hooks, {spacing} apart",
    "cable": "a cable of three strands, links one and a half times {spacing}",
    "chain": "a chain of two strands, links one and a half times {spacing}",
    "rays": "lines that radiate from the middle of the quilt, some {spacing} apart",
    "spiral": "a spiral in and out again, turns {spacing} apart",
    "drawn line": "a drawn line repeated, at most twice {spacing} high",
}
SHARES = {"inside": "inside the lines before", "around": "around the lines before"}


def list_quilting_steps(pattern: Pattern) -> tuple[tuple[Steps, ...], Drawing]:
    """Return the quilting of a pattern: stitching of each part, the order, the limit of the batting; and its picture.

    Places are measured from the lower left corner of the top.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Returns
    -------
    tuple of (heading, tuple of sentences)
        In the order of working.
    Drawing
        The lines over the pale top, travel dotted, a dot at each start, a ring at each stop.
    """
    plan, system = pattern.quilting, pattern.study.measures.system
    parts = (
        ("What is stitched where", tuple(_say_ways(plan, system))),
        ("In which order", tuple(_say_order(plan, system))),
        ("What holds the batting", tuple(_say_gaps(plan, system))),
    )
    return parts, draw_quilting(pattern, plan)


def _say_ways(plan: QuiltingPlan, system: System) -> Iterator[str]:
    wishes = plan.wishes
    threads = list_threads(wishes)
    for stitching in wishes.stitchings:
        where = "The whole top" if stitching.where == "top" else f"Every patch of `{stitching.where}`"
        if stitching.where != "top" and stitching.together:
            where = f"The patches of `{stitching.where}`, touching patches as one"
        drawn = DRAWN[threads.index(stitching.colour) % 4]
        thread = f", thread {stitching.colour}, {drawn}" if len(threads) > 1 else ""
        yield f"{where}: {_describe(stitching, system)}{thread}."
    yield from describe_fit(plan)
    yield "Dotted lines are travel: in a seam, at the edge under the binding, or over a line already stitched."


def _describe(stitching: Stitching, system: System) -> str:
    spacing = write_nearest(stitching.spacing, system)
    told = WAYS[stitching.way].format(spacing=spacing, angle=stitching.angle % 180)
    if stitching.way == "echo" and stitching.rounds:
        told = f"({stitching.rounds}) echo lines from the edge inward, {spacing} apart"
    if stitching.within != "area":
        told = f"{SHARES[stitching.within]}, {told}"
    if stitching.turns > 1:
        told += f"; of every ({stitching.turns}) areas in a row, number ({stitching.turn})"
    return told


def _say_order(plan: QuiltingPlan, system: System) -> Iterator[str]:
    if len(plan.panels) > 1:
        yield (
            f"The throat of {write_nearest(plan.wishes.throat or 0.0, system)} takes ({len(plan.panels)}) panels: work"
            " the middle panel first, then outward."
        )
    if len(plan.runs) <= MOST_RUNS:
        for number, run in enumerate(plan.runs, start=1):
            yield _say_run(plan, number, run, system)
    else:
        yield (
            f"({len(plan.runs)}) threads, each from a dot to a ring, panel by panel from the middle outward; on each"
            " panel seams first, then motifs and outlines, then fillers."
        )
    travel = plan.travel
    yield (
        f"Between lines the thread travels {_round(travel['hidden'], system)} hidden in seams and at the edge,"
        f" {_round(travel['over lines'], system)} over visible lines and {_round(travel['across'], system)} across"
        " open cloth."
    )
    if plan.trapped:
        yield f"Closed in before their turn: {describe_trapped(plan)}."
    yield "Smooth the layers from the middle outward before each new thread, and keep fingers clear of the needle."


MOST_RUNS = 12
DRAWN = "drawn solid", "drawn in long dashes", "drawn in dashes and dots", "drawn in short dashes"
"""The look of the lines of the first four threads, in any colour."""


def _say_run(plan: QuiltingPlan, number: int, run: ThreadRun, system: System) -> str:
    first, last = (stop.at for stop in plan.stops if stop.run == number - 1)
    panel = f" on panel {run.panel + 1}" if len(plan.panels) > 1 else ""
    colour = f" ({run.colour})" if len(plan.threads) > 1 else ""
    ways = {line.id: line.way for line in plan.lines}
    inches: dict[int, float] = {}
    for stretch in run.stretches:
        strand = plan.strands[stretch.strand]
        stage = STAGES[ways[strand.line]] if stretch.kind == "stitch" else max(inches, default=0)
        inches[stage] = inches.get(stage, 0.0) + strand.length
    travel = inches.pop(0, 0.0)
    stages = [f"{STAGE_NAMES[stage]} ({_round(size, system)})" for stage, size in sorted(inches.items())]
    whole = _round(travel + sum(inches.values()), system)
    order = ", then ".join(stages)
    begin, end = (describe_place(plan, at, system) for at in (first, last))
    return f"Thread {number}{colour}{panel}, {whole} of route: begin {begin}, stitch the {order}, stop {end}."


def _round(inches: float, system: System) -> str:
    return f"{inches * 2.54:,.0f} cm" if system == "metric" else f"{inches:,.0f} in"


def _say_gaps(plan: QuiltingPlan, system: System) -> Iterator[str]:
    limit = write_nearest(plan.wishes.gap_limit, system)
    yield f"The widest unquilted gap is {describe_gap(plan, plan.gap, system)}; the batting allows {limit}."
    if plan.holds:
        yield "Read the label of your own batting before you quilt less."
        return
    yield (
        f"At least ({len(plan.open_gaps)}) gaps are wider, circled in the picture: stitch across them, or"
        " use a batting that allows wider gaps."
    )
    for gap in plan.open_gaps[:MOST_GAPS]:
        yield f"Open: {describe_gap(plan, gap, system)}."
