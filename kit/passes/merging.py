"""Merging: pieces that share a side become blocks, blocks become larger ones, without any waste as long as that goes.

What was cut from one sheet without waste has, at the bottom of its cuts, two pieces with a side in common; joined they
are one piece of a sheet with a cut less. Sides are also equal by chance, so a few partial mergers are followed side by
side, and those are preferred after which most pairs of blocks still share a side: a chance merger takes two blocks from
their own partners. Where nothing shares a side any more, some blocks are taken apart again and merged anew, over and
over, as long as the blocks do not get more. The few that are left in the end are packed as if they were pieces.
"""

from collections.abc import Callable, Sequence
from random import Random
from typing import NamedTuple

from kit.passes.packing import Kind, Layout, Pattern, Placed, measure_layout

BEAM, BRANCHES, ROUNDS, ENDS = 8, 40, 200, 4
NOISE, DEPTH, WORSE = 4.0, 0.8, 0.1
"""Pairs by which a preference may be off; how often a block is taken apart further; how often a block more is borne."""
_SCATTER = 0x9E3779B97F4A7C15


class _Block(NamedTuple):
    """A box and what it is made of: a kind of piece, or two blocks beside or above each other."""

    width: int
    height: int
    kind: int = -1
    above: bool = False
    first: "_Block | None" = None
    second: "_Block | None" = None


class _State(NamedTuple):
    blocks: tuple[_Block, ...]
    pairs: int
    mark: int


class _Move(NamedTuple):
    """Two blocks that share a side, and what is left after they are joined."""

    pairs: int
    mark: int
    parent: int
    first: int
    second: int
    box: tuple[int, int]
    above: bool


def merge_pieces(
    kinds: Sequence[Kind], width: int, best: int, bound: int, pack: Callable[[Sequence[Kind]], Layout]
) -> Layout | None:
    """Return the shortest layout made of merged blocks, None where none is shorter than what is had.

    Parameters
    ----------
    kinds
        What is packed; runs of angled pieces are not merged.
    width
        Usable width.
    best, bound
        A length that is had, and the least possible one.
    pack
        Lays out the blocks that are left.

    Notes
    -----
    At most 200 rounds of eight partial mergers: 60 pieces take one to six seconds. The same pieces always merge alike.

    References
    ----------
    G. Schrimpf, J. Schneider, H. Stamm-Wilbrandt, G. Dueck, Record breaking optimization results using the ruin and
    recreate principle, Journal of Computational Physics 159 (2000), p. 139 (from memory).
    """
    if any(kind.run for kind in kinds):
        return None
    turn = all(kind.turn for kind in kinds)
    random = Random(len(kinds))  # noqa: S311  variety, not secrets
    limits = width, best
    single = [_Block(kind.width, kind.height, i) for i, kind in enumerate(kinds) for _ in range(kind.count)]
    blocks = _join(single, limits, None, turn=turn)
    ends = [blocks]
    for _ in range(ROUNDS):
        if len(blocks) == 1:
            break
        loose = _take_apart(blocks, random)
        fresh = _join(loose, limits, random, turn=turn)
        if len(fresh) < len(ends[0]):
            ends = [fresh, *ends][:ENDS]
        if len(fresh) <= len(blocks) + (random.random() < WORSE):
            blocks = fresh
    return _finish_best(ends, best, bound, lambda blocks: pack(_as_kinds(blocks, turn=turn)))


def _take_apart(blocks: Sequence[_Block], random: Random) -> list[_Block]:
    """Take two to five blocks apart, most of their own blocks too."""
    chosen = set(random.sample(range(len(blocks)), min(len(blocks), random.randint(2, 5))))
    loose: list[_Block] = []
    for i, block in enumerate(blocks):
        loose.extend(_open(block, random) if i in chosen else [block])
    return loose


def _open(block: _Block, random: Random) -> list[_Block]:
    if block.first is None or block.second is None:
        return [block]
    loose: list[_Block] = []
    for part in (block.first, block.second):
        loose.extend(_open(part, random) if random.random() < DEPTH else [part])
    return loose


def _join(
    blocks: Sequence[_Block], limits: tuple[int, int], random: Random | None, *, turn: bool
) -> tuple[_Block, ...]:
    """Merge blocks with an equal side until none is left; follow a few partial mergers side by side."""
    beam = [_State(tuple(blocks), _count_pairs(blocks, turn=turn), 0)]
    while len(beam[0].blocks) > 1:
        moves: dict[int, _Move] = {}
        for number, state in enumerate(beam):
            for move in _list_moves(state, number, *limits, turn=turn):
                if move.mark not in moves or moves[move.mark].pairs < move.pairs:
                    moves[move.mark] = move
        if not moves:
            break
        ranked = sorted(
            (-move.pairs - (random.random() * NOISE if random else 0), *move[2:5], move) for move in moves.values()
        )
        beam = [_follow(beam[entry[-1].parent], entry[-1]) for entry in ranked[:BEAM]]
    return beam[0].blocks


def _as_kinds(blocks: Sequence[_Block], *, turn: bool) -> list[Kind]:
    return [Kind(block.width, block.height, 1, turn) for block in blocks]


def _finish_best(
    ends: Sequence[Sequence[_Block]], best: int, bound: int, pack: Callable[[Sequence[_Block]], Layout]
) -> Layout | None:
    """Pack the blocks of several partial mergers and return the shortest layout, None where none beats the best."""
    found: Layout | None = None
    for blocks in ends:
        layout = _finish(blocks, pack)
        if measure_layout(layout) < best:
            best, found = measure_layout(layout), layout
        if best <= bound:
            break
    return found


def _faces(block: _Block, *, turn: bool) -> list[tuple[int, bool]]:
    """Return the sides by which a block can be joined, with whether that is along its width; alike ones once."""
    if turn:
        return [(block.width, True)] if block.width == block.height else [(block.width, True), (block.height, False)]
    return [(2 * block.width + 1, True), (2 * block.height, False)]


def _count_pairs(blocks: Sequence[_Block], *, turn: bool) -> int:
    counts: dict[int, int] = {}
    for block in blocks:
        for side, _ in _faces(block, turn=turn):
            counts[side] = counts.get(side, 0) + 1
    return sum(count * (count - 1) // 2 for count in counts.values())


def _list_moves(state: _State, number: int, width: int, most: int, *, turn: bool) -> list[_Move]:
    """Return the mergers of two blocks with an equal side, those first that leave most pairs."""
    where: dict[int, list[tuple[int, bool]]] = {}
    first: dict[int, list[tuple[int, bool]]] = {}
    seen: dict[tuple[int, int, int], int] = {}
    for i, block in enumerate(state.blocks):
        for side, along in _faces(block, turn=turn):
            where.setdefault(side, []).append((i, along))
            alike = (side, block.width, block.height)
            seen[alike] = seen.get(alike, 0) + 1
            if seen[alike] <= 2:
                first.setdefault(side, []).append((i, along))
    moves: dict[int, _Move] = {}
    for side, owners in first.items():
        for a, (i, along) in enumerate(owners):
            for j, beside in owners[a + 1 :]:
                move = _try_move(state, number, (side, i, along, j, beside), where, width, most, turn=turn)
                if move and move.mark not in moves:
                    moves[move.mark] = move
    return sorted(moves.values(), key=lambda move: -move.pairs)[:BRANCHES]


def _try_move(
    state: _State,
    number: int,
    pair: tuple[int, int, bool, int, bool],
    where: dict[int, list[tuple[int, bool]]],
    width: int,
    most: int,
    *,
    turn: bool,
) -> _Move | None:
    """Return one merger with the pairs that it leaves, None where the block would not fit the cloth."""
    _, i, along, j, beside = pair
    p, q = state.blocks[i], state.blocks[j]
    common = p.width if along else p.height
    total = (p.height if along else p.width) + (q.height if beside else q.width)
    box = (common, total) if along else (total, common)
    if turn:
        if not ((box[0] <= width and box[1] <= most) or (box[1] <= width and box[0] <= most)):
            return None
        box = (max(box), min(box))
    elif box[0] > width or box[1] > most:
        return None
    change: dict[int, int] = {}
    for block, step in ((p, -1), (q, -1), (_Block(*box), 1)):
        for side, _ in _faces(block, turn=turn):
            change[side] = change.get(side, 0) + step
    pairs = state.pairs
    for side, step in change.items():
        have = len(where.get(side, ()))
        pairs += ((have + step) * (have + step - 1) - have * (have - 1)) // 2
    mark = (state.mark + _mark(box) - _mark((p.width, p.height)) - _mark((q.width, q.height))) % 2**64
    return _Move(pairs, mark, number, i, j, box, along)


def _mark(box: tuple[int, int]) -> int:
    """Return a number that differs from box to box, so that sums of them differ from set to set."""
    long, low = max(box), min(box)
    return ((long * 1_000_003 + low) * _SCATTER ^ (long * low + 1) * _SCATTER**2) % 2**64


def _follow(state: _State, move: _Move) -> _State:
    """Join the two blocks of a merger."""
    p, q = state.blocks[move.first], state.blocks[move.second]
    block = _Block(*move.box, -1, move.above, p, q)
    rest = tuple(b for i, b in enumerate(state.blocks) if i not in (move.first, move.second))
    return _State((*rest, block), move.pairs, move.mark)


def _finish(blocks: Sequence[_Block], pack: Callable[[Sequence[_Block]], Layout]) -> Layout:
    """Pack the last blocks and put their pieces back."""
    layout: Layout = []
    for pattern, _ in pack(blocks):
        placed: list[Placed] = []
        for place in pattern.placed:
            _unpack(blocks[place.kind], place.x, place.y, place.width, place.height, placed)
        layout.append((Pattern(pattern.height, tuple(placed)), 1))
    return layout


def _unpack(block: _Block, x: int, y: int, width: int, height: int, placed: list[Placed]) -> None:
    """Put the pieces of a block into a box, turned with it where the box is."""
    if block.first is None or block.second is None:
        placed.append(Placed(block.kind, x, y, width, height))
        return
    area = block.first.width * block.first.height, block.second.width * block.second.height
    for along, side in ((False, height), (True, width)):
        rest = width if not along else height
        if area[0] % side or area[1] % side or (area[0] + area[1]) // side != rest:
            continue
        sizes = area[0] // side, area[1] // side
        if all(_fits(part, side, size) for part, size in zip((block.first, block.second), sizes, strict=True)):
            a, b = sizes
            if along:
                _unpack(block.first, x, y, width, a, placed)
                _unpack(block.second, x, y + a, width, b, placed)
            else:
                _unpack(block.first, x, y, a, height, placed)
                _unpack(block.second, x + a, y, b, height, placed)
            return


def _fits(block: _Block, side: int, other: int) -> bool:
    return sorted((block.width, block.height)) == sorted((side, other))
