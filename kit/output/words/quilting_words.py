"""The quilting in sentences for the printed pattern: ways of stitching in their places, threads and their order."""

from collections.abc import Iterator, Mapping

from kit.geometry.outlines import Point
from kit.lengths import CM, System, write_nearest
from kit.model.pattern import Pattern
from kit.model.quilting import Gap, QuiltingPlan, ThreadRun
from kit.model.quilting_wishes import STAGES, QuiltingWishes, Stitching
from kit.output.words.colour_words import say_colour
from kit.output.words.strings import TEXTS, say_name

TELLS: Mapping[str, str] = TEXTS["stitching"]
MOST_RUNS = 6
"""The most threads that are told one by one."""
MOST_TRAPPED = 3
"""The most trapped parts listed by name."""
LOOKS = 4
"""How many threads are told apart by the look of their lines, whatever their colour."""
WAY_NAMES = {
    "ditch": "in the ditch", "outline": "once around inside", "echo": "echo lines", "motif": "a motif",
    "corner curves": "continuous curves", "grid": "straight lines", "crosshatch": "crosshatch",
    "serpentine": "serpentine", "swirls": "swirls", "loops": "rows of loops", "meander": "meander",
    "pebbles": "pebbles", "clamshells": "clamshells", "feathers": "feathers", "leaves": "hooks and leaves",
    "cable": "cable", "chain": "chain", "rays": "radiating lines", "spiral": "a spiral", "drawn line": "a drawn line",
}  # fmt: skip
"""What each way of stitching is called on screen and in tables."""


def say_stitching(key: str, **facts: object) -> str:
    """Return a house string about quilting with its facts filled in.

    Examples
    --------
    >>> say_stitching("run_panel", panel=2)
    ' on panel 2'
    """
    return TELLS[key].format(**facts)


def list_threads(wishes: QuiltingWishes) -> tuple[str, ...]:
    """Return the colours of the threads, in the order of the wishes; the place in the list decides the dash."""
    return tuple(dict.fromkeys(one.colour for one in wishes.stitchings))


def list_stitching(pattern: Pattern) -> tuple[str, ...]:
    """Return what is stitched where, what did not fit, and the order of the threads, as sentences.

    Places are measured from the lower left corner of the top.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    plan, system = pattern.quilting, pattern.study.measures.system
    return (*_say_ways(plan, system), *_say_order(plan, system))


def _say_ways(plan: QuiltingPlan, system: System) -> Iterator[str]:
    threads = list_threads(plan.wishes)
    for stitching in plan.wishes.stitchings:
        key = "top" if stitching.where == "top" else "together" if stitching.together else "patches"
        drawn = say_stitching(f"drawn_{threads.index(stitching.colour) % LOOKS + 1}")
        colour = say_colour(stitching.colour)
        thread = say_stitching("thread", colour=colour, drawn=drawn) if len(threads) > 1 else ""
        yield say_stitching(key, where=say_name(stitching.where), how=_describe(stitching, system), thread=thread)
    yield from describe_fit(plan)
    if sum(plan.travel.values()) > 0:
        yield say_stitching("dotted")


def _describe(stitching: Stitching, system: System) -> str:
    key = stitching.way.replace(" ", "_")
    if key == "echo" and stitching.rounds:
        key = "echo_round" if stitching.rounds == 1 else "echo_rounds"
    told = say_stitching(
        key, spacing=write_nearest(stitching.spacing, system), angle=stitching.angle % 180, rounds=stitching.rounds
    )
    if stitching.within != "area":
        told = say_stitching(stitching.within, how=told)
    if stitching.turns > 1:
        told = say_stitching("turns", how=told, turns=stitching.turns, turn=stitching.turn)
    return told


def _say_order(plan: QuiltingPlan, system: System) -> Iterator[str]:
    if len(plan.panels) > 1:
        throat = write_nearest(plan.wishes.throat or 0.0, system)
        yield say_stitching("panels", throat=throat, count=len(plan.panels))
    if len(plan.runs) > MOST_RUNS:
        yield say_stitching("threads", count=len(plan.runs))
    elif len(plan.runs) > 1:
        yield say_stitching("from_corner")
        for number, run in enumerate(plan.runs, start=1):
            yield _say_run(plan, number, run, system)
    if plan.trapped:
        yield say_stitching("trapped", parts=say_stitching("trapped_count", count=len(plan.trapped)))


def _say_run(plan: QuiltingPlan, number: int, run: ThreadRun, system: System) -> str:
    first, last = (stop.at for stop in plan.stops if stop.run == number - 1)
    ways = {line.id: line.way for line in plan.lines}
    inches: dict[int, float] = {}
    for stretch in run.stretches:
        strand = plan.strands[stretch.strand]
        stage = STAGES[ways[strand.line]] if stretch.kind == "stitch" else max(inches, default=0)
        inches[stage] = inches.get(stage, 0.0) + strand.length
    travel = inches.pop(0, 0.0)
    stages = [say_stitching(f"stage_{one}", length=_round(size, system)) for one, size in sorted(inches.items())]
    begin, end = (describe_place(plan, at, system) for at in (first, last))
    return say_stitching(
        "run", number=number, length=_round(travel + sum(inches.values()), system),
        colour=say_stitching("run_colour", colour=say_colour(run.colour)) if len(plan.threads) > 1 else "",
        panel=say_stitching("run_panel", panel=run.panel + 1) if len(plan.panels) > 1 else "",
        begin=begin, end=end, order=say_stitching("then").join(stages),
    )  # fmt: skip


def _round(inches: float, system: System) -> str:
    """Return a long length to the nearest whole inch or centimetre."""
    return f"{inches / CM:.0f}\u00a0cm" if system == "metric" else f"{inches:.0f}\u00a0in"


def describe_fit(plan: QuiltingPlan) -> Iterator[str]:
    """Yield a sentence about the areas of each wish that could not take their way as wished; none if all could."""
    for where in dict.fromkeys(region.where for region in plan.regions):
        areas = [region for region in plan.regions if region.where == where]
        place = (
            say_stitching("place_top") if where == "top" else say_stitching("place_part", where=say_name(where))
        )  # fmt: skip
        for fit in ("narrower", "in the ditch", "left"):
            if count := sum(region.fit == fit for region in areas):
                yield say_stitching(f"fit_{fit.replace(' ', '_')}", count=count, areas=len(areas), place=place)


def describe_trapped(plan: QuiltingPlan) -> str:
    """Return the trapped parts, a few of them by name, and the remedy."""
    if not plan.trapped:
        return say_stitching("trapped_none")
    names = ", ".join(plan.trapped[:MOST_TRAPPED])
    more = f" and {len(plan.trapped) - MOST_TRAPPED} more" if len(plan.trapped) > MOST_TRAPPED else ""
    return say_stitching("trapped_parts", names=f"{names}{more}")


def describe_gap(plan: QuiltingPlan, gap: Gap, system: System) -> str:
    """Return the width of a gap and its place."""
    place = describe_place(plan, gap.at, system)
    return say_stitching("gap", width=write_nearest(gap.width, system), where=say_name(gap.where), place=place)


def describe_place(plan: QuiltingPlan, at: Point, system: System) -> str:
    """Return the place of a point, from the lower left corner of the top."""
    left, bottom = (min(panel[k] for panel in plan.panels) for k in (0, 1))
    across, up = (write_nearest(value, system) for value in (at[0] - left, at[1] - bottom))
    return say_stitching("place", across=across, up=up)
