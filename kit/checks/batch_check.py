"""The check of a making plan: only from plan, design and steps, with every batch rehearsed and no planner's code."""

from collections import Counter
from collections.abc import Mapping, Sequence

from kit.checks.foundation_check import check_foundation_plan
from kit.errors import CheckError
from kit.geometry.outlines import Outline
from kit.model.cutting import CutList
from kit.model.making import Made, MakingPlan
from kit.model.patchwork import Patchwork
from kit.model.sewing import SewingPlan
from kit.rehearsal.batch_rehearsal import find_unlike, rehearse_batch
from kit.rehearsal.flat_cloth import CannotMakeError, ClothSheet
from kit.rehearsal.paper_sewing import find_wrong_on_paper

LINES: Mapping[tuple[str, str], int] = {
    ("half-square", "two at a time"): 2, ("half-square", "four at a time"): 4, ("half-square", "eight at a time"): 4,
    ("half-square", "stitch and flip"): 1, ("quarter-square", "two at a time"): 4,
    ("half-rectangle", "two at a time"): 2, ("geese", "four at a time"): 6, ("geese", "stitch and flip"): 2,
}  # fmt: skip
"""Lines of sewing for one batch, by unit and way: both sides of a diagonal are two. Common practice, no source."""
SLIP = 1e-4
"""Inches: the tolerance between two figures."""


def check_making_plan(
    patchwork: Patchwork,
    cuts: CutList,
    steps: SewingPlan,
    assignment: Mapping[str, str],
    plan: MakingPlan,
    placed: Mapping[str, Outline] | None = None,
) -> None:
    """Refuse a making plan that does not give the units of the top.

    Every batch is rehearsed with its printed sizes, and each resulting unit is laid on every unit of its kind in the
    top: fabrics in place, not turned over. No patch is in two units. The steps make each unit a separate part, and
    no step outside a unit counts as done. Blanks and units add up to the batches; cut pieces and batch units add up
    to the cut list. Printed steps are numbered 1, 2, 3 and so on; units that come ready whole have no number.

    Parameters
    ----------
    patchwork, cuts, steps, assignment
        The design, its cut list, the order of sewing, and the fabric of each patch.
    plan
        The plan.
    placed
        The place of each patch in the rehearsal of the steps, for the comparison; None: its place in the design.

    Raises
    ------
    CheckError
        Names the unit and both figures.
    """
    shapes = placed or {patch.id: patch.outline for patch in patchwork.patches}
    owner: dict[str, str] = {}
    for made in plan.made:
        for unit in made.units:
            for patch in unit:
                if patch in owner:
                    raise CheckError(f"Patch `{patch}` is in units of {owner[patch]} and of {made.id}")
                owner[patch] = made.id
        _check_amount(made, cuts)
        check = _check_papers if made.unit == "block" else _check_units
        check(made, shapes, assignment, cuts.allowance)
    _check_parts(plan, steps)
    _check_printed(plan, steps)
    _check_list(cuts, assignment, plan, owner)


def _check_amount(made: Made, cuts: CutList) -> None:
    if made.batches < 1 or made.makes < 1 or made.spare < 0 or made.spare >= made.makes * made.batches:
        raise CheckError(
            f"{made.id}: {made.batches} batches of {made.makes} give {made.batches * made.makes} units,"
            f" {len(made.units)} are needed"
        )
    if not len(made.blanks) == len(made.sizes) == len(made.each) or max(made.uses) >= len(made.blanks):
        raise CheckError(f"{made.id}: {len(made.blanks)} blanks, {len(made.sizes)} sizes, {len(made.each)} counts")
    for blank, size, each in zip(made.blanks, made.sizes, made.each, strict=True):
        if blank.count != each * made.batches:
            raise CheckError(f"{blank.id}: {blank.count} are cut, {made.batches} batches take {each * made.batches}")
        printed = sorted(blank.rounded.values()) * (2 if len(blank.rounded) == 1 else 1)
        if any(abs(a - b) > SLIP for a, b in zip(printed, sorted(size), strict=True)):
            raise CheckError(f"{blank.id} is cut {printed[0]:.4f} x {printed[1]:.4f} in, sewn {size[0]:.4f} x"
                             f" {size[1]:.4f}")  # fmt: skip
        for name, exact in blank.cut.items():
            if not -SLIP < blank.rounded[name] - exact < cuts.step + SLIP:
                raise CheckError(f"{blank.id}: {name} is {exact:.4f} in, printed as {blank.rounded[name]:.4f} in")
    _check_cloths(made)
    _check_seams(made)


def _check_cloths(made: Made) -> None:
    """Check that every role is cut of its fabric, and that strip sets take as many strips as are cut."""
    for role, use in enumerate(made.uses):
        fabric = made.fabrics[role % len(made.fabrics)]
        if made.blanks[use].fabric != fabric:
            raise CheckError(f"{made.id}: {fabric} is cut of {made.blanks[use].fabric}")
    counts = Counter(made.uses) if made.segments else {}
    for place, count in counts.items():
        if count != made.each[place]:
            raise CheckError(f"{made.blanks[place].id}: {made.each[place]} are cut, the sets take {count}")


def _check_seams(made: Made) -> None:
    """Count the lines of sewing again, way by way."""
    m = len(made.fabrics)
    if made.segments:
        need = len(made.lengths) * (m - 1 + made.loop) + sum(one.added for one in made.segments)
    elif made.unit == "strip set":
        need = made.batches * (m - 1)
    elif made.unit == "block":
        need = made.batches * (len(made.uses) - 1)
    elif made.unit == "corners":
        need = made.batches * sum(leg > 0 for leg in made.legs)
    else:
        # of a way that there is not, the rehearsal says so
        need = made.batches * LINES[made.unit, made.way] if (made.unit, made.way) in LINES else made.seams
    if made.seams != need:
        raise CheckError(f"{made.id}: {need} lines are sewn, said to be {made.seams}")


def _check_units(made: Made, shapes: Mapping[str, Outline], assignment: Mapping[str, str], allowance: float) -> None:
    try:
        units = rehearse_batch(made, allowance)
    except CannotMakeError as error:
        raise CheckError(f"{made.id}, {made.unit} {made.way}: {error}") from None
    if len(units) != made.makes:
        raise CheckError(f"{made.id}: {len(units)} units come out of a batch, said to be {made.makes}")
    if made.segments:
        _check_segments(made, units, shapes, assignment, allowance)
        return
    kinds = {_tell_apart(unit, shapes, assignment) for unit in made.units}
    for unit in made.units:
        for patch, fabric in zip(unit, made.fabrics, strict=True):
            if assignment[patch] != fabric:
                raise CheckError(f"{made.id}: patch `{patch}` is of {assignment[patch]}, its batch of {fabric}")
    seen = set()
    for unit in made.units:
        key = _tell_apart(unit, shapes, assignment)
        if key in seen and len(kinds) < len(made.units):
            continue
        seen.add(key)
        fault = find_unlike(units, [(shapes[patch], assignment[patch]) for patch in unit], allowance, made.slant)
        if fault:
            raise CheckError(f"{made.id}, at patch `{unit[0]}`: {fault}")


def _check_papers(made: Made, shapes: Mapping[str, Outline], assignment: Mapping[str, str], allowance: float) -> None:
    """Sew a block by its papers, join them, and lay it on every copy of the top."""
    if made.papers is None or made.makes != 1:
        raise CheckError(f"{made.id}: {made.makes} blocks come off one set of papers", needed="papers for one block")
    for unit in made.units:
        for patch, fabric in zip(unit, made.fabrics, strict=True):
            if assignment[patch] != fabric:
                raise CheckError(f"{made.id}: patch `{patch}` is of {assignment[patch]}, its paper has {fabric}")
    fault = find_wrong_on_paper(made, shapes, allowance)
    if fault:
        raise CheckError(f"{made.id}, {made.name} on paper: {fault}")
    check_foundation_plan(made.papers)


def _check_segments(
    made: Made,
    sheets: Sequence[ClothSheet],
    shapes: Mapping[str, Outline],
    assignment: Mapping[str, str],
    allowance: float,
) -> None:
    """Lay every segment on its own unit: they differ from one another."""
    for unit, sheet in zip(made.units, sheets, strict=True):
        fault = find_unlike([sheet], [(shapes[patch], assignment[patch]) for patch in unit], allowance)
        if fault:
            raise CheckError(f"{made.id}, at patch `{unit[0]}`: {fault}")


def _tell_apart(unit: tuple[str, ...], shapes: Mapping[str, Outline], assignment: Mapping[str, str]) -> object:
    """Return the common reading of equal units: fabrics, and corners from the first patch's first corner."""
    x0, y0 = shapes[unit[0]][0]
    return tuple(
        (assignment[patch], tuple((round(x - x0, 5), round(y - y0, 5)) for x, y in shapes[patch])) for patch in unit
    )


def _check_parts(plan: MakingPlan, steps: SewingPlan) -> None:
    """Check that the steps sew each unit before sewing anything to it, and which seams the batches save."""
    copies = {unit.name: unit.copies for unit in steps.units}
    wanted = {frozenset(unit): made.id for made in plan.made for unit in made.units}
    owner = {patch: unit for unit in wanted for patch in unit}
    made_of: set[frozenset[str]] = set()
    saved: Counter[tuple[str, int]] = Counter()
    for step in steps.steps:
        if step.kind == "trim":
            continue
        place = {patch: i for i, patch in enumerate(copies[step.unit][0])}
        spots = [place[patch] for patch in (*step.first, *step.second)]
        for copy in copies[step.unit]:
            unit = owner.get(copy[spots[0]])
            if unit is None or len(spots) > len(unit) or any(copy[i] not in unit for i in spots):
                continue
            saved[wanted[unit], step.number] += 1
            if len(spots) == len(unit):
                made_of.add(unit)
    for unit, name in wanted.items():
        if unit not in made_of:
            raise CheckError(f"{name}: no step makes a part of only `{'`, `'.join(sorted(unit))}`")
    said = Counter({(made.id, number): count for made in plan.made for number, count in made.sewn})
    for key in sorted({*said, *saved}):
        if said[key] != saved[key]:
            raise CheckError(f"{key[0]} does step {key[1]} in {saved[key]} copies, said to be {said[key]}")


def _check_list(cuts: CutList, assignment: Mapping[str, str], plan: MakingPlan, owner: Mapping[str, str]) -> None:
    """Check that cut pieces and patches from batches add up, fabric by fabric."""
    cut: Counter[tuple[str, str | None]] = Counter()
    for piece in plan.cut_list.pieces:
        cut[piece.id, piece.fabric] += piece.count
    blanks: Counter[tuple[str, str | None]] = Counter()
    for blank in (blank for made in plan.made for blank in made.blanks):
        blanks[blank.id, blank.fabric] += blank.count
    for (name, fabric), count in blanks.items():
        found = cut.pop((name, fabric), 0)
        if found != count:
            raise CheckError(f"{name} of {fabric}: {found} in the cut list, {count} are taken by batches")
    need: Counter[tuple[str, str | None]] = Counter(
        (piece.id, assignment[p]) for piece in cuts.pieces for p in piece.patches if p not in owner
    )
    for key in sorted({*cut, *need}, key=str):
        if cut[key] != need[key]:
            raise CheckError(f"Piece {key[0]} of {key[1]}: {cut[key]} in the cut list, {need[key]} needed")
    printed = Counter({piece.id: piece.count for piece in plan.pieces})
    whole: Counter[str] = Counter()
    for piece in plan.cut_list.pieces:
        whole[piece.id] += piece.count
    if printed != whole:
        odd = min(name for name in (*printed, *whole) if printed[name] != whole[name])
        raise CheckError(f"Piece {odd} is printed {printed[odd]} times and cut {whole[odd]} times")


def _check_printed(plan: MakingPlan, steps: SewingPlan) -> None:
    """Count the printed steps again, without the units whose every copy lies in one unit of a batch."""
    if all(step.printed is None for step in steps.steps):
        return
    lying = {patch: (made.id, i) for made in plan.made for i, unit in enumerate(made.units) for patch in unit}
    ready = {
        unit.name
        for unit in steps.units
        if all(len({lying.get(patch, patch) for patch in copy}) == 1 and copy[0] in lying for copy in unit.copies)
    }
    number = 0
    for step in steps.steps:
        number += step.unit not in ready
        wanted = 0 if step.unit in ready else number
        if step.printed != wanted:
            raise CheckError(f"Step {step.number} of unit {step.unit} is printed as {step.printed}, it is {wanted}")
