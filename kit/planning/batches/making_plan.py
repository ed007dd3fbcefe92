"""Making: the units of a top made several at a time, and the cut shapes that replace their pieces.

Find the units, list the ways of each kind, take the named way or the choice of the wish, and put the squares and
strips of its batches into the cut list in place of their pieces.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import get_args

from kit.errors import NoPlanError
from kit.model.cutting import CutList
from kit.model.fabrics import Supply
from kit.model.making import SINGLY, Made, MadeUnit, MakingPlan, MakingWishes, UnitWays, Way, WayName
from kit.model.notices import Notice, notice
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan
from kit.planning.batches.allowed_ways import Facts, UnitsToMake, list_unit_ways, measure_room
from kit.planning.batches.batch_pieces import make_batches, replace_pieces, share_blanks
from kit.planning.batches.find_units import find_units, list_steps
from kit.planning.batches.ways_of_making import choose_way
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import divide_by_fabric

MOST_TRIED = 24
"""The number of kinds of unit tried in the cutting plan; further kinds stay single pieces."""
PREFIX, SLOTS = "U", 20
"""First letter in the names of units and of their cut shapes; with many slots a piece may share it."""
SHORT = 1e4
"""Square inches counted for a piece that cannot be cut."""
UNITS: tuple[MadeUnit, ...] = get_args(MadeUnit)
"""Every kind of unit that can be made several at a time."""


def make_singly(cuts: CutList, assignment: Mapping[str, str]) -> MakingPlan:
    """Return the plan without any unit made several at a time."""
    return MakingPlan((), divide_by_fabric(cuts, assignment), cuts.pieces)


def making_plan(
    patchwork: Patchwork,
    cuts: CutList,
    plan: SewingPlan,
    assignment: Mapping[str, str],
    supplies: Sequence[Supply],
    wishes: MakingWishes,
) -> MakingPlan:
    """Plan the units made several at a time, with their squares and strips.

    Parameters
    ----------
    patchwork, cuts
        The design and its cut list, by slot.
    plan
        The order of sewing: a batch can only make a part that is complete before anything is sewn to it.
    assignment
        Patch id -> fabric name.
    supplies
        The cloth of each fabric: batches have to fit it, and prints with a direction are left out.
    wishes
        The named ways, and the choice elsewhere.

    Raises
    ------
    NoPlanError
        A named way that is impossible for every unit of its kind.

    Notes
    -----
    Cloth of a way is counted in strips, way by way; the cutting plan then puts everything together.
    """
    directed = frozenset(s.fabric or s.slot for s in supplies if s.one_way or s.nap or s.repeat)
    slots = {supply.fabric or supply.slot: supply.slot for supply in supplies}
    facts = Facts(cuts.allowance, cuts.step, wishes, tuple(supplies), measure_room(supplies), slots)
    kinds = find_units(patchwork, cuts, plan, assignment, directed, sewn=wishes != MakingWishes())
    found = [
        UnitsToMake(kind, tuple(kinds[kind]), *list_unit_ways(kind, len(kinds[kind]), facts))
        for kind in sorted(kinds, key=lambda kind: (UNITS.index(kind.unit), kind.size, kind.fabrics, kind.legs))
    ]
    chosen = _choose(found, facts, cuts, assignment)
    choices = [
        UnitWays(
            one.kind.unit,
            one.kind.size,
            one.kind.fabrics,
            len(one.units),
            one.ways,
            way.name if way else SINGLY,
            one.why,
        )
        for one, way in zip(found, chosen, strict=True)
    ]
    _refuse_idle(choices, wishes)
    prefix = PREFIX if len(cuts.slots) < SLOTS else f"Z{PREFIX}"
    made: list[Made] = []
    for one, way in zip(found, chosen, strict=True):
        if way is not None and way.name != SINGLY:
            steps = list_steps(plan, [unit.patches for unit in one.units])
            made.append(replace(make_batches(f"{prefix}{len(made) + 1}", one, way, facts), sewn=steps))
    made = share_blanks(made, prefix)
    by_fabric, pieces = replace_pieces(cuts, made, assignment)
    return MakingPlan(
        tuple(made), by_fabric, pieces, tuple(choices), _list_assumptions(choices, made, wishes, directed)
    )


# Choosing


def _choose(
    found: Sequence[UnitsToMake], facts: Facts, cuts: CutList, assignment: Mapping[str, str]
) -> list[Way | None]:
    """Return for each kind the named way, or the choice of the wish; None if the named way is impossible."""
    wishes = facts.wishes
    chosen: list[Way | None] = []
    for one in found:
        named = wishes.find_way(one.kind.unit)
        if named is None and wishes.wish:
            chosen.append(choose_way(one.ways, wishes.wish))
        else:
            chosen.append(next((way for way in one.ways if way.name == named), None))
    if wishes.wish == "least cloth":
        _try_ways(found, chosen, facts, cuts, assignment)
    return chosen


def _try_ways(
    found: Sequence[UnitsToMake], chosen: list[Way | None], facts: Facts, cuts: CutList, assignment: Mapping[str, str]
) -> None:
    """If the wish decides, plan the cloth with each way in turn, from single pieces on, and keep the least.

    So the whole never takes more than single pieces, according to a quick plan.
    """
    free = [i for i, one in enumerate(found) if facts.wishes.find_way(one.kind.unit) is None]
    free.sort(key=lambda i: -len(found[i].units))
    for i in free:
        chosen[i] = next(way for way in found[i].ways if way.name == SINGLY)
    for i in free[:MOST_TRIED]:
        fabrics = frozenset(found[i].kind.fabrics)
        ways = [way for way in found[i].ways if not way.bias]
        takes: dict[str, tuple[float, int]] = {}
        for way in ways:
            trial = [*chosen[:i], way, *chosen[i + 1 :]]
            made = [
                make_batches(f"U{n}", one, one_way, facts)
                for n, (one, one_way) in enumerate(zip(found, trial, strict=True))
                if one_way is not None and one_way.name != SINGLY and fabrics.intersection(one.kind.fabrics)
            ]
            takes[way.name] = (_measure_cloth(cuts, made, assignment, fabrics, facts), way.cuts + way.seams)
        chosen[i] = min(ways, key=lambda way: takes[way.name])


def _measure_cloth(
    cuts: CutList, made: Sequence[Made], assignment: Mapping[str, str], fabrics: frozenset[str], facts: Facts
) -> float:
    """Return the square inches of some fabrics in a quick plan; missing pieces count heavily."""
    by_fabric, _ = replace_pieces(cuts, share_blanks(made, PREFIX), assignment)
    mine = [piece for piece in by_fabric.pieces if piece.fabric in fabrics]
    supplies = [supply for supply in facts.supplies if (supply.fabric or supply.slot) in fabrics]
    plan = cutting_plan(replace(by_fabric, pieces=tuple(mine)), supplies, effort="quick")
    taken = sum(strip.height * strip.length for cloth in plan.cloths for strip in cloth.strips)
    return round(taken + SHORT * sum(sum(cloth.short.values()) for cloth in plan.cloths), 6)


def _refuse_idle(choices: Sequence[UnitWays], wishes: MakingWishes) -> None:
    """Refuse a named way that is impossible for every unit of its kind, if the top has such units."""
    for unit in UNITS:
        mine = [choice for choice in choices if choice.unit == unit]
        named = wishes.find_way(unit)
        if named in (None, SINGLY) or not mine or any(choice.chosen == named for choice in mine):
            continue
        raise _refuse_way(unit, named, mine)


def _refuse_way(unit: MadeUnit, named: WayName | None, mine: Sequence[UnitWays]) -> NoPlanError:
    units = {
        "half-square": "half-square units", "quarter-square": "quarter-square units", "geese": "geese",
        "corners": "corner units", "strip set": "strip sets",
    }[unit]  # fmt: skip
    said = {
        "larger-than-cloth": "{way}: larger than the cloth",
        "two-skies": "{way}: both sides are not of one sky",
        "off-the-ruler": "sizes fall between two marks of the ruler",
    }
    against = next((choice.why for choice in mine if choice.why), ())
    why = "; ".join(said[one.kind].format(**dict(one.figures)) for one in against) or "there is no such way"
    held = ", ".join(dict.fromkeys(way.name for choice in mine for way in choice.ways))
    return NoPlanError(
        f"No {units} of this top can be made {named} ({why})", needed=f"one of: {held}", do="name another way"
    )


def _list_assumptions(
    choices: Sequence[UnitWays], made: Sequence[Made], wishes: MakingWishes, directed: frozenset[str]
) -> tuple[Notice, ...]:
    found = []
    for unit in UNITS:
        named = wishes.find_way(unit)
        if named not in (None, SINGLY) and all(choice.unit != unit for choice in choices):
            found.append(notice("no-such-part", unit=unit, way=named or SINGLY))
    if any(one.unit == "strip set" for one in made):
        found.append(notice("set-squaring", length=wishes.set_squaring))
    if made and wishes.oversize:
        found.append(notice("oversize", length=wishes.oversize))
    if directed and wishes != MakingWishes():
        found.append(notice("directed-print", fabrics=tuple(sorted(directed))))
    return tuple(found)
