"""The quilting as plain tables: its figures, its evenness, its order of working."""

import re
from collections import Counter
from collections.abc import Iterator

import pandas as pd

from kit.lengths import CM, System, write_nearest, write_thread
from kit.model.finishing_figures import ThreadPlan
from kit.model.quilting import SMALL, QuiltingPlan
from kit.output.words.colour_words import name_threads
from kit.output.words.quilting_words import WAY_NAMES, describe_fit, describe_gap, describe_place, describe_trapped

__all__ = [
    "density", "describe_draw_in", "describe_fit", "describe_gap", "describe_place", "describe_route",
    "describe_tracing", "describe_trapped", "list_quilting", "order",
]  # fmt: skip


def list_quilting(plan: QuiltingPlan, thread: ThreadPlan, system: System = "inch") -> pd.DataFrame:
    """Return the whole quilting, one row per figure.

    Parameters
    ----------
    plan
        The quilting plan.
    thread
        The thread of its colours, from the finishing.
    system
        "inch" or "metric", for writing lengths.
    """
    rows = [
        *_list_fits(plan),
        *_list_route(plan, system),
        *_list_threads(plan, thread, system),
        *_list_gaps(plan, system),
        ("Evenness", "Thinnest part to densest", f"{plan.evenness:.2f}, where 1 is even"),
        ("Drawn in", "By the puffs between the lines, about", describe_draw_in(plan)),
    ]
    return pd.DataFrame(rows, columns=["Part", "What", "Figure"])


def _list_route(plan: QuiltingPlan, system: System) -> Iterator[tuple[str, str, str]]:
    gap = plan.length - plan.bound
    proof = "no route is shorter" if gap <= 1e-3 else f"none is shorter by more than {_write(gap, system)}"
    yield "Lines", "Count", f"{len(plan.lines)}"
    yield "Lines", "Regions", f"{len(plan.regions)}"
    yield "Lines", "Length", _write(plan.wished, system)
    yield "Route", "Length", f"{_write(plan.length, system)}, {proof}"
    travel = plan.travel
    yield "Route", "Travel hidden in seams, at the edge", _write(travel["hidden"], system)
    yield "Route", "Over visible lines, once more", _write(travel["over lines"], system)
    yield "Route", "Across open cloth", _write(travel["across"], system)
    yield "Route", "Threads started", f"{len(plan.runs)}"
    yield "Route", "Panels", f"{len(plan.panels)}"
    if plan.islands:
        yield "Route", "Not reached without a cut", ", ".join(plan.islands)
    yield "Route", "Parts closed in before their turn", describe_trapped(plan)
    yield "Time", "At the speeds given", f"{plan.minutes:.0f} min"


def _list_threads(plan: QuiltingPlan, thread: ThreadPlan, system: System) -> Iterator[tuple[str, str, str]]:
    names = name_threads(plan.threads)
    for line in thread.lines:
        if line.colour in plan.threads:
            part = f"Thread, {names[line.colour]}"
            yield part, "Route", _write(plan.threads[line.colour], system)
            yield part, "Needle", f"{write_thread(line.needle, system)}, {line.spools} from new spools"
            yield part, "Bobbins", f"{line.bobbins} full, {write_thread(line.bobbin, system)}"


def _list_gaps(plan: QuiltingPlan, system: System) -> Iterator[tuple[str, str, str]]:
    limit = write_nearest(plan.wishes.gap_limit, system)
    yield "Gap", "Widest", describe_gap(plan, plan.gap, system)
    yield "Gap", "The batting allows", limit
    told = "passes" if plan.holds else f"fails in {len(plan.open_gaps)} places at least"
    yield "Gap", "Verdict", told


def _list_fits(plan: QuiltingPlan) -> Iterator[tuple[str, str, str]]:
    for fit, told in FITS.items():
        counts = Counter(region.where for region in plan.regions if region.fit == fit)
        if counts or fit == "as wished":
            parts = ", ".join(f"{count} of {where}" for where, count in counts.items())
            yield "Areas", told, f"{counts.total()}" + (f": {parts}" if fit != "as wished" else "")


FITS = {
    "as wished": "As wished", "narrower": "Drawn narrower", "in the ditch": "In the ditch instead",
    "left": "Left to the lines around them",
}  # fmt: skip


def describe_draw_in(plan: QuiltingPlan) -> str:
    """Return the estimated loss of width and height in quilting."""
    across, along = (f"{100 * part:.1f} %" for part in plan.draw_in)
    return f"{across} of the width, {along} of the height"


def describe_tracing(tracing: str, system: System) -> str:
    """Return the size on paper of a tracing, read from the drawing's own head, to the nearest mark of a ruler."""
    sides = re.findall(r' (?:width|height)="([0-9.]+)in"', tracing)[:2]
    return " × ".join(write_nearest(float(side), system) for side in sides)


def describe_route(plan: QuiltingPlan, system: System) -> str:
    """Return the length of the whole route, travel included."""
    return _write(plan.length, system)


def _write(inches: float, system: System) -> str:
    """Return a long length to the nearest whole inch or centimetre."""
    return f"{inches / CM:,.0f} cm" if system == "metric" else f"{inches:,.0f} in"


def _scale(system: System) -> tuple[str, float]:
    return ("cm", CM) if system == "metric" else ("in", 1.0)


def density(plan: QuiltingPlan, system: System = "inch") -> pd.DataFrame:
    """Return the density of stitching in each slot, its widest gap, and whether the batting is held."""
    unit, per = _scale(system)
    widest = {gap.where: gap.width for gap in plan.gaps}
    limit = plan.wishes.gap_limit + SMALL
    rows = []
    for slot, (area, inches) in plan.density.items():
        open_space = widest.get(slot, 0.0)
        held = "yes" if open_space <= limit else "no"
        rows.append((slot, area / per**2, inches / per, inches / area * per, open_space / per, held))
    names = ["Slot", f"Square {unit}", f"Lines, {unit}", f"{unit} on a square {unit}", f"Widest space, {unit}", "Held"]
    return pd.DataFrame(rows, columns=names).round(2)


def order(plan: QuiltingPlan, system: System = "inch") -> pd.DataFrame:
    """Return the order of working: for each thread its ways of stitching, one row per stretch, travel included."""
    unit, per = _scale(system)
    ways, threads = {line.id: WAY_NAMES[line.way] for line in plan.lines}, name_threads(plan.threads)
    rows: list[tuple[int, int, str, str, float]] = []
    for r, run in enumerate(plan.runs, start=1):
        for stretch in run.stretches:
            strand = plan.strands[stretch.strand]
            way = ways[strand.line] if stretch.kind == "stitch" else rows[-1][3] if rows and rows[-1][0] == r else ""
            way = way or ways.get(strand.line, "")
            if rows and rows[-1][:2] == (r, run.panel + 1) and rows[-1][3] == way:
                rows[-1] = (*rows[-1][:4], rows[-1][4] + strand.length / per)
            else:
                rows.append((r, run.panel + 1, threads[run.colour], way, strand.length / per))
    return pd.DataFrame(rows, columns=["Thread", "Panel", "Colour", "Way", f"Length, {unit}"]).round(1)
