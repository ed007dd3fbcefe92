"""What each way of putting a top together costs: in pieces, written steps, seams, cloth and minutes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import get_args

from kit.errors import NoPlanError, PatchworkError
from kit.model.assemblies import AssemblyPrice
from kit.model.cutting import ClothWishes, CutList
from kit.model.fabrics import Supply
from kit.model.patchwork import Patchwork
from kit.model.sewing import Assembly, SewingPlan
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.pieces.cut_list import cut_list, divide_by_fabric
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.planning.sewing.splitting import split_as_told, split_patches
from kit.progress import Progress, keep_quiet, report

WAYS: tuple[Assembly, ...] = get_args(Assembly)


@dataclass(frozen=True)
class AssemblyFacts:
    """What prices follow from beside the design.

    Attributes
    ----------
    patchwork
        The design as it was made, before any patch is split.
    step
        Cut sizes are rounded up to a multiple of this, inches.
    assignment
        Patch id -> fabric name.
    supplies
        The cloth of each fabric.
    cloth
        The wishes for the cutting.
    chosen
        How the pattern goes together; None if its patches are split for straight seams.
    cut_seconds, seam_seconds
        The maker's time for one cut and one seam, pressing included.
    """

    patchwork: Patchwork
    step: float
    assignment: Mapping[str, str]
    supplies: Sequence[Supply]
    cloth: ClothWishes
    chosen: Assembly | None
    cut_seconds: float
    seam_seconds: float


@dataclass(frozen=True)
class AssemblyPricer:
    """Prices the ways of putting a top together when it is called; two of one design are equal."""

    facts: AssemblyFacts

    def __call__(self, progress: Progress = keep_quiet) -> tuple[AssemblyPrice, ...]:
        """Return the price of each way."""
        return price_assemblies(self.facts, progress)


def price_assemblies(facts: AssemblyFacts, progress: Progress = keep_quiet) -> tuple[AssemblyPrice, ...]:
    """Price every way of putting a top together, and beside them straight seams only.

    Each way is planned in full. Every piece is cut singly, so that the ways compare seam by seam; units made several
    at a time lower all of them.

    Parameters
    ----------
    facts
        The design, its colours and cloth, and the maker's speeds.
    progress
        Told each way, how many are done, and how many there are; a stop leaves no prices.

    Returns
    -------
    tuple
        One price for each way; where it cannot be done, with the reason.

    Notes
    -----
    The time of one plan for each way, and two quick plans of the cloth.
    """
    pieces = cut_list(facts.patchwork, facts.step)
    cloth = _measure_cloth(pieces, facts, facts.assignment)
    found = []
    best: SewingPlan | None = None
    for number, way in enumerate(WAYS):
        report(progress, way, number, len(WAYS) + 1)
        try:
            plan = best if best and way == "as composed" else sewing_plan(facts.patchwork, pieces, way)
        except NoPlanError as error:
            found.append(AssemblyPrice(way, refused=error.found))
            continue
        best = best or plan
        price = _price(AssemblyPrice(way, chosen=way == facts.chosen), pieces, plan, facts)
        found.append(replace(price, cloth=cloth))
    report(progress, "straight seams only", len(WAYS), len(WAYS) + 1)
    plan = best or sewing_plan(facts.patchwork, pieces)
    return (*found, _price_straight(facts, pieces, plan, cloth))


def _price_straight(facts: AssemblyFacts, pieces: CutList, plan: SewingPlan, cloth: float) -> AssemblyPrice:
    """Price the top with patches split wherever a seam does not run straight through."""
    price = AssemblyPrice("straight seams only", chosen=facts.chosen is None)
    try:
        alternative = split_patches(facts.patchwork, plan)
        if alternative is None:
            return replace(_price(price, pieces, plan, facts), cloth=cloth)
        patchwork = split_as_told(facts.patchwork, alternative).verify()
        split = cut_list(patchwork, facts.step)
        plan = sewing_plan(patchwork, split)
    except (NoPlanError, PatchworkError) as error:
        return replace(price, refused=error.found)
    of = {part: patch for patch, parts in alternative.splits for part in _name_parts(patch, len(parts))}
    assignment = {patch.id: facts.assignment[of.get(patch.id, patch.id)] for patch in patchwork.patches}
    return replace(_price(price, split, plan, facts), cloth=_measure_cloth(split, facts, assignment))


def _name_parts(patch: str, count: int) -> list[str]:
    return [f"{patch}-{chr(97 + k)}" for k in range(count)]


def _price(price: AssemblyPrice, pieces: CutList, plan: SewingPlan, facts: AssemblyFacts) -> AssemblyPrice:
    """Return a price with the figures of a plan."""
    copies = {unit.name: unit.count for unit in plan.units}
    seams = sum(copies[step.unit] for step in plan.steps if step.kind != "trim")
    minutes = (pieces.count * facts.cut_seconds + seams * facts.seam_seconds) / 60
    return replace(
        price,
        pieces=pieces.count,
        written=len(plan.written),
        seams=seams,
        partial=plan.partial_seams,
        set_in=plan.set_in_seams,
        minutes=minutes,
    )


def _measure_cloth(pieces: CutList, facts: AssemblyFacts, assignment: Mapping[str, str]) -> float:
    """Return the inches off the bolt that pieces need."""
    plan = cutting_plan(divide_by_fabric(pieces, assignment), facts.supplies, effort="quick", wishes=facts.cloth)
    return sum(cloth.used for cloth in plan.cloths if cloth.supply.form == "yardage")
