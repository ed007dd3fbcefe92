"""Ways of making a kind of unit with its cloth and the ruler: squares of batches, strip sets, flipped corners."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, cos, floor, hypot, radians, sin

from kit.geometry.outlines import TOLERANCE
from kit.lengths import round_up
from kit.model.fabrics import Supply
from kit.model.making import CUT_SECONDS, LONG, SEAM_SECONDS, SINGLY, Cloths, MakingWishes, Way, WayName
from kit.model.notices import Notice, notice
from kit.planning.batches.find_units import Found, UnitKind
from kit.planning.batches.ways_of_making import list_ways, plan_strip_sets
from kit.planning.cutting.blanks import measure_stock

MARKS, MOST_OVER = 2000, 1.0
"""Marks of the ruler that are tried for a side of a half rectangle, and the most inches that it may be too large."""
SEWN_ACROSS: WayName = "sewn and cut across"
FLIPPED: WayName = "stitch and flip"


@dataclass(frozen=True)
class Facts:
    """The conditions for the ways of a kind of unit, apart from the unit."""

    allowance: float
    step: float
    wishes: MakingWishes
    supplies: tuple[Supply, ...]
    room: Mapping[str, tuple[float, float | None]]
    slots: Mapping[str, str]
    pace: tuple[float, float] = (CUT_SECONDS, SEAM_SECONDS)

    def take_minutes(self, cuts: float, seams: float) -> float:
        """Return the minutes of cuts and seams at the maker's pace."""
        return (cuts * self.pace[0] + seams * self.pace[1]) / 60


@dataclass(frozen=True)
class UnitsToMake:
    """A kind of unit with its units, its ways, and the reasons for leaving out other ways."""

    kind: UnitKind
    units: tuple[Found, ...]
    ways: tuple[Way, ...]
    why: tuple[Notice, ...]


def measure_room(supplies: Sequence[Supply]) -> dict[str, tuple[float, float | None]]:
    """Return for each fabric the largest (along, across) to cut from it, None across for any length."""
    room: dict[str, tuple[float, float | None]] = {}
    for supply in supplies:
        stock = measure_stock(supply)
        height = stock.height
        if supply.form == "yardage" and supply.length is not None:
            height = supply.length * (1 - supply.shrinkage)
        room[supply.fabric or supply.slot] = stock.width, height
    return room


def list_unit_ways(kind: UnitKind, count: int, facts: Facts) -> tuple[tuple[Way, ...], tuple[Notice, ...]]:
    """Return the ways that the cloth and the ruler allow, and the reasons for leaving out others."""
    width = min(facts.room[fabric][0] for fabric in kind.fabrics)
    if kind.unit == "strip set":
        ways = _list_set_ways(kind, count, facts, width)
    elif kind.unit == "corners":
        ways = _list_corner_ways(kind, count, facts, width)
    elif kind.unit == "half-rectangle":
        ways = _list_half_rectangle_ways(kind, count, facts, width)
    else:
        ways = list_ways(
            kind.unit, kind.size[1], count, allowance=facts.allowance, step=facts.step, width=width,
            oversize=facts.wishes.oversize,
        )  # fmt: skip
    why = []
    kept = []
    for way in ways:
        if way.name != SINGLY and not _fits(kind, way, facts):
            why.append(notice("larger-than-cloth", way=way.name))
        elif kind.unit == "geese" and way.name == "four at a time" and kind.fabrics[1] != kind.fabrics[2]:
            why.append(notice("two-skies", way=way.name))
        else:
            weight = max(1.0, way.cloths[0].width / LONG) if way.name == SEWN_ACROSS else 1.0
            kept.append(replace(way, minutes=facts.take_minutes(way.cuts, way.seams * weight)))
    if len(ways) == 1:
        why.append(notice("off-the-ruler"))
    return tuple(kept), tuple(why)


def _fits(kind: UnitKind, way: Way, facts: Facts) -> bool:
    roles = list_roles(kind, way)
    for cloth, fabrics in zip(way.cloths, roles, strict=True):
        size = sorted((round_up(cloth.width, facts.step), round_up(cloth.height, facts.step)))
        if not all(fits_cloth(fabric, size[0], size[1], facts) for fabric in fabrics):
            return False
    return True


def fits_cloth(fabric: str, width: float, height: float, facts: Facts) -> bool:
    """Return True if a rectangle of printed size can be cut from the cloth of a fabric, in either direction."""
    along, across = facts.room[fabric]
    most, size = sorted((along, across or along)), sorted((width, height))
    return size[0] < most[0] + TOLERANCE and size[1] < most[1] + TOLERANCE


def list_roles(kind: UnitKind, way: Way) -> list[tuple[str, ...]]:
    """Return the fabrics for each of a way's cloths."""
    if kind.unit == "geese":
        return [kind.fabrics[:1], kind.fabrics[1:]]
    if kind.unit == "corners":
        return [kind.fabrics[:1], *((fabric,) for fabric in kind.fabrics[1:])]
    return [(fabric,) for fabric in kind.fabrics[: len(way.cloths)]]


def _is_exact(inches: float, step: float) -> bool:
    return abs(round_up(inches, step) - inches) < TOLERANCE


def _list_set_ways(kind: UnitKind, count: int, facts: Facts, width: float) -> tuple[Way, ...]:
    """Return single pieces, and strips sewn and cut across if their widths are on the ruler."""
    a, step = facts.allowance, facts.step
    cut = [width_ + 2 * a for width_ in kind.widths]
    segment = kind.size[1] + 2 * a
    ruled = round_up(segment, step)
    slope = sin(radians(kind.slant))
    lost = abs(cos(radians(kind.slant))) / slope * max(cut)  # of each strip's length, at its slanted ends
    pitch = ruled / slope
    squaring = facts.wishes.set_squaring + lost
    each = max(1, floor((width - lost + TOLERANCE) / pitch))
    n = len(cut)
    alone = sum(ceil(count / each) * round_up(side, step) for side in cut)
    single = Way(
        SINGLY, tuple(Cloths("strip", segment, side, 1) for side in cut), 1, count, 0, count * n, count * (n - 1),
        alone, ruled - segment,
    )  # fmt: skip
    if not all(_is_exact(side, step) for side in cut) or pitch > width - squaring + TOLERANCE:
        return (single,)
    sets = plan_strip_sets(cut, pitch, count, allowance=a, width=width, squaring=squaring).sets
    makes = ceil(count / sets)
    length = round_up(makes * pitch + squaring, step)
    length = length if length <= width else makes * pitch + squaring
    sewn = Way(
        SEWN_ACROSS, tuple(Cloths("strip", length, round_up(side, step), 1) for side in cut), makes, sets,
        sets * makes - count, sets * (n + makes), sets * (n - 1), sets * sum(round_up(side, step) for side in cut),
        ruled - segment,
    )  # fmt: skip
    return single, sewn


def _list_corner_ways(kind: UnitKind, count: int, facts: Facts, width: float) -> tuple[Way, ...]:
    """Return single pieces, and a rectangle with squares on its corners if all sizes are on the ruler."""
    a, step = facts.allowance, facts.step
    wide, high = kind.size[0] + 2 * a, kind.size[1] + 2 * a
    legs = [leg for leg in kind.legs if leg]
    body = Cloths("body", round_up(wide, step), round_up(high, step), 1)
    half = (2 + 2**0.5) * a
    apart = (body, *(Cloths("corner", leg + half, leg + half, 1) for leg in legs))
    single = Way(
        SINGLY, apart, 1, count, 0, count * (1 + 2 * len(legs)), count * len(legs),
        _count_cloth(apart, [1, *(0.5 for _ in legs)], count, step, width), 0.0,
    )  # fmt: skip
    if not all(_is_exact(size, step) for size in (wide, high, *(leg + 2 * a for leg in legs))):
        return (single,)
    squares = tuple(Cloths("corner", round_up(leg + 2 * a, step), round_up(leg + 2 * a, step), 1) for leg in legs)
    flipped = Way(
        FLIPPED, (body, *squares), 1, count, 0, count * (1 + 2 * len(legs)), count * len(legs),
        _count_cloth((body, *squares), [1.0] * (1 + len(legs)), count, step, width), 0.0,
    )  # fmt: skip
    return single, flipped


def _count_cloth(cloths: Sequence[Cloths], shares: Sequence[float], count: int, step: float, width: float) -> float:
    """Count strips, each kind of rectangle separately, as for half squares."""
    total = 0.0
    for cloth, share in zip(cloths, shares, strict=True):
        wide, high = round_up(cloth.width, step), round_up(cloth.height, step)
        total += ceil(ceil(count * share) / max(1, floor(width / wide + TOLERANCE))) * high
    return total


def _list_half_rectangle_ways(kind: UnitKind, count: int, facts: Facts, width: float) -> tuple[Way, ...]:
    """Return single pieces, and two rectangles laid diagonal on diagonal, both sides in the unit's own ratio.

    The rectangles are cut in the ratio of the unit: rounded side by side, the seam would not run from corner to corner
    any more. With their corners matched, the sharp end of one triangle lies on the blunt end of the other, so each
    side comes out shorter than that of two pieces whose seam lines are matched.
    """
    a, step = facts.allowance, facts.step
    wide, high = kind.size
    grown = 1 + 2 * a / (wide + high - hypot(wide, high))
    exact = tuple(Cloths(name, wide * grown, high * grown, 1) for name in ("first", "second"))
    batches = ceil(count / 2)
    cloth = _count_cloth(exact, [1.0, 1.0], batches, step, width)
    spare = 2 * batches - count
    single = Way(SINGLY, exact, 2, batches, spare, 4 * batches, 2 * batches, cloth, 0.0)
    long = hypot(wide, high)
    need = wide + 2 * a * (1 + high / long), high + 2 * a * (1 + wide / long)
    least = max(need[1], need[0] * high / wide)
    sizes = ((marks * step * wide / high, marks * step) for marks in range(ceil(least / step - TOLERANCE), MARKS))
    found = next((size for size in sizes if _is_exact(size[0], step)), None)
    if found is None or found[1] > least + MOST_OVER:
        return (single,)
    cut = tuple(Cloths(name, round_up(found[0], step), found[1], 1) for name in ("first", "second"))
    over = max(found[0] - need[0], found[1] - need[1])
    cloth = _count_cloth(cut, [1.0, 1.0], batches, step, width)
    two = Way("two at a time", cut, 2, batches, spare, 3 * batches, 2 * batches, cloth, max(0.0, round(over, 9)))
    return single, two
