"""The proof of units made several at a time: their sizes computed from the printed sizes by formula."""

from collections.abc import Iterator, Mapping
from math import atan2, cos, degrees, radians, sin, sqrt

from kit.geometry.outlines import measure_area, measure_box, turn_outline
from kit.model.foundations import FoundationPlan
from kit.model.making import Made
from kit.model.pattern import Pattern
from kit.output.proof.proof_lines import ProofLine
from kit.output.words.batch_words import say_making

SLACK = 1e-4
"""Inches: the tolerance between two ways of computing one figure."""


def prove_making(pattern: Pattern) -> ProofLine:
    """Compute the units of each batch from its printed squares and strips, and compare them with the trimmed size.

    The rehearsal lays, sews, cuts and opens outlines; this proof uses the trade's formulas instead.

    Parameters
    ----------
    pattern
        Every plan of a study; one whose study asks for ways of making.
    """
    allowance = pattern.cut_list.allowance
    faults = []
    units = spare = 0
    for made in pattern.making.made:
        units += len(made.units)
        spare += made.spare
        if not 0 <= made.spare < made.batches * made.makes:
            faults.append(f"{made.id}: {made.batches} times {made.makes} for {len(made.units)} units")
        figures_of = _measure_segments(made, pattern) if made.segments else measure_batches(made, allowance)
        for what, come, need in figures_of:
            if come < need - SLACK or (
                made.unit in ("strip set", "corners") and what != "length" and come > need + SLACK
            ):
                faults.append(f"{made.id}, {what}: {come:.4f} in comes out, {need:.4f} in is needed")
    figures = say_making("proof_figures", kinds=len(pattern.making.made), count=units, spare=spare)
    more = f" (and {len(faults) - 1} more)" if len(faults) > 1 else ""
    return ProofLine(say_making("proof"), faults[0] + more if faults else figures, not faults)


def _measure_segments(made: Made, pattern: Pattern) -> list[tuple[str, float, float]]:
    """Return the figures of strip sets with segments of their own: the length of each set, and each segment's length.

    What a segment comes to is added up from printed strips; what is needed is its patches' area over its width.
    """
    a, m = pattern.cut_list.allowance, len(made.fabrics)
    found = []
    for number, length in enumerate(made.lengths):
        taken = sum(one.width for one in (*made.segments, *made.apart) if one.number == number)
        found.append(("length", length, taken))
    for unit, one in zip(made.units, made.segments, strict=True):
        uses = [made.uses[one.number * m + (one.start + i) % m] for i in range(one.strips + one.added)]
        seen = [made.sizes[use][1] - 2 * a for use in uses]
        come = sum(seen) - (seen[0] - one.foot if one.foot else 0.0) - (seen[-1] - one.head if one.head else 0.0)
        area = sum(measure_area(pattern.patchwork.by_id[patch].outline) for patch in unit)
        found += [("set", come, area / one.finished), ("length", one.width, one.finished + 2 * a)]
    return found


def measure_batches(made: Made, a: float) -> list[tuple[str, float, float]]:
    """Return the compared figures: name, result, figure needed, inches unfinished.

    Parameters
    ----------
    made
        Units whose batches are all alike.
    a
        Seam allowance, inches.
    """
    if made.papers is not None:
        return list(_measure_papers(made.papers))
    wide, high = made.size[0] + 2 * a, made.size[1] + 2 * a
    first = made.sizes[made.uses[0]]
    second = made.sizes[made.uses[1]]
    side = min(*first, *second)
    sides: Mapping[tuple[str, str], float] = {
        ("half-square", "two at a time"): side - sqrt(2) * a,
        ("half-square", "four at a time"): (side - 2 * a) / sqrt(2),
        ("half-square", "eight at a time"): side / 2 - sqrt(2) * a,
        ("half-square", "stitch and flip"): side,
        ("quarter-square", "two at a time"): side - 2 * sqrt(2) * a,
    }
    if made.unit == "strip set":
        strips = [made.sizes[use] for use in made.uses]
        across = sum(width - 2 * a for _, width in strips) + 2 * a
        length = min(length for length, _ in strips)
        # a segment is cut as the ruler has it, at most a step over its exact length
        angle = radians(made.slant)
        taken = made.makes * made.segment / sin(angle) + abs(cos(angle)) / sin(angle) * max(w for _, w in strips)
        return [("set", across, wide), ("length", length, taken), ("length", made.segment, high)]
    if made.unit == "corners":
        legs = [leg for leg in made.legs if leg]
        squares = [made.sizes[use][0] - 2 * a for use in made.uses[1:]]
        corners = [("corner", come, need) for come, need in zip(squares, legs, strict=True)]
        return [("width", first[0], wide), ("height", first[1], high), *corners]
    if made.unit == "geese" and made.way == "stitch and flip":
        return [("width", first[0], wide), ("height", first[1], high), ("square", min(second), high)]
    if made.unit == "geese":
        goose = (first[0] - (2 + 2 * sqrt(2)) * a) / 2 + 2 * a
        return [("goose", goose, high), ("sky", min(second) - sqrt(2) * a, high)]
    if made.unit == "half-rectangle":
        long = sqrt(first[0] ** 2 + first[1] ** 2)
        return [
            ("width", max(first) - 2 * a * min(first) / long, max(wide, high)),
            ("height", min(first) - 2 * a * max(first) / long, min(wide, high)),
        ]
    return [("side", sides[made.unit, made.way], max(wide, high))]


def _measure_papers(plan: FoundationPlan) -> Iterator[tuple[str, float, float]]:
    """Yield each rectangle's sides beside what its finished patch needs: extent, allowances, ease."""
    outlines = dict(plan.target)
    for section in plan.sections:
        for piece in section.pieces:
            (ax, ay), (bx, by) = piece.line or piece.rectangle[:2]
            level = turn_outline(outlines[piece.patch], -degrees(atan2(by - ay, bx - ax)))
            left, low, right, high = measure_box(level)
            where = f"{section.name}: {piece.number}"
            both = 2 * (plan.allowance + plan.ease)
            yield where, piece.width, right - left + both
            yield where, piece.height, high - low + both - (plan.ease if piece.line else 0.0)
