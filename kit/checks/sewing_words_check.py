"""The printed sewing followed word by word: the quilt is sewn virtually from the page, and compared with the design.

It knows the printed grammar and nothing of planners, plans or output. Every part is laid where its picture shows it and
turned as the words say; every seam is sewn where the words say, by the side of an edge or by the letters of its ends.
What comes of it is handed to the rehearsal, which sews it once more from the edges alone. The shapes of the pieces, and
the seams of units that come ready out of batches, are taken as they are drawn: the cutting and the making of batches
have readers of their own.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from kit.checks.pressing_words import compare_presses
from kit.checks.sewing_table import DoneUnit, LaidStep
from kit.checks.unit_reader import UnitReader
from kit.errors import STILL, CheckError
from kit.geometry.outlines import Outline
from kit.model.cutting import CutList
from kit.model.printed_sewing import PrintedSewing, WordsSewn
from kit.model.sewing import Edge, Press, SewingPlan, SewnUnit, Step
from kit.rehearsal.comparison import measure_unfinished
from kit.rehearsal.rehearse import rehearse

NEAR = 0.02
"""Inches: how far a piece may lie from its place in the design before the rehearsal looks closer."""


def check_sewing_words(printed: PrintedSewing, cuts: CutList, plan: SewingPlan) -> WordsSewn:
    """Sew a quilt by the printed words alone, and refuse what cannot be done or is not the design.

    Parameters
    ----------
    printed
        What is printed about sewing.
    cuts, plan
        The cut list, for the design's names of its patches, and the plan, for its design and its pressing; both are
        read after all words are.

    Raises
    ------
    CheckError
        The first card that cannot be done: its number, its words and both figures.
    """
    found = sew_by_words(printed, cuts, plan)
    if found.faults:
        raise CheckError(found.faults[0], needed="words that give the design", do=STILL)
    return found


def sew_by_words(printed: PrintedSewing, cuts: CutList, plan: SewingPlan) -> WordsSewn:
    """Sew a quilt by the printed words alone; return what came of it, with what cannot be done or does not agree.

    Parameters
    ----------
    printed, cuts, plan
        As for `check_sewing_words`.

    Notes
    -----
    Linear in patches and seams, apart from the rehearsal.
    """
    reader = UnitReader(printed)
    if not printed.units:
        whole = len(plan.target) == 1
        return _sum_up(reader, len(plan.target), (), () if whole else ("No card tells how the pieces are sewn",))
    try:
        units = [reader.sew(unit) for unit in printed.units]
    except CheckError as error:
        return _sum_up(reader, 0, (), (error.found,))
    laying = _Laying(units)
    try:
        names = laying.name_patches(cuts, plan.target)
    except CheckError as error:
        return _sum_up(reader, len(units[-1].patches), (), (error.found,))
    read = _write_plan(laying, names, cuts, plan)
    result = rehearse(cuts, read)
    faults = [*laying.faults, *result.differences, *compare_presses(read, plan, reader.presses)]
    return _sum_up(reader, len(units[-1].patches), read.steps, tuple(faults))


def _sum_up(reader: UnitReader, pieces: int, steps: tuple[Step, ...], faults: tuple[str, ...]) -> WordsSewn:
    return WordsSewn(reader.seams, reader.ready, reader.lettered, reader.dots, pieces, steps, faults)


class _Laying:
    """Every copy of every unit in the top, as the top takes them: patches are numbered as they lie in the top."""

    def __init__(self, units: Sequence[DoneUnit]) -> None:
        self.units = {unit.name: unit for unit in units}
        self.top = units[-1]
        self.copies: dict[str, list[list[int]]] = {unit.name: [] for unit in units}
        self.moves: dict[str, tuple[complex, complex]] = {}
        self._take(self.top, 1 + 0j, 0j, range(len(self.top.patches)))
        self.faults = [
            f"Unit {unit.name}: “make {unit.count}” is printed, {len(self.copies[unit.name])} are sewn into the top"
            for unit in units if len(self.copies[unit.name]) != unit.count
        ]  # fmt: skip

    def _take(self, unit: DoneUnit, z: complex, w: complex, patches: Sequence[int]) -> None:
        self.copies[unit.name].append(list(patches))
        self.moves.setdefault(unit.name, (z, w))
        for part in unit.taken:
            if part.is_unit:
                self._take(self.units[part.name], z * part.z, z * part.w + w, [patches[k] for k in part.patches])

    def name_patches(self, cuts: CutList, target: Sequence[tuple[str, Outline]]) -> list[str]:
        """Return the design's patch in the place of each; refuse a piece that lies where the design has another.

        The pictures of the top lie as the design does, but for a move.
        """
        piece = {patch: found.id for found in cuts.pieces for patch in found.patches}
        ours = [_find_middle(one.outline()) for one in self.top.patches]
        meant = {patch: _find_middle([complex(x, y) for x, y in outline]) for patch, outline in target}
        places: dict[tuple[int, int], list[str]] = {}
        for patch, at in meant.items():
            places.setdefault(_cell(at), []).append(patch)
        names: list[str] = []
        for one, at in zip(self.top.patches, ours, strict=True):
            near = [
                patch for cell in _list_cells(at) for patch in places.get(cell, ()) if abs(meant[patch] - at) < NEAR
            ]
            found = next((patch for patch in near if piece.get(patch) == one.piece), None)
            if found is None:
                other = f"the design has {piece.get(near[0])}" if near else "the design has none"
                raise CheckError(f"A piece {one.piece} lies at ({at.real:.2f}, {at.imag:.2f}) in, where {other}")
            names.append(found)
        twice = [name for name, count in Counter(names).items() if count > 1]
        missing = sorted(set(meant) - set(names))
        if twice or missing:
            raise CheckError(f"{len(twice)} pieces lie on others, and {len(missing)} places of the design stay empty")
        return names


def _write_plan(laying: _Laying, names: Sequence[str], cuts: CutList, plan: SewingPlan) -> SewingPlan:
    """Return what was read as a plan in the design's names, for the rehearsal."""
    steps: list[Step] = []
    units: list[SewnUnit] = []
    for unit in laying.units.values():
        copies = tuple(tuple(names[k] for k in copy) for copy in laying.copies[unit.name])
        if not copies:
            continue
        first = copies[0]
        steps += [_write_step(step, unit.name, first, len(steps) + i) for i, step in enumerate(unit.steps, start=1)]
        z, w = laying.moves[unit.name]
        lying = [
            tuple((p.real, p.imag) for p in (z * corner + w for corner in patch.outline())) for patch in unit.patches
        ]
        units.append(SewnUnit(unit.name, copies, unit.parts, measure_unfinished(lying, cuts.allowance)))
    made = {unit.name: unit.count for unit in units}
    closed, set_in = (sum(made[step.unit] for step in steps if step.kind == kind) for kind in ("close", "set in"))
    return replace(
        plan,
        steps=tuple(steps),
        units=tuple(units),
        partial_seams=closed,
        set_in_seams=set_in,
        written=(),
        pressing=None,
    )


def _write_step(step: LaidStep, unit: str, names: Sequence[str], number: int) -> Step:
    return Step(
        number, unit, step.kind, tuple(names[k] for k in step.first), tuple(names[k] for k in step.second),
        tuple(Edge(names[k], label) for k, label in step.along_first),
        tuple(Edge(names[k], label) for k, label in step.along_second),
        step.offset, step.sewn, step.ragged, _find_press(step.press),
        tuple((p.real, p.imag) for p in step.trim) or None, step.stops,
    )  # fmt: skip


def _find_press(said: str) -> Press | None:
    presses: Mapping[str, Press] = {"first": "first", "second": "second", "open": "open"}
    return presses.get(said)


def _find_middle(corners: Sequence[complex]) -> complex:
    return sum(corners) / len(corners)


def _cell(at: complex) -> tuple[int, int]:
    return round(at.real / NEAR), round(at.imag / NEAR)


def _list_cells(at: complex) -> list[tuple[int, int]]:
    x, y = _cell(at)
    return [(x + i, y + j) for i in (0, -1, 1) for j in (0, -1, 1)]
