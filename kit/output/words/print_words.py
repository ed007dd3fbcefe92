"""The lines of cutting where the print matters: where each strip begins, where each piece lies in it, and stacks."""

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from dataclasses import replace

from kit.lengths import System, write_length
from kit.model.cutting import ClothPlan, Cut, Strip
from kit.output.words.cutting_lines import FirstCut, SubCut
from kit.output.words.strings import say

WriteCut = Callable[[str, Sequence[Cut], str], SubCut]
"""Writes the line of a piece: its id, its cuts, and where they lie."""
SLIP = 1e-4
"""Inches: the tolerance between two places."""


def find_layer(plan: ClothPlan) -> ClothPlan:
    """Return a stack's first layer as a plan of its own, its strips without places; other plans as they are."""
    if not plan.layer:
        return plan
    strips = tuple(replace(one, start=None) for one in plan.strips if (one.start or 0.0) < plan.layer - SLIP)
    plain = replace(plan.supply, stack=None, repeat=None, repeat_across=None)
    return replace(plan, supply=plain, strips=strips, layer=0.0)


def list_stack(plan: ClothPlan, one: Iterable[FirstCut], system: System, find_pile: Callable[[Cut], str]) -> FirstCut:
    """Return the lines of a stack: its layers, the lines of one layer, through all of them, and what is to spare."""
    layers, length = plan.supply.stack or 1, plan.strips[0].length
    repeats = round(plan.layer / ((plan.supply.repeat or plan.layer) * (1 - plan.supply.shrinkage)))
    whole = say("stack_repeat") if repeats == 1 else say("stack_repeats", count=repeats)
    size = {"height": write_length(plan.layer, system), "length": write_length(length, system)}
    subs: list[SubCut] = []
    for first in one:
        subs.append(SubCut("", first.count, 0, 0, first.text, height=first.height))
        subs += [replace(sub, depth=sub.depth + 1) for sub in first.sub_cuts]
    made: Counter[tuple[str, str]] = Counter()
    for strip in plan.strips:
        for cut in strip.cuts:
            sets = layers if (strip.start or 0.0) < plan.layer - SLIP else 0
            made[cut.piece, find_pile(cut)] += (sets - 1) * cut.count
    for (piece, pile), spare in made.items():
        if spare > 0:
            which = f"{pile} " if pile else ""
            text = say("stack_spare" if spare > 1 else "stack_spare_one", count=spare, piece=piece, which=which)
            subs.append(SubCut("", 0, 0, spare, text, of=piece))
    return FirstCut(layers, plan.layer, length, say("stack_first", count=layers, repeat=whole, **size), tuple(subs))


def list_print(plan: ClothPlan, system: System, write: WriteCut) -> Iterator[FirstCut]:
    """Yield the strips of a print in the order of the cloth, those that lie equally far apart together."""
    base = min(strip.start or 0.0 for strip in plan.strips)
    for strips in _find_runs(plan.strips):
        first, count = strips[0], len(strips)
        facts = {
            "count": count, "height": write_length(first.height, system), "length": write_length(first.length, system),
            "strips": say("strip" if count == 1 else "strips"), "lengths": say("length" if count == 1 else "lengths"),
            "each": say("each_one" if count == 1 else "each_many"),
        }  # fmt: skip
        apart = (strips[1].start or 0.0) - (first.start or 0.0) if count > 1 else 0.0
        placed = _say_start((first.start or 0.0) - base, apart, system)
        text = say("print_lengthwise" if first.lengthwise else "print_across", placed=placed, **facts)
        text = " ".join([text, *_say_rise(plan, first, system, alone=count == 1)])
        if first.lengthwise:
            text = f"{text} {say('cut_along', **facts)}"
        mixed = len({cut.piece for cut in first.cuts}) > 1
        text = f"{text} {say('from_each')}" if mixed and count > 1 else text
        held = [first] if mixed else strips
        lines = tuple(_list_pieces(plan, held, count, system, write))
        yield FirstCut(count, first.height, first.length, text, lines, "", (first.start or 0.0) - base, apart)


def _sign(strip: Strip) -> Hashable:
    """Return what makes two strips alike: kinds that may differ in number for one kind, everything for several."""
    kinds = {(cut.piece, round(cut.width, 3), cut.shapes[0].outline if cut.shapes else ()) for cut in strip.cuts}
    held: Hashable = frozenset(kinds) if len(kinds) == 1 else tuple((cut.piece, round(cut.x, 3)) for cut in strip.cuts)
    return round(strip.height, 4), strip.lengthwise, held


def _find_runs(strips: Sequence[Strip]) -> list[list[Strip]]:
    """Return alike strips that lie equally far apart; of one kind of piece, only the last may hold fewer."""
    groups: dict[Hashable, list[Strip]] = {}
    for strip in sorted(strips, key=lambda one: one.start or 0.0):
        groups.setdefault(_sign(strip), []).append(strip)
    runs: list[list[Strip]] = []
    for group in groups.values():
        run: list[Strip] = []
        for strip in group:
            if len(run) > 1 and abs(_step(run[-2], run[-1]) - _step(run[-1], strip)) > SLIP:
                runs.append(run)
                run = []
            run.append(strip)
        runs.append(run)
    return sorted(runs, key=lambda run: run[0].start or 0.0)


def _step(one: Strip, other: Strip) -> float:
    return (other.start or 0.0) - (one.start or 0.0)


def _say_start(above: float, apart: float, system: System) -> str:
    here = say("print_squared") if above < SLIP else say("print_above", above=write_length(above, system))
    return say("print_every", here=here, every=write_length(apart, system)) if apart else here


def _say_rise(plan: ClothPlan, strip: Strip, system: System, *, alone: bool) -> Iterator[str]:
    """Yield where the motif lies in a strip, if the study says where it lies in the repeat."""
    repeat = plan.supply.print_repeat
    if repeat is None or repeat.along is None or repeat.motif_along is None:
        return
    each = say("each_one" if alone else "each_many")
    if strip.height > repeat.along + SLIP:
        yield say("print_begins", each=each)
    else:
        rise = (repeat.motif_along - (strip.start or 0.0)) % repeat.along
        yield say("print_rise", each=each, rise=write_length(rise, system))


def _list_pieces(
    plan: ClothPlan, strips: Sequence[Strip], times: int, system: System, write: WriteCut
) -> Iterator[SubCut]:
    """Yield a line for each piece, and for each run of equally spaced places of it."""
    repeat = plan.supply.print_repeat
    names = dict.fromkeys(cut.piece for cut in strips[0].cuts)
    for name in names:
        rows = [[cut for cut in strip.cuts if cut.piece == name] for strip in strips]
        runs = _find_rows(rows[0]) if len(strips) == 1 else [rows[0]]
        for run in runs:
            cuts = run if len(strips) == 1 else [cut for row in rows for cut in row]
            placed = ""
            if repeat is not None and repeat.across is not None:
                apart = run[1].x - run[0].x if len(run) > 1 else 0.0
                placed = f", {_say_left(run[0].x, apart, system)}{_say_aside(plan, run[0], system)}"
            yield replace(write(name, cuts, placed), times=1 if len(strips) > 1 else times)


def _find_rows(cuts: Sequence[Cut]) -> list[list[Cut]]:
    """Return the cuts of a piece in runs of equal distances."""
    runs: list[list[Cut]] = []
    for cut in sorted(cuts, key=lambda one: one.x):
        last = runs[-1] if runs else []
        if last and (len(last) == 1 or abs(last[-1].x - last[-2].x - cut.x + last[-1].x) < SLIP):
            last.append(cut)
        else:
            runs.append([cut])
    return runs


def _say_left(left: float, apart: float, system: System) -> str:
    here = say("print_left") if left < SLIP else say("print_from_left", left=write_length(left, system))
    return say("print_every", here=here, every=write_length(apart, system)) if apart else here


def _say_aside(plan: ClothPlan, cut: Cut, system: System) -> str:
    repeat = plan.supply.print_repeat
    if repeat is None or repeat.across is None or repeat.motif_across is None:
        return ""
    if cut.width > repeat.across + SLIP:
        return say("print_left_begins")
    return say("print_aside", aside=write_length((repeat.motif_across - cut.x) % repeat.across, system))
