"""Fabrics that are cut from one cloth: one fabric in several parts of a design, or prints that are not told apart."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

from kit.model.cutting import Piece
from kit.model.fabrics import Supply


def find_roots(supplies: Iterable[Supply]) -> dict[str, tuple[str, str | None]]:
    """Return for each fabric that is cut from another's cloth the slot and name of that other one."""
    held = list(supplies)
    slots = {supply.fabric: supply.slot for supply in held}
    return {
        supply.fabric: (slots[supply.cloth], supply.cloth)
        for supply in held
        if supply.fabric and supply.cloth and supply.cloth in slots
    }


def merge_kinds(pieces: Sequence[Piece]) -> list[Piece]:
    """Return pieces with those of one kind, from several fabrics, as one."""
    found: dict[str, Piece] = {}
    for piece in pieces:
        first = found.get(piece.id)
        if first is None:
            found[piece.id] = piece
            continue
        found[piece.id] = replace(
            first, count=first.count + piece.count, patches=(*first.patches, *piece.patches),
            turns=(*first.turns, *piece.turns), headings=(*first.headings, *piece.headings),
        )  # fmt: skip
    return list(found.values())
