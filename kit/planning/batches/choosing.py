"""Choosing: the way of making each kind of unit, as named, by a wish for cloth or cuts, or by work against cloth."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kit.model.cutting import CutList
from kit.model.making import SINGLY, Made, UnitWays, Way, WayName
from kit.planning.batches.allowed_ways import Facts, UnitsToMake
from kit.planning.batches.batch_pieces import make_batches, replace_pieces, share_blanks
from kit.planning.batches.loop_batches import LOOPS, PlannedSets, list_family_ways, make_family, plan_family
from kit.planning.batches.rows_of_strips import StripRow
from kit.planning.batches.strip_families import list_families
from kit.planning.batches.ways_of_making import choose_way
from kit.planning.cutting.cutting_plan import cutting_plan

MOST_TRIED = 24
"""The number of kinds of unit tried in the cutting plan; further kinds stay single pieces."""
PREFIX = "U"
"""First letter in the names of units and of their cut shapes."""
SHORT = 1e4
"""Square inches counted for a piece that cannot be cut."""
WORTH = 2.0
"""Minutes of work that an inch of cloth, the whole width, is worth: own judgement, no source. At 12 for a yard an inch
costs 1/3, two minutes at 10 an hour."""
SETTING_UP = 5.0
"""Minutes that units of one shape, or one kind of strip set, have to save besides, for reading and laying out: own
judgement, no source."""


@dataclass(frozen=True)
class ClothMeasure:
    """What cloth is measured with: the conditions, the cut list, and the fabric of each patch."""

    facts: Facts
    cuts: CutList
    assignment: Mapping[str, str]

    def measure(self, made: Sequence[Made], fabrics: frozenset[str]) -> float:
        """Return the square inches of some fabrics in a quick plan; missing pieces count heavily."""
        by_fabric, _ = replace_pieces(self.cuts, share_blanks(made, PREFIX), self.assignment)
        mine = [piece for piece in by_fabric.pieces if piece.fabric in fabrics]
        supplies = [supply for supply in self.facts.supplies if (supply.fabric or supply.slot) in fabrics]
        plan = cutting_plan(replace(by_fabric, pieces=tuple(mine)), supplies, effort="quick")
        taken = sum(strip.height * strip.length for cloth in plan.cloths for strip in cloth.strips)
        return round(taken + SHORT * sum(sum(cloth.short.values()) for cloth in plan.cloths), 6)

    def weigh(self, way: Way, singly: Way, more: float, fabrics: frozenset[str]) -> float:
        """Return the minutes that a way saves on single pieces, less what its further cloth is worth."""
        if way.name == SINGLY:
            return 0.0
        width = min(self.facts.room[fabric][0] for fabric in fabrics)
        return round(singly.minutes - way.minutes - WORTH * max(0.0, more) / width, 6)


# Strip sets with segments of their own


def choose_families(rows: Sequence[StripRow], cloths: ClothMeasure) -> tuple[list[PlannedSets], list[UnitWays]]:
    """Choose the strip sets and loops that many rows come out of, the one that saves the most work first.

    Returns
    -------
    tuple
        The sets that are made, and the ways of each that was tried.
    """
    facts = cloths.facts
    taken: list[PlannedSets] = []
    choices: list[UnitWays] = []
    left = list(rows)
    while len(choices) < MOST_TRIED:
        best: tuple[float, PlannedSets, Way, Way] | None = None
        for family in list_families(left):
            sets = plan_family(family, facts)
            if sets is None:
                continue
            single, sewn = list_family_ways(sets, facts)
            saved = single.minutes - sewn.minutes
            if saved > max(0.0, best[0] if best else 0.0):
                best = saved, sets, single, sewn
        if best is None:
            break
        _, sets, single, sewn = best
        gone = {row.patches for row, _ in sets.family.rows}
        left = [row for row in left if row.patches not in gone]
        if sets.family.plain:
            continue  # segments that are all alike: rows of one kind
        chosen = sewn.name if _is_taken(sets, single, sewn, taken, cloths) else SINGLY
        taken += [sets] if chosen != SINGLY else []
        size = sum(side for _, side in sets.family.strips), max(row.height for row, _ in sets.family.rows)
        fabrics = tuple(fabric for fabric, _ in sets.family.strips)
        choices.append(UnitWays("strip set", size, fabrics, len(gone), (single, sewn), chosen))
    return taken, choices


def _is_taken(sets: PlannedSets, single: Way, sewn: Way, taken: Sequence[PlannedSets], cloths: ClothMeasure) -> bool:
    wishes = cloths.facts.wishes
    if wishes.strip_sets is not None or wishes.is_singly:
        return wishes.strip_sets == LOOPS
    if wishes.wish == "fewest cuts":
        return sewn.cuts < single.cuts
    fabrics = frozenset(fabric for fabric, _ in sets.family.strips)
    made = [make_family(f"{PREFIX}{n}", one, cloths.facts) for n, one in enumerate(taken)]
    with_it = [*made, make_family(f"{PREFIX}{len(made)}", sets, cloths.facts)]
    more = cloths.measure(with_it, fabrics) - cloths.measure(made, fabrics)
    if wishes.wish == "least cloth":
        return more <= 0
    return cloths.weigh(sewn, single, more, fabrics) > SETTING_UP


# Units of one kind


def choose_ways(found: Sequence[UnitsToMake], sets: Sequence[Made], cloths: ClothMeasure) -> list[Way | None]:
    """Return for each kind of unit the named way, or what the wish chooses; None if the named way is impossible.

    Parameters
    ----------
    found
        The kinds with their ways.
    sets
        The strip sets that are made already.
    cloths
        What cloth is measured with.
    """
    wishes = cloths.facts.wishes
    chosen: list[Way | None] = []
    for one in found:
        named = wishes.find_way(one.kind.unit)
        if named == LOOPS:
            named = None  # loops are chosen by now; other strip sets as elsewhere
        if named is None and wishes.wish:
            chosen.append(choose_way(one.ways, wishes.wish))
        else:
            chosen.append(next((way for way in one.ways if way.name == (named or SINGLY)), None))
    if wishes.wish != "fewest cuts":
        _try_ways(found, chosen, sets, cloths)
    return chosen


def _try_ways(
    found: Sequence[UnitsToMake], chosen: list[Way | None], sets: Sequence[Made], cloths: ClothMeasure
) -> None:
    """Where a choice is left, plan the cloth with each way in turn, from single pieces on, and keep the best.

    With the wish for the least cloth the whole never takes more than single pieces, according to a quick plan. Without
    a wish, units of one size that differ in their fabrics alone are made in one way, and set up together.
    """
    wishes = cloths.facts.wishes
    free = [i for i, one in enumerate(found) if wishes.find_way(one.kind.unit) in (None, LOOPS)]
    free.sort(key=lambda i: -len(found[i].units))
    for i in free:
        chosen[i] = _find_single(found[i])
    tried = free[:MOST_TRIED]
    if wishes.wish == "least cloth":
        for i in tried:
            takes = _measure_ways(i, found, chosen, sets, cloths)
            chosen[i] = min(takes, key=lambda way: (takes[way], way.cuts + way.seams))
        return
    alike: dict[object, list[int]] = {}
    for i in tried:
        kind = found[i].kind
        alone = kind.fabrics if kind.unit == "strip set" else ()
        alike.setdefault((kind.unit, kind.size, kind.legs, kind.widths, kind.slant, kind.rising, alone), []).append(i)
    for members in alike.values():
        _choose_together(members, found, chosen, sets, cloths)


def _choose_together(
    members: Sequence[int],
    found: Sequence[UnitsToMake],
    chosen: list[Way | None],
    sets: Sequence[Made],
    cloths: ClothMeasure,
) -> None:
    """Choose one way for units that differ in their fabrics alone; where it costs too much, one stays single.

    A few that are made in another way than their like have to be set up too, so they follow unless that costs more.
    """
    saved: dict[WayName, dict[int, float]] = {}
    ways: dict[tuple[WayName, int], Way] = {}
    for i in members:
        single = _find_single(found[i])
        fabrics = frozenset(found[i].kind.fabrics)
        hopeful = [
            way for way in found[i].ways if not way.bias and cloths.weigh(way, single, 0.0, fabrics) > -SETTING_UP
        ]
        hopeful.remove(single)
        if not hopeful:
            continue
        takes = _measure_ways(i, found, chosen, sets, cloths, (single, *hopeful))
        for way in hopeful:
            minutes = cloths.weigh(way, single, takes[way] - takes[single], fabrics)
            if minutes > -SETTING_UP:
                saved.setdefault(way.name, {})[i] = minutes
                ways[way.name, i] = way
    best = max(saved, key=lambda name: (sum(saved[name].values()), name), default=None)
    if best is None or sum(saved[best].values()) <= SETTING_UP:
        return
    for i in saved[best]:
        chosen[i] = ways[best, i]


def _find_single(one: UnitsToMake) -> Way:
    return next(way for way in one.ways if way.name == SINGLY)


def _measure_ways(
    i: int,
    found: Sequence[UnitsToMake],
    chosen: Sequence[Way | None],
    sets: Sequence[Made],
    cloths: ClothMeasure,
    ways: Sequence[Way] = (),
) -> dict[Way, float]:
    """Return the cloth of each way of one kind, with the others as they are chosen."""
    fabrics = frozenset(found[i].kind.fabrics)
    takes: dict[Way, float] = {}
    for way in ways or [way for way in found[i].ways if not way.bias]:
        trial = [*chosen[:i], way, *chosen[i + 1 :]]
        made = [
            make_batches(f"{PREFIX}{n}", one, one_way, cloths.facts)
            for n, (one, one_way) in enumerate(zip(found, trial, strict=True))
            if one_way is not None and one_way.name != SINGLY and fabrics.intersection(one.kind.fabrics)
        ]
        takes[way] = cloths.measure([*sets, *made], fabrics)
    return takes
