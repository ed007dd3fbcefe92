"""What differs between the pieces of two editions, and what to do with those that are cut already."""

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from kit.lengths import SLACK
from kit.model.corrections import ClothAmount, ClothNeeds, CorrectedValue, Correction, CutSize, Keyed
from kit.model.cutting import ClothPlan, CutList
from kit.model.pattern import Pattern
from kit.model.print_record import PrintRecord, RecordedPiece
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.solvers.packing.search_state import Effort

Pair = tuple[RecordedPiece | None, RecordedPiece | None]
Wanted = Mapping[str, Mapping[str, int]]
"""Id of a piece -> fabric -> the number to cut."""
MeasureCloth = Callable[[Wanted], ClothNeeds]
"""Pieces to cut -> the cloth that they take, planned together."""

FEW = 12
"""Kinds of piece to cut again whose cloth is planned as carefully as the pattern's."""


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


def measure_cloth_of(pattern: Pattern, pieces: int) -> MeasureCloth:
    """Return a function that plans the cloth of some pieces on their own, in the fabrics of a pattern.

    `pieces` is how many kinds are cut again: of very many the cloth is planned quickly, and is a little
    more.
    """
    effort: Effort = "steady" if pieces <= FEW else "quick"
    supplies = [fabric.supply() for fabric in pattern.study.fabrics]
    listed = pattern.making.cut_list

    def measure(wanted: Wanted) -> ClothNeeds:
        cut = tuple(
            replace(piece, count=count)
            for piece in listed.pieces
            if (count := wanted.get(piece.id, {}).get(piece.fabric or piece.slot, 0)) > 0
        )
        if not cut:
            return ClothNeeds(())
        plan = cutting_plan(CutList(cut, listed.allowance, listed.step), supplies, effort=effort)
        return ClothNeeds(
            tuple(
                (one.supply.fabric or one.supply.slot, ClothAmount(one.supply.form, _add_up(one), bought=False))
                for one in plan.cloths
                if one.strips
            )
        )

    return measure


def _add_up(plan: ClothPlan) -> float:
    """Return what the strips of a plan take, squared up but without a margin; pre-cuts by their number."""
    return (plan.used + plan.squaring_up) / (1 - plan.supply.shrinkage) if plan.supply.form == "yardage" else plan.used


def list_again(pairs: Sequence[Pair]) -> dict[str, dict[str, int]]:
    """Return what somebody must cut who cut everything by the old edition: id of the new piece -> fabric -> number."""
    wanted = {now.id: _find_wanted(was, now) for was, now in pairs if now}
    return {piece: counts for piece, counts in wanted.items() if counts}


def list_piece_changes(pairs: Sequence[Pair], cloth: MeasureCloth) -> Iterator[Correction]:
    """Yield the corrections of the pieces; then the cloth for all that is cut again; then those under other names."""
    again = list_again(pairs)
    for was, now in pairs:
        needs = cloth({now.id: again[now.id]}) if now and now.id in again else ClothNeeds(())
        if was is None and now is not None:
            facts = (("count", now.count), ("cloth", needs))
            yield Correction("", "piece", now.id, "count", now.step or None, "", _write_whole(now), "new", facts)
        elif now is None and was is not None:
            yield Correction("", "piece", was.id, "count", was.step or None, _write_whole(was), "", "gone")
        elif was is not None and now is not None:
            yield from _compare(was, now, needs)
    if len(again) > 1:
        yield Correction("", "whole", "again", "plain", None, "", cloth(again), "again")
    renamed = [(was.id, now.id) for was, now in pairs if was and now and was.id != now.id]
    if renamed:
        old, new = (", ".join(pair[side] for pair in renamed) for side in (0, 1))
        yield Correction("", "whole", "pieces", "plain", None, old, new, "rename")


def _find_wanted(was: RecordedPiece | None, now: RecordedPiece) -> dict[str, int]:
    """Return how many of a piece must be cut of each fabric by somebody who cut everything by the old edition."""
    if was is None or _find_change(was, now) in ("hand", "kind", "larger"):
        return dict(now.fabrics)
    return dict(Counter(dict(now.fabrics)) - Counter(dict(was.fabrics)))


def _find_change(was: RecordedPiece, now: RecordedPiece) -> str:
    """Return how the shape of a piece differs: "hand", "kind", "larger" in any measure, "smaller", or not at all."""
    if was.hand != now.hand:
        return "hand"
    if was.kind != now.kind or {name for name, _ in was.size} != {name for name, _ in now.size}:
        return "kind"
    if was.size == now.size:
        return ""
    return "smaller" if all(size <= dict(was.size)[name] + SLACK for name, size in now.size) else "larger"


def _write_whole(piece: RecordedPiece) -> Keyed:
    return Keyed("piece_of", (("count", piece.count), ("size", CutSize(piece.kind, piece.size))))


def _compare(was: RecordedPiece, now: RecordedPiece, needs: ClothNeeds) -> Iterator[Correction]:
    def correct(
        change: str, old: CorrectedValue, new: CorrectedValue, remedy: str, **facts: CorrectedValue
    ) -> Correction:
        return Correction("", "piece", was.id, change, was.step or None, old, new, remedy, tuple(facts.items()))

    change = _find_change(was, now)
    old, new = CutSize(was.kind, was.size), CutSize(now.kind, now.size)
    if change == "hand":
        hands = (was.hand or Keyed("absent"), now.hand or Keyed("absent"))
        yield correct("hand", *hands, "recut_hand", count=now.count, cloth=needs)
    elif change == "kind":
        yield correct("kind", old, new, "recut_shape", count=now.count, cloth=needs)
    elif change == "larger":
        yield correct("size", old, new, "recut", count=now.count, cloth=needs)
    elif change == "smaller":
        yield correct("size", old, new, "trim")
    recut = change in ("hand", "kind", "larger")
    if was.count < now.count and not recut:
        yield correct("count", was.count, now.count, "more", count=now.count - was.count, cloth=needs)
    elif was.count != now.count:
        yield correct("count", was.count, now.count, "follows" if recut else "fewer", count=was.count - now.count)
    elif not recut and needs.amounts and {name for name, _ in was.fabrics} & {name for name, _ in now.fabrics}:
        yield correct("fabrics", _list(was.fabrics), _list(now.fabrics), "fabrics", cloth=needs)


def _list(fabrics: Sequence[tuple[str, int]]) -> str:
    return ", ".join(f"({count}) {fabric}" for fabric, count in fabrics)
