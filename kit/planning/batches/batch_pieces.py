"""Batching: the cut shapes for the batches of a kind of unit, and the cut list with them in place of the pieces."""

from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace

from kit.geometry.outlines import TOLERANCE, make_rectangle
from kit.lengths import round_up
from kit.model.cutting import CutList, Piece
from kit.model.making import Made, Way
from kit.planning.batches.allowed_ways import SEWN_ACROSS, Facts, UnitsToMake, list_roles
from kit.planning.batches.find_units import UnitKind
from kit.planning.pieces.cut_list import divide_by_fabric


def make_batches(name: str, found: UnitsToMake, way: Way, facts: Facts) -> Made:
    """Return the batches of one kind of unit; their steps are left open."""
    kind, units = found.kind, tuple(unit.patches for unit in found.units)
    roles = _cut_roles(kind, way)
    order = list(dict.fromkeys(roles))
    each = Counter(roles)
    if kind.unit in ("half-square", "quarter-square", "geese"):
        each = Counter(dict.fromkeys(order, 0))
        for cloth, fabrics in zip(way.cloths, list_roles(kind, way), strict=True):
            for fabric in fabrics:
                each[fabric, cloth.width, cloth.height] += cloth.number // len(fabrics)
    blanks, sizes = [], []
    for number, (fabric, width, height) in enumerate(order):
        exact = (width, height)
        size = (_round(width, facts, way), round_up(height, facts.step))
        sizes.append(size)
        letter = chr(97 + number)
        blanks.append(
            cut_blank(
                f"{name}{letter}", (fabric, facts.slots[fabric]), exact, size, each[fabric, width, height] * way.batches
            )
        )
    segment = round_up(kind.size[1] + 2 * facts.allowance, facts.step) if kind.unit == "strip set" else 0.0
    return Made(
        name, kind.unit, way.name, kind.size, kind.fabrics, units, tuple(blanks), tuple(sizes),
        tuple(each[blank] for blank in order), tuple(order.index(role) for role in roles), way.batches, way.makes,
        way.trim, way.bias, kind.legs, kind.widths, segment, cuts=way.cuts, seams=way.seams, slant=kind.slant,
        rising=kind.rising,
    )  # fmt: skip


def _round(width: float, facts: Facts, way: Way) -> float:
    """Round up along a strip; a strip set across the whole cloth is never longer than its width."""
    return width if way.name == SEWN_ACROSS else round_up(width, facts.step)


def _cut_roles(kind: UnitKind, way: Way) -> list[tuple[str, float, float]]:
    """Return the fabric and the exact cut size for each role."""
    if kind.unit == "quarter-square":
        return [(fabric, way.cloths[0].width, way.cloths[0].height) for fabric in kind.fabrics]
    if kind.unit == "geese":
        goose, sky = way.cloths
        return [
            (kind.fabrics[0], goose.width, goose.height),
            *((fabric, sky.width, sky.height) for fabric in kind.fabrics[1:]),
        ]
    return [(fabric, cloth.width, cloth.height) for fabric, cloth in zip(kind.fabrics, way.cloths, strict=True)]


def cut_blank(
    name: str, cloth: tuple[str, str], exact: tuple[float, float], size: tuple[float, float], count: int
) -> Piece:
    """Return a cut shape of a batch, of a fabric and its slot, as a piece of the cut list: no patch is its piece."""
    long, short = max(exact), min(exact)
    high, low = max(size), min(size)
    square = abs(high - low) < TOLERANCE
    outline = make_rectangle(0.0, 0.0, long, short)
    cut = {"side": long} if square else {"width": short, "length": long}
    rounded = {"side": high} if square else {"width": low, "length": high}
    return Piece(
        id=name, kind="square" if square else "rectangle", name=f"for {name[:-1]}", count=count, hand=None,
        slot=cloth[1],
        cut=cut, rounded=rounded, finished=dict(cut), outline=outline, angles=(90.0,) * 4, bias=(False,) * 4,
        outside_bias=0, patches=(), turns=(), fabric=cloth[0],
    )  # fmt: skip


def share_blanks(made: Sequence[Made], prefix: str) -> list[Made]:
    """Give cut shapes of one fabric and size one name, for any units: "Ua", "Ub", ..."""
    kinds = dict.fromkeys(_tell_apart(blank) for one in made for blank in one.blanks)
    names = {kind: f"{prefix}{_letters(number)}" for number, kind in enumerate(kinds)}
    users: dict[str, list[str]] = {}
    for one in made:
        for blank in one.blanks:
            users.setdefault(names[_tell_apart(blank)], []).append(one.id)
    return [
        replace(one, blanks=tuple(
            replace(blank, id=name, name=f"for {', '.join(users[name])}")
            for blank in one.blanks
            for name in (names[_tell_apart(blank)],)
        ))
        for one in made
    ]  # fmt: skip


def _tell_apart(blank: Piece) -> tuple[object, ...]:
    return blank.fabric, tuple(blank.rounded.items()), tuple((k, round(v, 6)) for k, v in blank.cut.items())


def _letters(number: int) -> str:
    return chr(97 + number) if number < 26 else _letters(number // 26 - 1) + chr(97 + number % 26)


def replace_pieces(
    cuts: CutList, made: Sequence[Made], assignment: Mapping[str, str]
) -> tuple[CutList, tuple[Piece, ...]]:
    """Take the patches of the batches out of the pieces, and add the cut shapes of the batches."""
    gone = {patch for one in made for unit in one.units for patch in unit}
    count: Counter[str] = Counter()
    first: dict[str, Piece] = {}
    for blank in (blank for one in made for blank in one.blanks):
        count[blank.id] += blank.count
        first.setdefault(blank.id, blank)
    blanks = tuple(replace(blank, count=count[name]) for name, blank in first.items())
    left = tuple(leave_out(piece, gone) for piece in cuts.pieces)
    kept = tuple(piece for piece in left if piece.count)
    by_fabric = divide_by_fabric(replace(cuts, pieces=kept), assignment)
    order = {fabric: n for n, fabric in enumerate(dict.fromkeys(
        assignment[patch] for piece in cuts.pieces for patch in piece.patches
    ))}  # fmt: skip
    whole = sorted((*by_fabric.pieces, *blanks), key=lambda piece: order.get(piece.fabric or "", len(order)))
    return replace(by_fabric, pieces=tuple(whole)), (*kept, *blanks)


def leave_out(piece: Piece, gone: Collection[str]) -> Piece:
    """Return a piece without those of some patches."""
    kept = [i for i, patch in enumerate(piece.patches) if patch not in gone]
    if len(kept) == len(piece.patches):
        return piece
    patches, turns = tuple(piece.patches[i] for i in kept), tuple(piece.turns[i] for i in kept)
    headings = tuple(piece.headings[i] for i in kept)
    return replace(piece, count=len(kept), patches=patches, turns=turns, headings=headings)
