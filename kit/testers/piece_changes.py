"""What differs between the pieces of two editions, and what to do with those that are cut already."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from kit.lengths import SLACK
from kit.model.cutting import CutList
from kit.model.errata import ClothAmount, ClothNeeds, CorrectedValue, Correction, CutSize, Keyed
from kit.model.pattern import Pattern
from kit.model.print_record import PrintedPiece, PrintRecord
from kit.planning.cutting.cutting_plan import cutting_plan

Pair = tuple[PrintedPiece | None, PrintedPiece | None]
MeasureCloth = Callable[[str, Mapping[str, int]], ClothNeeds]
"""Id of a piece and the number of each fabric -> the cloth that they take."""


def match_pieces(old: PrintRecord, new: PrintRecord) -> tuple[Pair, ...]:
    """Return which piece of the new edition is which of the old one, in the order of the new; None where there is none.

    The same patches, or the same name in the same slot, make a pair; most patches in common come first, then the same
    size, hand and id. So a piece is known again although its letter and number have moved.
    """
    scores: list[tuple[tuple[float, ...], str, str]] = []
    for was in old.pieces:
        mine = set(was.patches)
        for now in new.pieces:
            common = len(mine & set(now.patches)) / max(1, len(mine | set(now.patches)))
            if was.slot == now.slot and (common or was.name == now.name):
                alike = [was.size == now.size, was.hand == now.hand, was.name == now.name, was.id == now.id]
                scores.append(((round(common, 3), *map(float, alike)), was.id, now.id))
    found: dict[str, str] = {}
    for _, was_id, now_id in sorted(scores, key=lambda score: score[0], reverse=True):
        if was_id not in found and now_id not in found.values():
            found[was_id] = now_id
    by_id = {piece.id: piece for piece in old.pieces}
    back = {now: by_id[was] for was, now in found.items()}
    kept: list[Pair] = [(back.get(now.id), now) for now in new.pieces]
    return (*kept, *((was, None) for was in old.pieces if was.id not in found))


def measure_cloth_of(pattern: Pattern) -> MeasureCloth:
    """Return a function that plans the cloth of some pieces on their own, in the fabrics of a pattern."""
    supplies = [fabric.supply() for fabric in pattern.study.fabrics]
    listed = pattern.making.cut_list

    def measure(piece_id: str, counts: Mapping[str, int]) -> ClothNeeds:
        wanted = tuple(
            replace(piece, count=counts[piece.fabric or piece.slot])
            for piece in listed.pieces
            if piece.id == piece_id and counts.get(piece.fabric or piece.slot, 0) > 0
        )
        if not wanted:
            return ClothNeeds(())
        plan = cutting_plan(CutList(wanted, listed.allowance, listed.step), supplies, effort="quick")
        return ClothNeeds(
            tuple(
                (one.supply.fabric or one.supply.slot, ClothAmount(one.supply.form, one.as_bought, bought=False))
                for one in plan.cloths
                if one.strips
            )
        )

    return measure


def list_piece_changes(pairs: Sequence[Pair], cloth: MeasureCloth) -> Iterator[Correction]:
    """Yield the corrections of the pieces, then one line of those that only bear another name now."""
    renamed = []
    for was, now in pairs:
        if was is None and now is not None:
            facts = (("count", now.count), ("cloth", cloth(now.id, dict(now.fabrics))))
            yield Correction("", "piece", now.id, "count", now.step or None, "", _write_whole(now), "new", facts)
        elif now is None and was is not None:
            yield Correction("", "piece", was.id, "count", was.step or None, _write_whole(was), "", "gone")
        elif was is not None and now is not None:
            yield from _compare(was, now, cloth)
            if was.id != now.id:
                renamed.append((was.id, now.id))
    if renamed:
        old, new = (", ".join(pair[side] for pair in renamed) for side in (0, 1))
        yield Correction("", "whole", "pieces", "called", None, old, new, "rename")


def _write_whole(piece: PrintedPiece) -> Keyed:
    return Keyed("piece_of", (("count", piece.count), ("size", CutSize(piece.kind, piece.size))))


def _compare(was: PrintedPiece, now: PrintedPiece, cloth: MeasureCloth) -> Iterator[Correction]:
    def correct(
        change: str, old: CorrectedValue, new: CorrectedValue, remedy: str, **facts: CorrectedValue
    ) -> Correction:
        return Correction("", "piece", was.id, change, was.step or None, old, new, remedy, tuple(facts.items()))

    before, after = dict(was.fabrics), dict(now.fabrics)
    again: dict[str, CorrectedValue] = {"count": now.count, "cloth": cloth(now.id, after)}
    recut = True
    if was.hand != now.hand:
        yield correct("hand", was.hand or Keyed("absent"), now.hand or Keyed("absent"), "recut_hand", **again)
    elif was.kind != now.kind or {name for name, _ in was.size} != {name for name, _ in now.size}:
        yield correct("kind", CutSize(was.kind, was.size), CutSize(now.kind, now.size), "recut_shape", **again)
    elif was.size != now.size:
        smaller = all(size <= dict(was.size)[name] + SLACK for name, size in now.size)
        old, new = CutSize(was.kind, was.size), CutSize(now.kind, now.size)
        yield correct("size", old, new, "trim") if smaller else correct("size", old, new, "recut", **again)
        recut = not smaller
    else:
        recut = False
    if was.count != now.count:
        missing = _find_missing(before, after)
        if recut or was.count > now.count:
            said = "follows" if recut else "fewer"
            yield correct("count", was.count, now.count, said, count=was.count - now.count)
        else:
            yield correct(
                "count", was.count, now.count, "more", count=now.count - was.count, cloth=cloth(now.id, missing)
            )
    elif before != after and not recut and set(before) & set(after):
        missing = _find_missing(before, after)
        yield correct("fabrics", _list(before), _list(after), "fabrics", cloth=cloth(now.id, missing))


def _find_missing(before: Mapping[str, int], after: Mapping[str, int]) -> dict[str, int]:
    return dict(Counter(after) - Counter(before))


def _list(fabrics: Mapping[str, int]) -> str:
    return ", ".join(f"({count}) {fabric}" for fabric, count in fabrics.items())
