"""Proofs of the printed text, of the layers and binding, and of the test squares."""

import re
from string import ascii_lowercase, digits

from kit.lengths import write_nearest
from kit.model.pattern import Pattern
from kit.output.pictures.drawing import name_fabrics
from kit.output.pictures.page_tiles import SQUARES
from kit.output.pictures.templates import lay_out_templates
from kit.output.proof.proof_lines import ProofLine, write_line
from kit.output.words.cutting_words import list_cutting
from kit.output.words.step_words import StepSentences
from kit.output.words.strings import say

PIECE = re.compile(r"\b[A-Z]{1,2}[0-9]+\b")
"""The form of a piece's name in the text."""
SLACK = 1e-4
"""Inches: the tolerance between two ways of computing one length."""


def prove_letters(pattern: Pattern) -> ProofLine:
    """Read the printed cutting and sewing: every named piece is listed, every letter is that of its fabrics."""
    letters = name_fabrics(pattern)
    used = set(pattern.colouring.assignment.values())
    faults = [f"`{name}` has no letter" for name in sorted(used - set(letters))]
    if len(set(letters.values())) < len(letters):
        faults.append("two fabrics share a letter")
    slots = {fabric.name: fabric.slot for fabric in pattern.study.fabrics}
    keyed = {(letters[name].rstrip(ascii_lowercase), slots[name]) for name in used & set(letters)}
    listed = {piece.id: piece.slot for piece in pattern.making.pieces if piece.patches}
    faults += [
        f"piece {name} is cut from `{slot}`, whose fabrics have another letter"
        for name, slot in listed.items()
        if (name.rstrip(digits), slot) not in keyed
    ]
    said = _read_pieces(pattern)
    faults += [f"piece {name} is in the text and not in the list" for name in sorted(said - set(listed))]
    faults += [f"piece {name} is in the list and not in the text" for name in sorted(set(listed) - said)]
    facts = {"used": len(used), "keyed": len(letters), "named": len(said), "listed": len(listed)}
    return write_line("letters", faults, **facts)


def _read_pieces(pattern: Pattern) -> set[str]:
    """Return every piece named in the text of cutting and sewing: letters and a number, apart from names of the study.

    Units from batches have such names too; their cut shapes are proved by their counts.
    """
    writer = StepSentences(pattern, pattern.sewing)
    texts = [sub.text for one in list_cutting(pattern) for cut in one.first_cuts for sub in cut.sub_cuts]
    texts += [one.sub_cut.text for cloth in list_cutting(pattern) for one in cloth.joined]
    texts += [writer.say(step) for step in pattern.sewing.steps]
    names = {name for piece in pattern.cut_list.pieces for name in (piece.name, piece.slot)}
    names |= {unit.name for unit in pattern.sewing.units}
    made = {one.id for one in pattern.making.made}
    for name in sorted((name for name in names if PIECE.search(name)), key=len, reverse=True):
        texts = [text.replace(name, "") for text in texts]
    return {found for text in texts for found in PIECE.findall(text)} - made


def prove_layers(pattern: Pattern) -> ProofLine:
    """Check that backing and batting cover the top and their overhang on each side."""
    plan, system = pattern.finishing, pattern.study.measures.system
    beyond = (plan.wishes.overhang_sides, plan.wishes.overhang_ends)
    wanted = [side + 2 * more for side, more in zip(pattern.patchwork.finished, beyond, strict=True)]
    faults = [
        f"{name}: {size[0]:.4f} by {size[1]:.4f} in, the top and its margins {wanted[0]:.4f} by {wanted[1]:.4f} in"
        for name, size in (("backing", plan.backing.needed), ("batting", plan.batting.needed))
        if any(have < want - SLACK for have, want in zip(size, wanted, strict=True))
    ]
    return write_line("layers", faults, size=" × ".join(write_nearest(side, system) for side in wanted))


def prove_binding(pattern: Pattern) -> ProofLine:
    """Go around the top, and add up the strips less their loss in joins."""
    binding, system = pattern.finishing.binding, pattern.study.measures.system
    around = 2 * sum(pattern.patchwork.finished)
    joined = sum(binding.lengths) - binding.join_cost * (len(binding.lengths) - 1)
    faults = []
    if abs(binding.total - joined) > SLACK:
        faults.append(f"{len(binding.lengths)} strips give {joined:.4f} in, {binding.total:.4f} in printed")
    if joined < around + binding.extra - SLACK:
        faults.append(f"{joined:.4f} in joined, {around:.4f} in around the top and {binding.extra:.4f} in to close")
    shown = {"joined": joined, "around": around, "extra": binding.extra}
    return write_line("binding", faults, **{name: write_nearest(length, system) for name, length in shown.items()})


def prove_squares(pattern: Pattern) -> ProofLine:
    """Look for both test squares on every page of templates."""
    pages = lay_out_templates(pattern)
    faults = [
        f"template page {page.number} has {len(page.squares)} test squares"
        for page in pages
        if [square.side for square in page.squares] != list(SQUARES)
    ]
    if not pages:
        return ProofLine(say("proof_squares"), say("proof_squares_none"), passed=True)
    return write_line("squares", faults, pages=len(pages))
