"""The notes of the printed pattern: assumptions, how to read it, tools, and cautions."""

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence

from kit.geometry.outlines import TOLERANCE
from kit.lengths import System, buying_length, write_buying, write_faithful, write_length
from kit.model.cutting import ClothPlan, ClothWishes, Piece
from kit.model.joined_lengths import find_least_joined
from kit.model.notices import Figure, Notice, NoticeKind
from kit.model.pattern import Pattern
from kit.output.words.blunt_words import list_blunt
from kit.output.words.notice_words import say_notices
from kit.output.words.sizes import TRIANGLES, describe_angles
from kit.output.words.strings import say, say_finishing, say_name
from kit.output.words.taken_apart import is_taken_apart

PRINT: frozenset[NoticeKind] = frozenset({
    "cloth-repeat", "cloth-repeat-along", "cloth-repeat-across", "cloth-motif-along", "cloth-motif-across",
    "cloth-stripes-along", "cloth-stripes-across", "cloth-stack", "cloth-stack-short",
    "cloth-print-more", "cloth-long-repeats", "cloth-some-turned",
})  # fmt: skip
"""What is assumed of a print."""
FOR_THE_MAKER: frozenset[NoticeKind] = frozenset({
    "clashes", "clashes-helped", "idle-pins", "idle-fabrics", "unlike-corners", "pins-clash", "crowd", "odd-ring",
    "no-placement", "no-room", "made-singly", "cut-in-rows", "quilted-plainly",
})  # fmt: skip
"""What the designer is told of the placement and the plans; whoever sews from the pattern can do nothing about it."""
ABBREVIATED = {"inch": ("in", "yd"), "metric": ("cm", "m")}
"""The abbreviated units of a system."""


def list_notes(pattern: Pattern) -> list[str]:
    """Return the notes for a pattern, a sentence or two each.

    Parameters
    ----------
    pattern
        Every plan of a study.
    """
    measures = pattern.study.measures
    system = measures.system
    order = [fabric.name for fabric in pattern.study.fabrics]
    plans = [plan for plan in pattern.cutting.cloths if plan.strips]
    plans.sort(key=lambda plan: order.index(plan.supply.fabric) if plan.supply.fabric in order else len(order))
    yardage = any(plan.supply.form == "yardage" for plan in plans)
    slots = {fabric.name: fabric.slot for fabric in pattern.study.fabrics}
    shared = max(Counter(slots.values()).values(), default=1) > 1
    shapes = {piece.hand for piece in pattern.cut_list.pieces if piece.hand}
    made = pattern.making.made
    notes = [
        say("note_label"),
        say("note_allowance", allowance=write_faithful(pattern.cut_list.allowance, system)),
        say("note_sizes"),
        say("note_rounding", step=write_length(pattern.cut_list.step, system)),
        say("note_about"),
        say("note_sides"),
        say("note_pictures_partial" if pattern.sewing.partial_seams else "note_pictures"),
        say("note_step_letters"),
        say("note_detail"),
        say("note_runs"),
        *([say("note_exploded")] if is_taken_apart(pattern.sewing) else []),
        say("note_pressing"),
        say("note_counts", size=write_length(2.5 if system == "inch" else 6 / 2.54, system)),
        say("note_letters_shared" if shared else "note_letters"),
        *([say("note_batches", unit=made[0].id, shape=made[0].blanks[0].id)] if made else []),
    ]
    if any(step.press for step in pattern.sewing.steps):
        notes.insert(notes.index(say("note_pressing")) + 1, say("note_arrows"))
    if shapes:
        notes.append(say("note_hands"))
    if yardage:
        notes.append(say("note_straight"))
    if pattern.finishing.borders:
        notes.append(say("note_borders", heading=say_finishing("borders")))
    if any(lies_one_way(plan, pattern.making.pieces) for plan in plans):
        notes.append(say("note_piles"))
    parts = {one["name"]: one["parts"] for one in pattern.cutting.assumptions if one.kind == "cloth"}
    cloths = [
        f"{_name(plan)}: {said}"
        for plan in plans
        for said in _describe_cloth(plan, pattern.study.cloth, system, _say_print(parts, plan, system))
    ]
    notes += [say("note_assumed", sentence=sentence) for sentence in merge_assumptions(cloths)]
    notes += [say("note_unwashed")] if yardage and not any(plan.supply.shrinkage for plan in plans) else []
    notes += [enough] if (enough := list_enough(pattern).get("")) else []
    notes += [f"{sentence}." for sentence in say_notices(pattern.making.assumptions, system)]
    notes += list_blunt(pattern)
    words = ABBREVIATED[system] if yardage else ABBREVIATED[system][:1]
    notes.append(say("note_words", list="; ".join(say(f"abbreviation_{word}") for word in words)))
    return notes


def list_enough(pattern: Pattern) -> dict[str, str]:
    """Return for each fabric from which usable width on the amount bought is enough; under "" the sentence of all."""
    system = pattern.study.measures.system
    plans = [plan for plan in pattern.cutting.cloths if plan.strips and plan.enough]
    order = [fabric.name for fabric in pattern.study.fabrics]
    plans.sort(key=lambda plan: order.index(plan.supply.fabric) if plan.supply.fabric in order else len(order))
    said = merge_assumptions(f"{_name(plan)}: {say_enough(plan, system)}" for plan in plans)
    widths = {_name(plan): write_length(plan.enough.width, system) for plan in plans if plan.enough}
    return {**widths, "": say("note_enough", sentence="; ".join(said))} if said else {}


def lies_one_way(plan: ClothPlan, pieces: Iterable[Piece]) -> bool:
    """Return True if a cloth has a top and triangles are cut from it, each diagonal for itself."""
    cut = {one.piece for strip in plan.strips for one in strip.cuts}
    return plan.supply.directed and any(piece.kind in TRIANGLES for piece in pieces if piece.id in cut)


def _name(plan: ClothPlan) -> str:
    return plan.supply.fabric or plan.supply.slot


def say_enough(plan: ClothPlan, system: System) -> str:
    """Return from which width on the amount bought is enough, and what to buy more below it; empty if nobody looked."""
    if plan.enough is None:
        return ""
    width, narrower = (write_length(inches, system) for inches in (plan.enough.width, plan.enough.narrower))
    more = buying_length(plan.enough.buy, system) - buying_length(plan.as_bought, system)
    if more < TOLERANCE:
        return say("enough_from", width=width)
    return say("enough_below", width=width, narrower=narrower, more=write_buying(more, system))


def _say_print(parts: Mapping[Figure, Figure], plan: ClothPlan, system: System) -> list[str]:
    """Return what the plan assumes of the print of a cloth."""
    held = parts.get(_name(plan), ())
    found = [one for one in held if isinstance(one, Notice) and one.kind in PRINT] if isinstance(held, tuple) else []
    return list(say_notices(found, system))


def _describe_cloth(plan: ClothPlan, wishes: ClothWishes, system: System, printed: Sequence[str]) -> list[str]:
    """Return the assumptions of a plan about its cloth, those that many cloths share first."""
    supply, keeps = plan.supply, 1 - plan.supply.shrinkage

    def write(inches: float) -> str:
        return write_length(inches, system)

    if supply.form == "yardage":
        said = [say("cloth_yardage", width=write(supply.width), squaring=write(plan.squaring_up))]
        share = wishes.margin if supply.margin is None else supply.margin
        facts = {"percent": f"{share * 100:g}", "least": write(wishes.margin_least)}
        said = ["; ".join([*said, say("cloth_margin", **facts)])] if plan.margin else said
    else:
        length, height = (side / keeps for side in plan.piece_of_cloth)
        said = [say("cloth_precut", form=say_name(supply.form), height=write(height), length=write(length))]
    said += [say("cloth_lot", lot=supply.lot)] if supply.lot else []
    said += [say("cloth_washed", percent=f"{supply.shrinkage * 100:g}")] if supply.shrinkage else []
    one_way = "cloth_one_way_yardage" if supply.form == "yardage" else "cloth_one_way"
    said += [say("cloth_nap" if supply.nap else one_way)] if supply.nap or supply.one_way else []
    said += printed
    joined = any(cut.joined for strip in plan.strips for cut in strip.cuts)
    said += [say("cloth_joined", least=write(find_least_joined(plan.strips[0].length)))] if joined else []
    if plan.joins:
        whole, with_joins = (write(length) for length in plan.joins)
        said.append(say("cloth_joins" if joined else "cloth_joins_spared", whole=whole, joined=with_joins))
    if plan.rows is not None and plan.used < plan.rows - TOLERANCE:
        said.append(say("cloth_nested", length=write(plan.rows - plan.used)))
    return said


def merge_assumptions(sentences: Iterable[str]) -> list[str]:
    """Return assumptions "fabric: what", with one sentence for all fabrics of the same assumption.

    Examples
    --------
    >>> merge_assumptions(["Fog: 42 in usable", "Kelp: 42 in usable", "Rust: 40 in usable"])
    ['Fog, Kelp: 42 in usable', 'Rust: 40 in usable']
    """
    said: dict[str, list[str]] = {}
    for sentence in sentences:
        name, colon, what = sentence.rpartition(": ")
        said.setdefault(what if colon else sentence, []).extend([name] if colon else [])
    return [f"{', '.join(names)}: {what}" if names else what for what, names in said.items()]


def list_tools(pattern: Pattern) -> list[str]:
    """Return the tools needed besides the cloth."""
    tools = [say("tools_list", step=write_length(pattern.cut_list.step, pattern.study.measures.system))]
    angles = {
        angle
        for piece in pattern.making.pieces
        if piece.kind in ("trapezoid", "parallelogram", "60° triangle")
        for angle in describe_angles(piece).split(", ")
    }
    if angles:
        tools.append(say("tools_angles", angles=say("stops_and").join(sorted(angles))))
    if any(piece.kind == "template" for piece in pattern.making.pieces):
        tools.append(say("tools_templates"))
    return tools


def list_cautions(pattern: Pattern) -> list[str]:
    """Return the cautions, with the pattern's own warnings first: those that matter to whoever sews from it."""
    told = [notice for notice in pattern.notices if notice.kind not in FOR_THE_MAKER]
    return [f"{warning}." for warning in say_notices(told, pattern.study.measures.system)] + [
        say("care_cutter"),
        say("care_iron"),
        say("care_needle"),
        say("care_sale"),
    ]
