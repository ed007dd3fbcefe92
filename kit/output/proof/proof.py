"""The proof sheet: each line names a proof, with its figures and its result."""

from collections import Counter
from collections.abc import Callable
from math import dist

from kit.geometry.mesh import build_mesh
from kit.geometry.outlines import (
    Outline,
    measure_angles,
    measure_area,
    measure_box,
    measure_edges,
    offset_outline,
    tidy_outline,
)
from kit.lengths import buying_length, write_nearest
from kit.model.cutting import ClothPlan, Strip
from kit.model.pattern import Pattern
from kit.model.sewing import SewingPlan
from kit.output.proof.batch_proof import prove_making
from kit.output.proof.print_proof import prove_binding, prove_layers, prove_letters, prove_squares
from kit.output.proof.proof_lines import ProofLine, write_line
from kit.output.words.strings import say

__all__ = ["ProofLine", "prove"]

SLACK = 1e-4
"""Inches (or square inches per patch): the tolerance between two ways of computing one figure."""
WHOLE = 0.005
"""Square inches or centimetres: an area as near to a whole number as this is printed without "about"."""


def prove(pattern: Pattern) -> tuple[ProofLine, ...]:
    """Prove a pattern line by line; the document prints the lines and is refused if one fails.

    Each line computes a figure of the plans another way: from the outlines, by counting, by following the units down to
    their pieces. Nothing is taken from the planners.

    Parameters
    ----------
    pattern
        Every plan of a study.

    Examples
    --------
    >>> from kit import make_pattern, open_study
    >>> [line.name for line in prove(make_pattern(open_study("data/studies/millwheel.toml"))) if not line.passed]
    []
    """
    proofs: tuple[Callable[[Pattern], ProofLine], ...] = (
        _prove_rehearsal, _prove_units, _prove_sums, _prove_area, _prove_totals, _prove_cut_sizes, _prove_rounding,
        _prove_hands, _prove_cut_counts, _prove_fit, _prove_words, _prove_seams, _prove_cloth, _prove_use,
        prove_letters, prove_layers, prove_binding, prove_squares,
    )  # fmt: skip
    lines = tuple(proof(pattern) for proof in proofs)
    return (*lines, prove_making(pattern)) if pattern.making.made else lines


def _prove_rehearsal(pattern: Pattern) -> ProofLine:
    system = pattern.study.measures.system
    designed = pattern.patchwork.finished
    came = pattern.rehearsal.finished
    sizes = [" × ".join(write_nearest(side, system) for side in size) for size in (designed, came)]
    faults = list(pattern.rehearsal.differences)
    if not faults and (not pattern.rehearsal.agrees or dist(designed, came) > SLACK):
        faults = [f"{sizes[0]} designed, {sizes[1]} came out"]
    return write_line("rehearsal", faults, designed=sizes[0], came=sizes[1])


def _prove_units(pattern: Pattern) -> ProofLine:
    """Compute each unit's unfinished size from the outlines of its patches, as they are before any later trim."""
    told, known = dict(pattern.sewing.target), pattern.patchwork.by_id
    faults = []
    for unit in pattern.sewing.units:
        lying = zip(unit.copies[0], pattern.patchwork.list_outlines(unit.copies[0]), strict=True)
        shapes = [told[patch] if shape == known[patch].outline else shape for patch, shape in lying]
        loops = build_mesh(shapes).trace_outside()
        outside = max((tidy_outline(loop) for loop in loops), key=measure_area)
        left, bottom, right, top = measure_box(offset_outline(outside, pattern.cut_list.allowance))
        printed, grown = unit.unfinished, (right - left, top - bottom)
        if dist(printed, grown) > SLACK:
            faults.append(
                f"{unit.name}: {printed[0]:.4f} by {printed[1]:.4f} in, its patches with the allowance"
                f" {grown[0]:.4f} by {grown[1]:.4f} in"
            )
    return write_line("units", faults, count=len(pattern.sewing.units))


def _prove_sums(pattern: Pattern) -> ProofLine:
    """Check that each unit is its parts, laid without gap: from pieces to units, blocks and the top."""
    shapes = dict(pattern.sewing.target)
    units = {unit.name: unit for unit in pattern.sewing.units}
    pieces = pattern.cut_list.piece_of
    faults = []
    for unit in units.values():
        left, found = set(unit.copies[0]), Counter[str]()
        parts = [units[name] for name, _ in unit.parts if name in units]
        for part in sorted(parts, key=lambda one: (-len(one.copies[0]), one.name)):
            for copy in part.copies:
                if left.issuperset(copy) and found[part.name] < dict(unit.parts)[part.name]:
                    left.difference_update(copy)
                    found[part.name] += 1
        found.update(pieces[patch].id for patch in left)
        if found != Counter(dict(unit.parts)):
            faults.append(f"{unit.name}: {dict(unit.parts)} printed, {dict(found)} in it")
        loops = build_mesh([shapes[patch] for patch in unit.copies[0]]).trace_outside()
        whole, held = sum(map(measure_area, loops)), sum(measure_area(shapes[patch]) for patch in unit.copies[0])
        if abs(whole - held) > SLACK * len(unit.copies[0]):
            faults.append(f"{unit.name}: {whole:.4f} square inches, its patches {held:.4f}")
    count = sum(times for unit in units.values() for _, times in unit.parts)
    return write_line("sums", faults, kinds=len(units), count=count)


def _write_area(area: float) -> str:
    """Return an area to the whole square; one that is not whole is said to be about that."""
    near = f"{area:.0f}"
    return near if abs(area - round(area)) < WHOLE else say("area_about", area=near)


def _prove_area(pattern: Pattern) -> ProofLine:
    """Compare the patches' area with that of the pieces less their allowance."""
    allowance = pattern.cut_list.allowance
    pieces = sum(
        piece.count * measure_area(offset_outline(piece.outline, -allowance)) for piece in pattern.cut_list.pieces
    )
    trimmed = sum(
        measure_area(patch.sewn) - measure_area(patch.outline) for patch in pattern.patchwork.patches if patch.sewn
    )
    top = pattern.patchwork.area
    system = pattern.study.measures.system
    scale = 1.0 if system == "inch" else 2.54**2
    shown = {"pieces": pieces, "trimmed": trimmed, "top": top}
    facts = {name: _write_area(area * scale) for name, area in shown.items()} | {"unit": say(f"area_{system}")}
    off = abs(pieces - trimmed - top) > SLACK * len(pattern.patchwork.patches)
    return write_line("area", [say("proof_area_figures", **facts)] if off else [], **facts)


def _count_down(plan: SewingPlan) -> Counter[str]:
    """Return the number of each piece in the top, by following the units from the top down."""
    units = {unit.name: unit for unit in plan.units}
    need: Counter[str] = Counter()
    waiting = [(plan.units[-1].name, 1)]
    while waiting:
        name, times = waiting.pop()
        for part, count in units[name].parts:
            if part in units:
                waiting.append((part, count * times))
            else:
                need[part] += count * times
    return need


def _prove_totals(pattern: Pattern) -> ProofLine:
    need = _count_down(pattern.sewing)
    listed = {piece.id: piece.count for piece in pattern.cut_list.pieces}
    faults = [
        f"{name}: {need[name]} in the units, {listed.get(name, 0)} in the list"
        for name in sorted({*need, *listed})
        if need[name] != listed.get(name, 0)
    ]
    return write_line("totals", faults, units=sum(need.values()), listed=sum(listed.values()))


def _list_sewn(pattern: Pattern) -> list[tuple[str, Outline, Outline]]:
    """Return piece id, cut outline begun at the piece's first edge, and the piece's own outline, for each patch."""
    rows = []
    for piece in pattern.cut_list.pieces:
        for name, turn in zip(piece.patches, piece.turns, strict=True):
            patch = pattern.patchwork.by_id[name]
            cut = offset_outline(patch.sewn or patch.outline, pattern.cut_list.allowance)
            rows.append((piece.id, cut[turn:] + cut[:turn], piece.outline))
    return rows


def _prove_cut_sizes(pattern: Pattern) -> ProofLine:
    faults = []
    for piece, cut, outline in _list_sewn(pattern):
        ours, theirs = measure_edges(cut), measure_edges(outline)
        if len(ours) != len(theirs) or any(abs(a - b) > SLACK for a, b in zip(ours, theirs, strict=True)):
            faults.append(f"{piece}: edges {[round(e, 4) for e in theirs]}, patch {[round(e, 4) for e in ours]}")
    return write_line("cut_sizes", faults, count=pattern.cut_list.count)


def _prove_hands(pattern: Pattern) -> ProofLine:
    """Compare the turn at each corner: a mirrored piece turns in another order."""
    faults = []
    for piece, cut, outline in _list_sewn(pattern):
        pairs = zip(measure_angles(cut), measure_angles(outline), strict=False)
        if any(abs((a - b + 180) % 360 - 180) > 0.01 for a, b in pairs):
            faults.append(f"{piece}: its corners come in another order than those of its patch")
    hands = Counter(piece.hand for piece in pattern.cut_list.pieces for _ in range(piece.count) if piece.hand)
    without = pattern.cut_list.count - hands.total()
    return write_line("hands", faults, left=hands["left"], right=hands["right"], without=without)


def _prove_rounding(pattern: Pattern) -> ProofLine:
    step = pattern.cut_list.step
    faults, count = [], 0
    for piece in pattern.cut_list.pieces:
        for name, exact in piece.cut.items():
            count += 1
            over = piece.rounded[name] - exact
            if not -1e-5 <= over < step:
                faults.append(f"{piece.id}, {name}: exact {exact:.4f} in, rounded {piece.rounded[name]:.4f} in")
    return write_line("rounding", faults, count=count)


def _prove_cut_counts(pattern: Pattern) -> ProofLine:
    cut: Counter[str] = Counter()
    for plan in pattern.cutting.cloths:
        for strip in plan.strips:
            for one in strip.cuts:
                cut[one.piece] += one.count
    faults = [f"{slot}: {missing}" for slot, missing in pattern.cutting.short.items()]
    faults += [
        f"{piece.id}: {cut[piece.id]} cut, {piece.count} needed"
        for piece in pattern.making.pieces
        if cut[piece.id] != piece.count
    ]
    for piece in pattern.cut_list.pieces:
        single = piece.count - len(pattern.making.patches.intersection(piece.patches))
        if cut[piece.id] != single:
            faults.append(f"{piece.id}: {cut[piece.id]} cut, {single} needed beside what is made in batches")
    need = sum(piece.count for piece in pattern.making.pieces)
    return write_line("cut_counts", faults, cut=cut.total(), needed=need)


def _prove_fit(pattern: Pattern) -> ProofLine:
    strips = [strip for plan in pattern.cutting.cloths for strip in plan.strips]
    faults = [fault for strip in strips for fault in _find_misfits(strip)]
    return write_line("fit", faults, count=len(strips))


def _find_misfits(strip: Strip) -> list[str]:
    faults = []
    for i, cut in enumerate(strip.cuts):
        right, top = cut.x + cut.width, cut.y + cut.height
        if min(cut.x, cut.y) < -SLACK or right > strip.length + SLACK or top > strip.height + SLACK:
            faults.append(f"{cut.piece}: reaches {right:.4f} in along a strip of {strip.length:.4f} in")
        for other in strip.cuts[i + 1 :]:
            across = min(cut.x + cut.width, other.x + other.width) - max(cut.x, other.x)
            upward = min(cut.y + cut.height, other.y + other.height) - max(cut.y, other.y)
            if min(across, upward) > SLACK and not (cut.shapes and other.shapes) and not strip.folded:
                faults.append(f"{cut.piece} and {other.piece} overlap by {min(across, upward):.4f} in")
    return faults


def _prove_words(pattern: Pattern) -> ProofLine:
    """Report what came of cutting cloth by the printed lines, and check that it was this plan's cloth."""
    found = pattern.words_cut
    strips = [strip for plan in pattern.cutting.cloths for strip in plan.strips]
    planned = sum(cut.count for strip in strips for cut in strip.cuts)
    faults = list(found.faults)
    for what, came, need in (("strips", found.strips, len(strips)), ("pieces", found.pieces, planned)):
        faults += [] if came == need else [f"{came} {what} come of the lines, {need} are planned"]
    facts = {"lines": found.lines, "strips": found.strips, "pieces": found.pieces, "drawn": found.drawn}
    return write_line("words", faults, **facts)


def _prove_seams(pattern: Pattern) -> ProofLine:
    """Report what came of sewing by the printed words, and check that it was all of this plan."""
    found = pattern.words_sewn
    seams = sum(step.kind != "trim" for step in pattern.sewing.steps)
    trims = len(pattern.sewing.steps) - seams
    faults = list(found.faults)
    if found.seams + found.ready != seams:
        faults.append(f"{found.seams} seams are told and {found.ready} come ready, {seams} are planned")
    if found.pieces != len(pattern.patchwork.patches):
        faults.append(f"{found.pieces} pieces are sewn by the words, {len(pattern.patchwork.patches)} are designed")
    facts = {"seams": found.seams, "ready": found.ready, "lettered": found.lettered, "dots": found.dots, "trims": trims}
    return write_line("seams", faults, **facts)


def _prove_cloth(pattern: Pattern) -> ProofLine:
    """Add up the strips' heights and compare them with the charged length, and that length with the amount bought."""
    system = pattern.study.measures.system
    faults, total = [], 0.0
    for plan in pattern.cutting.cloths:
        if plan.supply.form != "yardage":
            continue
        taken = sum(strip.height for strip in plan.strips if not strip.lengthwise)
        total += plan.used
        if taken > plan.used + SLACK or plan.used < plan.bound - SLACK:
            name = plan.supply.fabric or plan.supply.slot
            faults.append(f"{name}: strips take {taken:.4f} in, {plan.used:.4f} in charged, least {plan.bound:.4f} in")
        faults += _find_long(plan, buying_length(plan.as_bought, system))
    return write_line("cloth", faults, length=write_nearest(total, system))


def _find_long(plan: ClothPlan, bought: float) -> list[str]:
    """Return strips longer than the width of the cloth, and cloth beyond the amount bought."""
    name, width = plan.supply.fabric or plan.supply.slot, plan.supply.width
    faults = [
        f"{name}: a strip of {strip.length:.4f} in on cloth {width:.4f} in wide"
        for strip in plan.strips
        if not strip.lengthwise and strip.length > width + SLACK
    ]
    if bought < plan.as_bought - SLACK:
        faults.append(f"{name}: {plan.as_bought:.4f} in needed, {bought:.4f} in bought")
    return faults


def _prove_use(pattern: Pattern) -> ProofLine:
    taken = {patch for step in pattern.sewing.steps for patch in (*step.first, *step.second)}
    copied = {patch for unit in pattern.sewing.units for copy in unit.copies for patch in copy}
    every = {patch.id for patch in pattern.patchwork.patches}
    faults = [f"`{patch}` is left over" for patch in pattern.rehearsal.left_over]
    faults += [f"`{patch}` is in no step" for patch in sorted(every - taken - copied)]
    return write_line("use", faults, sewn=len(every & (taken | copied)), count=len(every), left=len(faults))
