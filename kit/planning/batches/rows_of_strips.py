"""Rows of rectangles among the parts that the steps make: what segments cut across strip sets can be."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import cos, radians, sin

from kit.geometry.outlines import Outline, measure_area, measure_directions
from kit.model.cutting import CutList
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan, Step
from kit.planning.batches.unit_shapes import NEAR, RECTANGLES

PLACES = 6
"""Decimals to which finished widths are compared."""


@dataclass(frozen=True)
class StripRow:
    """A row of rectangles of one height, from its foot: patches, fabrics, finished widths along it, and the height."""

    patches: tuple[str, ...]
    fabrics: tuple[str, ...]
    widths: tuple[float, ...]
    height: float


def find_strip_rows(
    patchwork: Patchwork, cuts: CutList, plan: SewingPlan, assignment: Mapping[str, str], left_out: frozenset[str]
) -> list[StripRow]:
    """Find the longest rows of rectangles that the steps make as parts of their own, each patch in at most one.

    Parameters
    ----------
    patchwork, cuts, plan
        The design, its cut list and the order of sewing.
    assignment
        Patch id -> fabric.
    left_out
        Fabrics with a print that has a direction: a strip set may turn it.

    Notes
    -----
    Linear in the patches of the steps that are looked at: any other part is left at its third patch.
    """
    copies = {unit.name: unit.copies for unit in plan.units}
    places = {unit.name: {patch: i for i, patch in enumerate(unit.copies[0])} for unit in plan.units}
    taken: set[str] = set()
    rows: list[StripRow] = []
    for step in reversed(plan.steps):
        if not _is_join(step):
            continue
        patches = step.first + step.second
        spots = [places[step.unit][patch] for patch in patches]
        free = [copy for copy in copies[step.unit] if copy[spots[0]] not in taken]
        if not free or any(patchwork.by_id[patch].sewn is not None for patch in patches[:1]):
            continue
        if any(cuts.piece_of[patch].kind not in RECTANGLES for patch in patches):
            continue
        read = read_strip_row([patchwork.by_id[patch].outline for patch in patches])
        if read is None or any(patchwork.by_id[patch].sewn is not None for patch in patches):
            continue
        order, widths, height = read
        for copy in free:
            ids = tuple(copy[spots[i]] for i in order)
            taken.update(ids)
            fabrics = tuple(assignment[patch] for patch in ids)
            if len(set(fabrics)) > 1 and not left_out.intersection(fabrics):
                rows.append(StripRow(ids, fabrics, widths, height))
    return rows


def _is_join(step: Step) -> bool:
    return step.kind == "join" and not step.ragged and bool(step.second)


def read_strip_row(outlines: Sequence[Outline]) -> tuple[tuple[int, ...], tuple[float, ...], float] | None:
    """Return the order of rectangles in a row, their widths along it and their height; None if they do not form one."""
    way = radians(measure_directions(outlines[0])[0])
    for along in ((cos(way), sin(way)), (-sin(way), cos(way))):
        spans = _measure_spans(outlines, along)
        if spans is None:
            continue
        order = sorted(range(len(spans)), key=lambda i: spans[i][0])
        height = _measure(outlines[0], (-along[1], along[0]))
        widths = tuple(round(spans[i][1] - spans[i][0], PLACES) for i in order)
        return tuple(order), widths, round(height[1] - height[0], PLACES)
    return None


def _measure_spans(outlines: Sequence[Outline], along: tuple[float, float]) -> list[tuple[float, float]] | None:
    """Return the span of each rectangle along a row; None if they differ across it or are turned."""
    across = (-along[1], along[0])
    low, high = _measure(outlines[0], across)
    spans = []
    for outline in outlines:
        bottom, top = _measure(outline, across)
        if abs(bottom - low) > NEAR or abs(top - high) > NEAR:
            return None
        start, end = _measure(outline, along)
        if abs((end - start) * (high - low) - abs(measure_area(outline))) > NEAR * (end - start + high - low):
            return None
        spans.append((start, end))
    return spans


def _measure(outline: Outline, way: tuple[float, float]) -> tuple[float, float]:
    reach = [x * way[0] + y * way[1] for x, y in outline]
    return min(reach), max(reach)
