"""Strip sets with segments of their own: how many, how long, which segments from which, and what they cost."""

from collections import Counter
from dataclasses import dataclass
from math import ceil, floor

from kit.geometry.outlines import TOLERANCE
from kit.lengths import round_up
from kit.model.making import LONG, SINGLY, Cloths, Made, Way, WayName
from kit.model.strip_sets import SetSegment
from kit.planning.batches.allowed_ways import SEWN_ACROSS, Facts, fits_cloth
from kit.planning.batches.batch_pieces import cut_blank
from kit.planning.batches.strip_families import StripFamily

LOOPS: WayName = "sewn into loops"
UNPICKED = 0.5
"""The share of a seam's time that opening a short seam takes: own judgement, no source."""


@dataclass(frozen=True)
class PlannedSets:
    """The strip sets of a family: the length of each, its segments row by row, and those that are taken apart."""

    family: StripFamily
    lengths: tuple[float, ...]
    segments: tuple[SetSegment, ...]
    apart: tuple[SetSegment, ...]


def plan_family(family: StripFamily, facts: Facts) -> PlannedSets | None:
    """Return the sets of a family, the longest segments first on as few sets as that gives; None if none fits."""
    a, step = facts.allowance, facts.step
    fabrics = [fabric for fabric, _ in family.strips]
    width = min(facts.room[fabric][0] for fabric in fabrics)
    room = width - facts.wishes.set_squaring
    cut = [side + 2 * a for _, side in family.strips]
    printed = [round_up(row.height + 2 * a, step) for row, _ in family.rows]
    if any(abs(round_up(side, step) - side) > TOLERANCE for side in cut) or max(printed) > room + TOLERANCE:
        return None
    heights = dict(zip(printed, (row.height for row, _ in family.rows), strict=True))
    spare = _count_apart(family, printed)
    needed = [*printed, *(side for side in sorted(spare) for _ in range(spare[side]))]
    used: list[float] = []
    number = [0] * len(needed)
    for i in sorted(range(len(needed)), key=lambda i: -needed[i]):
        at = next((n for n, length in enumerate(used) if length + needed[i] < room + TOLERANCE), len(used))
        if at == len(used):
            used.append(0.0)
        used[at] += needed[i]
        number[i] = at
    lengths = tuple(min(width, round_up(length + facts.wishes.set_squaring, step)) for length in used)
    if not all(
        fits_cloth(fabric, length, round_up(side, step), facts)
        for fabric, side in zip(fabrics, cut, strict=True) for length in lengths
    ):  # fmt: skip
        return None
    segments = tuple(
        SetSegment(side, row.height, n, match.start, match.strips, match.foot, match.head, match.added)
        for (row, match), side, n in zip(family.rows, printed, number, strict=False)
    )
    apart = tuple(
        SetSegment(side, heights[side], n, 0, len(cut))
        for side, n in zip(needed[len(printed) :], number[len(printed) :], strict=True)
    )
    return PlannedSets(family, lengths, segments, apart)


def _count_apart(family: StripFamily, printed: list[float]) -> Counter[float]:
    """Return how many segments of each width are taken apart for the strips that are sewn on."""
    have = Counter(fabric for fabric, _ in family.strips)
    need: Counter[tuple[float, str]] = Counter()
    for (_, match), side in zip(family.rows, printed, strict=True):
        if match.added:
            need[side, family.strips[match.start][0]] += 1
    spare: Counter[float] = Counter()
    for (side, fabric), count in need.items():
        spare[side] = max(spare[side], ceil(count / have[fabric]))
    return spare


def list_family_ways(sets: PlannedSets, facts: Facts) -> tuple[Way, Way]:
    """Return single pieces and the strip sets, each with its cuts, seams, cloth and minutes."""
    family, a, step = sets.family, facts.allowance, facts.step
    pieces = sum(len(row.patches) for row, _ in family.rows)
    singles = Counter(
        (fabric, round_up(side + 2 * a, step), round_up(row.height + 2 * a, step))
        for row, _ in family.rows for fabric, side in zip(row.fabrics, row.widths, strict=True)
    )  # fmt: skip
    alone = sum(
        ceil(n / max(1, floor(facts.room[f][0] / high + TOLERANCE))) * side for (f, side, high), n in singles.items()
    )
    seams, count = pieces - len(family.rows), len(family.rows)
    single = Way(
        SINGLY, _list_cloths(sets, facts), 1, count, 0, pieces, seams, alone, 0.0,
        minutes=facts.take_minutes(pieces, seams),
    )  # fmt: skip
    m = len(family.strips)
    added = sum(one.added for one in sets.segments)
    trims = sum(bool(one.foot) + bool(one.head) for one in sets.segments)
    cuts = m * len(sets.lengths) + len(sets.segments) + len(sets.apart) + trims
    long = (m - 1 + family.loop) * len(sets.lengths)
    weighed = sum((m - 1 + family.loop) * max(1.0, length / LONG) for length in sets.lengths)
    opened = sum((one.strips == m) + 2 * (one.strips < m) for one in sets.segments) * family.loop + 2 * added
    strips = Counter(
        (fabric, round_up(side + 2 * a, step), length) for fabric, side in family.strips for length in sets.lengths
    )
    cloth = sum(
        ceil(n / max(1, floor(facts.room[f][0] / length + TOLERANCE))) * side for (f, side, length), n in strips.items()
    )
    name = LOOPS if family.loop else SEWN_ACROSS
    sewn = Way(
        name, _list_cloths(sets, facts), count, 1, 0, cuts, long + added, cloth, 0.0,
        minutes=facts.take_minutes(cuts, weighed + added + UNPICKED * opened),
    )  # fmt: skip
    return single, sewn


def _list_cloths(sets: PlannedSets, facts: Facts) -> tuple[Cloths, ...]:
    return tuple(
        Cloths("strip", length, side + 2 * facts.allowance, 1)
        for length in sets.lengths
        for _, side in sets.family.strips
    )


def make_family(name: str, sets: PlannedSets, facts: Facts) -> Made:
    """Return the sets of a family as units made together; their steps are left open."""
    family, a, step = sets.family, facts.allowance, facts.step
    _, way = list_family_ways(sets, facts)
    roles = [(fabric, length, side + 2 * a) for length in sets.lengths for fabric, side in family.strips]
    order = list(dict.fromkeys(roles))
    each = Counter(roles)
    sizes = [(length, round_up(side, step)) for _, length, side in order]
    blanks = tuple(
        cut_blank(f"{name}{n}", (fabric, facts.slots[fabric]), (length, side), size, each[fabric, length, side])
        for n, ((fabric, length, side), size) in enumerate(zip(order, sizes, strict=True))
    )
    units = tuple(row.patches[::-1] if match.back else row.patches for row, match in family.rows)
    whole = sum(side for _, side in family.strips)
    return Made(
        name, "strip set", way.name, (whole, max(row.height for row, _ in family.rows)),
        tuple(fabric for fabric, _ in family.strips), units, blanks, tuple(sizes), tuple(each[role] for role in order),
        tuple(order.index(role) for role in roles), 1, len(units), 0.0, widths=tuple(side for _, side in family.strips),
        cuts=way.cuts, seams=way.seams, segments=sets.segments, apart=sets.apart, lengths=sets.lengths,
        loop=family.loop,
    )  # fmt: skip
