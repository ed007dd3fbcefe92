"""The cutting of each fabric as lines to print: first the strips, then their sub-cuts, with the pieces of each."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kit.lengths import System, write_length
from kit.model.cutting import ClothPlan, Cut, Piece, Strip
from kit.model.pattern import Sketch
from kit.output.words.sizes import RECTANGLE, SIZES, TRIANGLES, describe_angles
from kit.output.words.strings import say

ANGLED = "trapezoid", "parallelogram", "60° triangle"
"""Shapes cut at an angle from a strip."""


@dataclass(frozen=True)
class SubCut:
    """One line under the strips: the shapes to cut, their piece, and the number of pieces.

    Attributes
    ----------
    piece
        Id of the piece.
    cut
        The number of squares, rectangles or angled pieces cut.
    gives
        The pieces needed from them.
    spare
        Surplus triangles; lengths kept for joining.
    text
        The line.
    length
        Inches of each length kept for joining; zero elsewhere.
    """

    piece: str
    cut: int
    gives: int
    spare: int
    text: str
    length: float = 0.0


@dataclass(frozen=True)
class FirstCut:
    """Strips of one kind, and their sub-cuts."""

    count: int
    height: float
    length: float
    text: str
    sub_cuts: tuple[SubCut, ...]


@dataclass(frozen=True)
class Joined:
    """Lengths sewn end to end, and the pieces cut from the joined length.

    Attributes
    ----------
    parts
        The number of joined lengths.
    length
        Their total length before joining, inches.
    text
        The line.
    sub_cut
        The pieces cut from it.
    """

    parts: int
    length: float
    text: str
    sub_cut: SubCut


@dataclass(frozen=True)
class ClothLines:
    """The cutting of one fabric: its strips, then the lengths joined from parts of them."""

    fabric: str
    first_cuts: tuple[FirstCut, ...]
    joined: tuple[Joined, ...]


def list_cutting(sketch: Sketch) -> tuple[ClothLines, ...]:
    """Return the cutting of every fabric in the order of the study.

    Equal strips are put together; the order of cutting is kept. Lengths sewn end to end come last, with their pieces.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    pieces = {piece.id: piece for piece in sketch.making.pieces}
    plans = {plan.supply.fabric or plan.supply.slot: plan for plan in sketch.cutting.cloths}
    order = [fabric.name for fabric in sketch.study.fabrics if fabric.name in plans]
    system = sketch.study.measures.system
    return tuple(
        ClothLines(
            name,
            tuple(_list_first_cuts(plans[name], pieces, system)),
            tuple(_list_joined(plans[name], pieces, system)),
        )
        for name in [*order, *(name for name in plans if name not in order)]
    )


def _list_first_cuts(plan: ClothPlan, pieces: Mapping[str, Piece], system: System) -> Iterable[FirstCut]:
    for strips in _group(plan.strips):
        cuts = [cut for strip in strips for cut in strip.cuts]
        joined = _name_joined(plan)
        lines = [_write_sub_cut(pieces[name], _of(cuts, name), system) for name in _names(cuts) if name not in joined]
        for name in _names(cuts):
            if name in joined:
                lengths = Counter(cut.width for cut in _of(cuts, name))
                lines += [_write_part(pieces[name], width, count, system) for width, count in lengths.items()]
        first = strips[0]
        length = first.length
        yield FirstCut(len(strips), first.height, length, _write_first_cut(plan, strips, length, system), tuple(lines))


def _list_joined(plan: ClothPlan, pieces: Mapping[str, Piece], system: System) -> Iterable[Joined]:
    cuts = [cut for strip in plan.strips for cut in strip.cuts]
    joined = _name_joined(plan)
    for name in _names(cuts):
        parts = _of(cuts, name) if name in joined else []
        if not parts:
            continue
        gives = sum(cut.count for cut in parts)
        text = say("sub_cut", what=describe_blank(pieces[name], gives, system), piece=name)
        made = SubCut(name, gives, gives, 0, text)
        said = say("cut_joined", count=len(parts), piece=name)
        yield Joined(len(parts), sum(cut.width for cut in parts), said, made)


def _group(strips: Iterable[Strip]) -> list[list[Strip]]:
    """Group strips of one size with the same pieces."""
    groups: dict[tuple[object, ...], list[Strip]] = {}
    for strip in strips:
        held = tuple(dict.fromkeys(cut.piece for cut in strip.cuts))
        key = (strip.height, strip.length, strip.folded, strip.lengthwise, held)
        groups.setdefault(key, []).append(strip)
    return list(groups.values())


def _name_joined(plan: ClothPlan) -> set[str]:
    """Return the pieces cut from lengths sewn end to end: only the last length counts them."""
    return {cut.piece for strip in plan.strips for cut in strip.cuts if cut.joined or not cut.count}


def _names(cuts: Iterable[Cut]) -> list[str]:
    return list(dict.fromkeys(cut.piece for cut in cuts))


def _of(cuts: Iterable[Cut], piece: str) -> list[Cut]:
    return [cut for cut in cuts if cut.piece == piece]


def _write_first_cut(plan: ClothPlan, strips: list[Strip], length: float, system: System) -> str:
    first, count = strips[0], len(strips)
    facts = {
        "count": count,
        "height": write_length(first.height, system),
        "length": write_length(length, system),
        "strips": say("strip" if count == 1 else "strips"),
        "squares": say("square" if count == 1 else "squares"),
        "form": plan.supply.form,
        "each": say("each_one" if count == 1 else "each_many"),
    }
    form = plan.supply.form
    if form == "yardage":
        text = say("cut_lengthwise" if first.lengthwise else "cut_across", **facts)
    elif form in ("strips", "squares"):
        text = say(f"cut_{form}", **facts)
    else:
        text = say("cut_other", **facts)
    return f"{text} {say('cut_folded', **facts)}" if first.folded else text


def describe_blank(piece: Piece, count: int, system: System) -> str:
    """Return the shapes cut for a piece with their number, hand and ends: "(45) 2½ in squares"."""
    size = piece.rounded
    if piece.kind == "template":
        return say("sub_template", count=count, piece=piece.id)
    facts = {name.replace(" ", "_"): write_length(inches, system) for name, inches in size.items()}
    if piece.kind in ANGLED:
        facts |= {"angles": describe_angles(piece), "ends": describe_ends(piece)}
    text = say(f"blank_{SIZES[piece.kind]}{'_one' if count == 1 else ''}", count=count, **facts)
    return f"{text}, {say('hand_word', hand=piece.hand)}" if piece.hand and piece.kind != RECTANGLE else text


def describe_ends(piece: Piece) -> str:
    """Return the cut of the ends of a piece with its long side at the bottom."""
    first, second = (f"{angle:.1f}".removesuffix(".0") + "°" for angle in piece.angles[:2])
    if first == second:
        return say("ends_alike", angle=first)
    if "90°" in (first, second):
        return say("ends_square", angle=second if first == "90°" else first)
    return say("ends_other", first=first, second=second)


def _write_sub_cut(piece: Piece, cuts: list[Cut], system: System) -> SubCut:
    gives = sum(cut.count for cut in cuts)
    each = TRIANGLES.get(piece.kind)
    if each is None:
        text = say("sub_cut", what=describe_blank(piece, gives, system), piece=piece.id)
        return SubCut(piece.id, gives, gives, 0, text)
    blanks, spare = len(cuts), len(cuts) * each - gives
    facts = {
        "what": describe_blank(piece, blanks, system),
        "triangles": blanks * each,
        "piece": f"{piece.hand} {piece.id}" if piece.hand else piece.id,
        "spare": spare,
    }
    text = say("sub_result_spare" if spare else "sub_result", **facts)
    return SubCut(piece.id, blanks, gives, spare, text)


def _write_part(piece: Piece, width: float, count: int, system: System) -> SubCut:
    size = f"{write_length(min(piece.rounded.values()), system)} × {write_length(width, system)}"
    return SubCut(piece.id, count, 0, count, say("cut_part", count=count, size=size, piece=piece.id), width)
