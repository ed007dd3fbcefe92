"""What differs between two editions in the whole, in the cloth and in the finishing, and what to do about it."""

from collections.abc import Iterator, Sequence
from math import ceil, floor

from kit.lengths import SLACK, System, buying_length
from kit.model.corrections import ClothAmount, ClothNeeds, CorrectedValue, Correction, Keyed, OneLength, Sides
from kit.model.print_record import PrintRecord, RecordedCloth, RecordedFinish


def list_whole_changes(old: PrintRecord, new: PrintRecord) -> Iterator[Correction]:
    """Yield the corrections of what holds for every piece: allowance, rounding, the finished top, the fabric map."""
    if old.allowance != new.allowance:
        ends = OneLength(old.allowance), OneLength(new.allowance)
        yield Correction("", "whole", "allowance", "plain", None, *ends, "recut_all")
    if old.rounding != new.rounding:
        ends = OneLength(old.rounding), OneLength(new.rounding)
        yield Correction("", "whole", "rounding", "plain", None, *ends, "follows")
    if old.finished != new.finished:
        sizes = Sides(*old.finished), Sides(*new.finished)
        yield Correction("", "whole", "finished", "plain", None, *sizes, "follows")


def list_map_changes(old: PrintRecord, new: PrintRecord) -> Iterator[Correction]:
    """Yield one line if patches of both editions have another fabric."""
    before = dict(old.placed)
    names = {cloth.fabric for cloth in old.cloth} & {cloth.fabric for cloth in new.cloth}
    other = sum(
        before.get(patch, fabric) != fabric and {before[patch], fabric} <= names for patch, fabric in new.placed
    )
    if other:
        said = Keyed("count_patches", (("count", other),))
        yield Correction("", "whole", "map", "plain", None, Keyed("as_before"), said, "map")


def list_cloth_changes(old: PrintRecord, new: PrintRecord, again: ClothNeeds) -> Iterator[Correction]:
    """Yield the corrections of what to buy; a fabric under another name is known again by its slot.

    `again` is the cloth of all that must be cut by somebody who cut everything by the old edition: so much more always
    serves, since the old length gives every piece that is right.
    """
    left, system = {cloth.fabric: cloth for cloth in old.cloth}, new.system
    pairs = [(left.pop(now.fabric, None), now) for now in new.cloth]
    for place, (was, now) in enumerate(pairs):
        near = next((cloth for cloth in left.values() if cloth.slot == now.slot), None) if was is None else None
        if near is not None:
            pairs[place] = (left.pop(near.fabric), now)
    for was, now in pairs:
        yield from _compare_cloth(was, now, system, dict(again.amounts).get(now.fabric))
    for gone in left.values():
        yield Correction("", "cloth", gone.fabric, "buy", None, _amount(gone), "", "gone")


def _amount(cloth: RecordedCloth) -> ClothAmount:
    return ClothAmount(cloth.form, cloth.bought)


def _compare_cloth(
    was: RecordedCloth | None, now: RecordedCloth, system: System, again: ClothAmount | None
) -> Iterator[Correction]:
    if was is None:
        facts = (("amount", _amount(now)),)
        yield Correction("", "cloth", now.fabric, "buy", None, "", _amount(now), "buy_more", facts)
        return
    if was.fabric != now.fabric:
        yield Correction("", "cloth", was.fabric, "called", None, was.fabric, now.fabric, "rename")
    if was.form != now.form:
        yield Correction("", "cloth", was.fabric, "form", None, _amount(was), _amount(now), "check_form")
        return
    if was.width != now.width:
        remedy = "narrower" if now.width > was.width else "wider"
        yield Correction("", "cloth", was.fabric, "width", None, OneLength(was.width), OneLength(now.width), remedy)
    if was.bought == now.bought:
        return
    more = measure_more(was.bought, now, system)
    if again and more:
        other = again.amount if now.form != "yardage" else buying_length(again.amount, system)
        more = min(more, other)
    facts = (("amount", ClothAmount(now.form, more)),)
    if more > SLACK:
        yield Correction("", "cloth", was.fabric, "buy", None, _amount(was), _amount(now), "buy_more", facts)
    else:
        yield Correction("", "cloth", was.fabric, "buy", None, _amount(was), _amount(now), "enough")


def measure_more(bought: float, cloth: RecordedCloth, system: System) -> float:
    """Return what must be bought besides a length that is there, so that all strips of the new plan can be cut.

    The strips fill the length that is there as far as whole strips do; the others come from a second length, squared up
    once more. So this is more than the difference where a strip would lie across both lengths.

    Parameters
    ----------
    bought
        Inches of yardage, or a number of pre-cuts, already bought.
    cloth
        The fabric in the new edition.
    system
        "inch" or "metric": how the shop sells.

    Returns
    -------
    float
        Inches as the shop sells them, or a number; zero if what is there is enough.
    """
    if cloth.form != "yardage":
        return max(0.0, cloth.bought - bought)
    if bought >= cloth.needed - SLACK:
        return 0.0
    loss = sum(cloth.strips) + cloth.squaring
    grown = cloth.needed / loss if loss else 1.0
    rest = sum(cloth.strips) - _fill(bought / grown - cloth.squaring, cloth.strips)
    return buying_length((rest + cloth.squaring) * grown, system) if rest > SLACK else 0.0


def _fill(room: float, strips: Sequence[float]) -> float:
    """Return the greatest height of whole strips that a length holds, inches; sums to a thousandth of an inch."""
    most = max(0, floor(1000 * (room + SLACK)))
    sums = {0}
    for height in strips:
        sums |= {one + ceil(1000 * height - SLACK) for one in sums}
        sums = {one for one in sums if one <= most}
    return min(max(sums) / 1000, sum(strips))


def list_finishing_changes(old: PrintRecord, new: PrintRecord) -> Iterator[Correction]:
    """Yield the corrections of backing, batting, binding and sleeve."""
    before = {(row.part, row.figure): row for row in old.finishing}
    after = {(row.part, row.figure): row for row in new.finishing}
    for mark in dict.fromkeys([*after, *before]):
        was, now = before.get(mark), after.get(mark)
        if was and now and was.value != now.value:
            larger = any(b > a + SLACK for a, b in zip(was.value, now.value, strict=True))
            yield _write(mark, _value(was), _value(now), _advise(*mark, larger=larger), was, now, new.system)
        elif now and not was:
            yield _write(mark, "", _value(now), "steps", None, now, new.system)
        elif was and not now:
            yield _write(mark, _value(was), "", "gone", was, None, new.system)


def _write(
    mark: tuple[str, str], old: CorrectedValue, new: CorrectedValue, remedy: str, was: RecordedFinish | None,
    now: RecordedFinish | None, system: System,
) -> Correction:  # fmt: skip
    facts: tuple[tuple[str, CorrectedValue], ...] = ()
    if remedy == "buy_more" and was and now:
        facts = (("amount", ClothAmount("yardage", buying_length(now.value[0] - was.value[0], system))),)
    return Correction("", "finishing", mark[0], mark[1], None, old, new, remedy, facts)


def _advise(part: str, figure: str, *, larger: bool) -> str:
    """Return the remedy; a strip of binding comes from any length, a panel of the backing does not."""
    if figure == "cut":
        return "cut_width"
    if figure == "strips":
        return "strips_more" if larger else "strips_fewer"
    if figure == "buy":
        more = "panels" if part == "backing" else "buy_more"
        return more if larger else "enough"
    return "cover_more" if larger else "cover_less"


def _value(row: RecordedFinish) -> CorrectedValue:
    if row.figure == "buy":
        return ClothAmount("yardage", row.value[0])
    if row.figure == "strips":
        return int(row.value[0])
    return Sides(*row.value) if len(row.value) > 1 else OneLength(row.value[0])
