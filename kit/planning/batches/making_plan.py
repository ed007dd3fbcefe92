"""Making: the units of a top made several at a time, and the cut shapes that replace their pieces.

Find the units, list the ways of each kind, take the named way or the choice of the wish, and put the squares and
strips of its batches into the cut list in place of their pieces.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import get_args

from kit.errors import NoPlanError
from kit.model.cutting import CutList
from kit.model.fabrics import Supply
from kit.model.making import (
    CUT_SECONDS,
    SEAM_SECONDS,
    SINGLY,
    BatchedUnit,
    Made,
    MakingPlan,
    MakingWishes,
    UnitWays,
    Way,
    WayName,
)
from kit.model.notices import Notice, notice
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan
from kit.planning.batches.allowed_ways import Facts, UnitsToMake, list_unit_ways, measure_room
from kit.planning.batches.batch_pieces import make_batches, replace_pieces, share_blanks
from kit.planning.batches.blunt_cuts import list_blunt_cuts
from kit.planning.batches.choosing import PREFIX, ClothMeasure, choose_families, choose_ways
from kit.planning.batches.find_units import find_units, list_steps
from kit.planning.batches.loop_batches import LOOPS, make_family
from kit.planning.batches.rows_of_strips import find_strip_rows
from kit.planning.pieces.cut_list import divide_by_fabric

SLOTS = 20
"""With more slots a piece may begin with the letter of the units, and units take two letters."""
UNITS: tuple[BatchedUnit, ...] = get_args(BatchedUnit)
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
    pace: tuple[float, float] = (CUT_SECONDS, SEAM_SECONDS),
    papers: tuple[Sequence[Made], Sequence[UnitWays]] = ((), ()),
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
    pace
        Seconds for a cut and for a seam.
    papers
        The blocks that are sewn on paper, and the prices of those that may be.

    Raises
    ------
    NoPlanError
        A named way that is impossible for every unit of its kind.

    Notes
    -----
    Cloth of a way is counted in strips, way by way; the cutting plan then puts everything together.
    """
    directed = frozenset(s.fabric or s.slot for s in supplies if not s.takes_turns or s.print_repeat)
    slots = {supply.fabric or supply.slot: supply.slot for supply in supplies}
    facts = Facts(cuts.allowance, cuts.step, wishes, tuple(supplies), measure_room(supplies), slots, pace)
    cloths = ClothMeasure(facts, cuts, assignment)
    prefix = choose_prefix(cuts)
    on_paper = frozenset(patch for one in papers[0] for unit in one.units for patch in unit)
    found_rows = find_strip_rows(patchwork, cuts, plan, assignment, directed)
    rows = [row for row in found_rows if on_paper.isdisjoint(row.patches)]
    families, choices = choose_families(rows, cloths)
    made = [replace(one, id=f"{prefix}{number}") for number, one in enumerate(papers[0], start=1)]
    choices = [*papers[1], *choices]
    made += [make_family(f"{prefix}{number}", sets, facts) for number, sets in enumerate(families, start=len(made) + 1)]
    taken = frozenset(patch for one in made for unit in one.units for patch in unit)
    kinds = find_units(patchwork, cuts, plan, assignment, directed, sewn=wishes.has_batches, taken=taken)
    found = [
        UnitsToMake(kind, tuple(kinds[kind]), *list_unit_ways(kind, len(kinds[kind]), facts))
        for kind in sorted(kinds, key=lambda kind: (UNITS.index(kind.unit), kind.size, kind.fabrics, kind.legs))
    ]
    chosen = choose_ways(found, made, cloths)
    if wishes.wish is None:
        _leave_few(found, chosen, plan, wishes)
    for one, way in zip(found, chosen, strict=True):
        name = way.name if way else SINGLY
        kind = one.kind
        choices.append(UnitWays(kind.unit, kind.size, kind.fabrics, len(one.units), one.ways, name, one.why))
        if way is not None and name != SINGLY:
            made.append(make_batches(f"{prefix}{len(made) + 1}", one, way, facts))
    _refuse_idle(choices, wishes)
    made = share_blanks([replace(one, sewn=list_steps(plan, one.units)) for one in made], prefix)
    by_fabric, pieces = replace_pieces(cuts, made, assignment)
    return MakingPlan(
        tuple(made), by_fabric, pieces, tuple(choices), _list_assumptions(choices, made, wishes, directed),
        list_blunt_cuts(by_fabric, supplies) if wishes.points == "blunt" else (),
    )  # fmt: skip


def choose_prefix(cuts: CutList) -> str:
    """Return the letters with which the names of units and of their cut shapes begin."""
    return PREFIX if len(cuts.slots) < SLOTS else f"Z{PREFIX}"


def _leave_few(found: Sequence[UnitsToMake], chosen: list[Way | None], plan: SewingPlan, wishes: MakingWishes) -> None:
    """Leave units single where batches would make less than half of those that one step sews alike.

    A step in which some copies come ready and most are still to be sewn is harder to follow than one for all of them.
    """
    copies = {unit.name: unit.count for unit in plan.units}
    whole = {step.number: copies[step.unit] for step in plan.steps}
    free = [i for i, one in enumerate(found) if wishes.find_way(one.kind.unit) is None]
    taken = [i for i in free if (way := chosen[i]) is not None and way.name != SINGLY]
    steps = {i: list_steps(plan, [unit.patches for unit in found[i].units]) for i in taken}
    ready = Counter[int]()
    for done in steps.values():
        ready.update(dict(done))
    for i in taken:
        if any(2 * ready[number] < whole[number] for number, _ in steps[i]):
            chosen[i] = next(way for way in found[i].ways if way.name == SINGLY)


# What is said


def _refuse_idle(choices: Sequence[UnitWays], wishes: MakingWishes) -> None:
    """Refuse a named way that is impossible for every unit of its kind, if the top has such units."""
    for unit in UNITS:
        mine = [choice for choice in choices if choice.unit == unit]
        named = wishes.find_way(unit)
        if named in (None, SINGLY, LOOPS) or not mine or any(choice.chosen == named for choice in mine):
            continue
        raise _refuse_way(unit, named, mine)


def _refuse_way(unit: BatchedUnit, named: WayName | None, mine: Sequence[UnitWays]) -> NoPlanError:
    units = {
        "half-square": "half-square units", "quarter-square": "quarter-square units",
        "half-rectangle": "half-rectangle units", "geese": "geese", "corners": "corner units",
        "strip set": "strip sets",
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
    if directed and wishes.has_batches:
        found.append(notice("directed-print", fabrics=tuple(sorted(directed))))
    return tuple(found)
