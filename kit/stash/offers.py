"""What a stash offers for finishing: cloth for the binding, pieces for the backing."""

from collections.abc import Sequence
from math import ceil, floor

from kit.lengths import SLACK
from kit.model.finishing_parts import Panel
from kit.model.pattern import Pattern
from kit.model.stash import BindingOffer, Stash, StashCloth, StashOffer
from kit.planning.finishing.backing_on_hand import piece_backing
from kit.planning.finishing.pieces_cut_up import cut_up_backing

LEAST_SIDE = 12.0
"""Inches: smaller pieces make no backing (common practice, no source)."""
MOST_ALIKE = 9
"""Pieces of one cloth that a backing is sewn of."""


def offer_stash(pattern: Pattern, stash: Stash) -> StashOffer:
    """Return the cloth of a stash that gives the binding and the backing of a quilt.

    For the binding, strips of the plan's cut width are counted along or across each cloth, whichever joins to the
    greater length. For the backing, pieces of one colour are taken where they are enough,
    whole ones sewn together or else cut.

    Parameters
    ----------
    pattern
        The quilt; cloth for its top is not taken off: give what `put_back` returns.
    stash
        The stash.

    Notes
    -----
    A bias binding is not offered from strips.
    """
    binding = pattern.finishing.binding
    offers = []
    if binding.grain == "straight":
        for cloth in stash.cloths:
            offer = _bind(stash, cloth, binding.cut, binding.needed, binding.join_cost)
            offers += [offer] if offer.strips else []
    alone = sorted((one for one in offers if one.gives >= one.needed - SLACK), key=lambda one: (one.gives, one.cloth))
    mixed: list[BindingOffer] = []
    if not alone:
        for one in sorted(offers, key=lambda one: (-one.gives, one.cloth)):
            mixed.append(one)
            if _join(mixed, binding.join_cost) >= binding.needed - SLACK:
                break
        else:
            mixed = []
    panels, pieces = _back(pattern, stash)
    return StashOffer(tuple(alone), tuple(mixed), panels, pieces)


def _back(pattern: Pattern, stash: Stash) -> tuple[tuple[Panel, ...], tuple[str, ...]]:
    """Return the panels of a backing and their cloths: of one colour where that is enough, with the fewest panels."""
    groups: dict[str, list[StashCloth]] = {}
    for cloth in stash.cloths:
        groups.setdefault(cloth.colour, []).append(cloth)
    found = [_piece(pattern, stash, cloths) for cloths in groups.values()]
    whole = [one for one in found if one[0]]
    return min(whole, key=lambda one: len(one[0])) if whole else _piece(pattern, stash, stash.cloths)


def _piece(pattern: Pattern, stash: Stash, cloths: Sequence[StashCloth]) -> tuple[tuple[Panel, ...], tuple[str, ...]]:
    """Piece a backing from these cloths: whole pieces sewn together, else cut ones."""
    wishes, needed = pattern.finishing.wishes, pattern.finishing.backing.needed
    turning = not wishes.backing_one_way and not any(cloth.one_way or cloth.nap for cloth in cloths)
    names, sizes = [], []
    for cloth in cloths:
        keeps = 1 - cloth.shrinkage
        size = (cloth.size[0] * keeps, stash.measure(cloth) * keeps)
        if min(size) >= LEAST_SIDE:
            most = min(stash.count(cloth), MOST_ALIKE)
            names += [cloth.name] * most
            sizes += [size] * most
    if sum(wide * long for wide, long in sizes) < needed[0] * needed[1]:
        return (), ()
    panels, _ = piece_backing(needed, sizes, wishes.backing_allowance, turning=turning)
    if not panels:
        panels, _ = cut_up_backing(needed, sizes, wishes.backing_allowance, turning=turning)
    return panels, _name_pieces(panels, names, sizes)


def _join(offers: list[BindingOffer], join: float) -> float:
    return sum(one.gives for one in offers) - join * (len(offers) - 1)


def _bind(stash: Stash, cloth: StashCloth, cut: float, needed: float, join: float) -> BindingOffer:
    """Return the binding that a cloth gives: as many strips as are needed, or all."""
    keeps = 1 - cloth.shrinkage
    wide, long = cloth.size[0] * keeps, stash.measure(cloth) * keeps
    found = [(0, 0.0)]
    for across, along in ((wide, long), (long, wide)):
        most = floor(across / cut + SLACK) * stash.count(cloth)
        if most and along > join:
            count = min(most, max(1, ceil((needed - join) / (along - join) - SLACK)))
            found.append((count, count * along - (count - 1) * join))
    enough = [one for one in found if one[1] >= needed - SLACK]
    count, gives = min(enough) if enough else max(found, key=lambda one: one[1])
    return BindingOffer(cloth.name, count, gives, needed)


def _name_pieces(panels: Sequence[Panel], names: list[str], sizes: list[tuple[float, float]]) -> tuple[str, ...]:
    """Return the cloth of each panel: by its source, or by the size of a whole piece."""
    free = list(range(len(sizes)))
    found = []
    for panel in panels:
        number = panel.source
        if number is None:
            number = next(i for i in free if sorted(sizes[i]) == sorted(panel.cut))
            free.remove(number)
        found.append(names[number])
    return tuple(found)
