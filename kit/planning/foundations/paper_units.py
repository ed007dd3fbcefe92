"""Units of a pattern that are sewn on paper: their papers and rectangles, and what that costs beside single pieces."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import shapely

from kit.errors import NoPlanError
from kit.geometry.outlines import TOLERANCE, measure_box
from kit.model.cutting import CutList, Piece
from kit.model.fabrics import Supply
from kit.model.foundations import FoundationPlan, PaperPiece
from kit.model.making import ON_PAPER, SINGLY, Cloths, Made, MakingWishes, UnitWays, Way
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan
from kit.model.units import Unit
from kit.planning.batches.batch_pieces import cut_blank, leave_out
from kit.planning.batches.find_units import list_steps
from kit.planning.batches.making_plan import choose_prefix
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.foundations.foundation_plan import foundation_plan
from kit.planning.pieces.cut_list import divide_by_fabric
from kit.progress import Progress, keep_quiet

MOST = 60
"""The most patches of a unit that is priced on paper without being named."""
COARSE = 2
"""Rectangles are rounded up to so many steps of the ruler: fewer sizes to cut, a hair more cloth (own judgement)."""
OFF_GRAIN = 1.0
"""Degrees: less is a slip of the hand."""


@dataclass(frozen=True)
class PaperFacts:
    """What papers follow from: design, order of sewing, cloth, and the maker's seconds for a cut and for a seam."""

    patchwork: Patchwork
    cuts: CutList
    plan: SewingPlan
    assignment: Mapping[str, str]
    supplies: Sequence[Supply]
    wishes: MakingWishes
    pace: tuple[float, float]


def plan_paper_units(
    facts: PaperFacts, progress: Progress = keep_quiet
) -> tuple[tuple[Made, ...], tuple[UnitWays, ...]]:
    """Plan the units that a study wants on paper, and price them and those that hold a template beside single pieces.

    One plan of papers serves every copy of a unit; copies that differ in their fabrics have rectangles of their own.

    Parameters
    ----------
    facts
        What papers follow from.
    progress
        Told how many parts of a unit were tried; a stop leaves no plan.

    Returns
    -------
    tuple
        The units on paper, and the ways of each kind of unit.

    Raises
    ------
    NoPlanError
        A name that no unit has; a unit inside another one that is sewn on paper; a patch that is sewn larger; a print
        with a direction; an order of sewing that does not make the unit on its own.

    Notes
    -----
    The time of `foundation_plan` for each unit, and two quick plans of its cloth.
    """
    tree = [unit for unit in facts.patchwork.units.list_all()[:-1] if unit.size > 1]
    named = [_find_named(name, tree) for name in facts.wishes.on_paper]
    _refuse_nested(named)
    made: list[Made] = []
    choices: list[UnitWays] = []
    prefix = choose_prefix(facts.cuts)
    for unit in (*named, *_list_templates(tree, named, facts.cuts)):
        wanted = unit in named
        if wanted:
            _refuse_unfit(unit, facts)
        plan = foundation_plan(
            facts.patchwork, unit.name, ease=facts.cuts.allowance, step=COARSE * facts.cuts.step, progress=progress
        )
        for one in _make_units(unit, plan, facts, prefix):
            choices.append(_price(one, facts, ON_PAPER if wanted else SINGLY))
            made += [replace(one, id=f"{prefix}{len(made) + 1}")] if wanted else []
    return tuple(made), tuple(choices)


# Which units


def _find_named(name: str, tree: Sequence[Unit]) -> Unit:
    for unit in tree:
        if unit.name == name:
            return unit
    known = ", ".join(dict.fromkeys(unit.name for unit in tree))
    raise NoPlanError(
        f"There is no unit `{name}` to sew on paper",
        needed=f"one of {known}" if known else "a design with units",
        do="name one of these in `on_paper`, or leave the key out" if known else "leave `on_paper` out",
    )


def _refuse_nested(named: Sequence[Unit]) -> None:
    owner: dict[str, str] = {}
    for unit in named:
        for patch in (patch for copy in unit.patches for patch in copy):
            if patch in owner:
                raise NoPlanError(
                    f"The units `{owner[patch]}` and `{unit.name}` on paper share the patch `{patch}`",
                    needed="every patch on one paper",
                    do="name one of the two in `on_paper`",
                )
            owner[patch] = unit.name


def _refuse_unfit(unit: Unit, facts: PaperFacts) -> None:
    """Refuse a unit that paper cannot give as the pattern needs it."""
    patches = [patch for copy in unit.patches for patch in copy]
    large = next((patch for patch in patches if facts.patchwork.by_id[patch].sewn is not None), "")
    if large:
        raise NoPlanError(
            f"Patch `{large}` of the unit `{unit.name}` is sewn larger and trimmed later",
            needed="patches of their finished size on paper",
            do="leave the unit out of `on_paper`, or its `oversize` out of the design",
        )
    used = {facts.assignment[patch] for patch in patches}
    turned = [
        supply.fabric or supply.slot
        for supply in facts.supplies
        if (not supply.takes_turns or supply.print_repeat) and (supply.fabric or supply.slot) in used
    ]
    if turned:
        raise NoPlanError(
            f"The print of {turned[0]} has a direction, and rectangles on paper lie along their seams",
            needed="cloth that may lie in any direction",
            do=f"leave the unit `{unit.name}` out of `on_paper`, or give it another fabric",
        )
    joins = {step.number for step in facts.plan.steps if step.second}
    seams = sum(count for number, count in list_steps(facts.plan, unit.patches) if number in joins)
    if seams != unit.copies * (unit.size - 1) or not _is_made(unit, facts.plan):
        raise NoPlanError(
            f"The order of sewing does not make the unit `{unit.name}` on its own",
            needed="a unit that is whole before it is sewn to anything",
            do='leave it out of `on_paper`, or set assembly = "as composed" in [sewing]',
        )


def _is_made(unit: Unit, plan: SewingPlan) -> bool:
    """Return True if a step ends with every copy of a unit as a part of its own."""
    wanted = {frozenset(copy) for copy in unit.patches}
    for step in plan.steps:
        if len(step.first) + len(step.second) != unit.size:
            continue
        mine = next(one for one in plan.units if one.name == step.unit)
        place = {patch: i for i, patch in enumerate(mine.copies[0])}
        spots = [place[patch] for patch in (*step.first, *step.second)]
        wanted -= {frozenset(copy[i] for i in spots) for copy in mine.copies}
    return not wanted


def _list_templates(tree: Sequence[Unit], named: Sequence[Unit], cuts: CutList) -> Iterator[Unit]:
    """Yield the innermost units that hold a template: those that a maker may want on paper."""
    gone = {patch for unit in named for copy in unit.patches for patch in copy}
    seen: set[str] = set()
    for unit in tree:
        here = unit.patches[0]
        if not 2 < unit.size <= MOST or any(not gone.isdisjoint(copy) for copy in unit.patches):
            continue
        if any(cuts.piece_of[patch].kind == "template" for patch in here) and seen.isdisjoint(here):
            seen.update(patch for copy in unit.patches for patch in copy)
            yield unit


# Rectangles


def _make_units(unit: Unit, plan: FoundationPlan, facts: PaperFacts, prefix: str) -> Iterator[Made]:
    """Yield the copies of a unit on paper, those of the same fabrics together."""
    slots = {supply.fabric or supply.slot: supply.slot for supply in facts.supplies}
    place = {patch: i for i, patch in enumerate(unit.patches[0])}
    pieces = [piece for section in plan.sections for piece in section.pieces]
    order = [place[piece.patch] for piece in pieces]
    groups: dict[tuple[str, ...], list[int]] = {}
    for number, copy in enumerate(unit.patches):
        groups.setdefault(tuple(facts.assignment[copy[i]] for i in order), []).append(number)
    left, bottom, right, top = measure_box(plan.block)
    for fabrics, members in groups.items():
        kinds = [(fabric, *_measure(piece)) for fabric, piece in zip(fabrics, pieces, strict=True)]
        each = Counter(kinds)
        blanks = list(each)
        copies = len(members)
        yield Made(
            f"{prefix}0", "block", ON_PAPER, (right - left, top - bottom), fabrics,
            tuple(tuple(unit.patches[n][i] for i in order) for n in members),
            tuple(
                cut_blank(f"{prefix}0{n}", (fabric, slots[fabric]), (long, short), (long, short),
                          each[fabric, long, short] * copies)
                for n, (fabric, long, short) in enumerate(blanks)
            ),
            tuple((long, short) for _, long, short in blanks), tuple(each[kind] for kind in blanks),
            tuple(blanks.index(kind) for kind in kinds), copies, 1, 0.0, bias=_lies_off_grain(plan),
            cuts=copies * _count_cuts(plan), seams=copies * (len(pieces) - 1),
            papers=_dress(plan, fabrics, copies, sum(unit.placings[n].mirrored for n in members)), name=unit.name,
        )  # fmt: skip


def _measure(piece: PaperPiece) -> tuple[float, float]:
    return max(piece.width, piece.height), min(piece.width, piece.height)


def _count_cuts(plan: FoundationPlan) -> int:
    """Return the cuts for one block: its rectangles, the allowance of every seam, and round every paper."""
    rectangles = len(plan.target)
    return 2 * rectangles - len(plan.sections) + sum(len(section.outline) for section in plan.sections)


def _lies_off_grain(plan: FoundationPlan) -> bool:
    """Return True if a piece at the edge of the block lies off its grain."""
    edge, outlines = shapely.LinearRing(plan.block), dict(plan.target)
    for piece in (piece for section in plan.sections for piece in section.pieces):
        corners = outlines[piece.patch]
        edges = zip(corners, (*corners[1:], corners[0]), strict=True)
        middles = [((ax + bx) / 2, (ay + by) / 2) for (ax, ay), (bx, by) in edges]
        if piece.grain > OFF_GRAIN and any(edge.distance(shapely.Point(one)) < TOLERANCE for one in middles):
            return True
    return False


def _dress(plan: FoundationPlan, fabrics: Sequence[str], copies: int, mirrored: int) -> FoundationPlan:
    """Return papers with the fabric of each piece in the place of its slot."""
    left = list(fabrics)
    sections = tuple(
        replace(section, pieces=tuple(replace(piece, slot=left.pop(0)) for piece in section.pieces))
        for section in plan.sections
    )
    return replace(plan, sections=sections, copies=copies, mirrored=mirrored)


# Prices


def _price(made: Made, facts: PaperFacts, chosen: str) -> UnitWays:
    """Return the ways of making a unit: piece by piece, and on paper."""
    fabrics = frozenset(made.fabrics)
    seams = len(made.units) * (len(made.uses) - 1)
    mine = {patch for unit in made.units for patch in unit}
    others = frozenset(facts.assignment) - mine
    left = [leave_out(piece, others) for piece in facts.cuts.pieces]
    single = divide_by_fabric(
        replace(facts.cuts, pieces=tuple(piece for piece in left if piece.count)), facts.assignment
    ).pieces
    count = sum(piece.count for piece in single)
    bias = any(piece.outside_bias for piece in single)
    ways = (
        Way(SINGLY, (), 1, len(made.units), 0, count, seams, _take_cloth(single, fabrics, facts), 0.0, bias,
            _take_minutes(facts, count, seams)),
        Way(ON_PAPER, tuple(Cloths("rectangle", *size, each) for size, each in zip(made.sizes, made.each, strict=True)),
            1, made.batches, 0, made.cuts, made.seams, _take_cloth(made.blanks, fabrics, facts), 0.0, made.bias,
            _take_minutes(facts, made.cuts, made.seams)),
    )  # fmt: skip
    return UnitWays("block", made.size, made.fabrics, len(made.units), ways, ON_PAPER if chosen == ON_PAPER else SINGLY,
                    name=made.name)  # fmt: skip


def _take_minutes(facts: PaperFacts, cuts: int, seams: int) -> float:
    return (cuts * facts.pace[0] + seams * facts.pace[1]) / 60


def _take_cloth(pieces: Sequence[Piece], fabrics: frozenset[str], facts: PaperFacts) -> float:
    """Return the inches off the bolt that pieces need in a quick plan of their own."""
    supplies = [supply for supply in facts.supplies if (supply.fabric or supply.slot) in fabrics]
    plan = cutting_plan(replace(facts.cuts, pieces=tuple(pieces)), supplies, effort="quick")
    return sum(cloth.used for cloth in plan.cloths if cloth.supply.form == "yardage")
