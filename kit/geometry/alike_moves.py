"""Moves that lay patches of a top onto patches like them: turned by any angle, mirrored or not.

The top is first read in one way, however it was turned, moved and listed (`kit.geometry.turned_copies`), so that what
is found depends on the top alone. A patch is known by its kind, its middle and a direction; the same is read of
its mirror image. Two patches that meet are a *pair*, and pairs that a move could lay onto one another are of one class:
any part of two or more patches holds a pair, so the moves between pairs of one class are all the moves there are.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from kit.geometry.congruence import compare_outlines
from kit.geometry.mesh import Mesh
from kit.geometry.outlines import Outline, measure_area, measure_edges
from kit.geometry.turned_copies import PlacedItems, read_turned

Ints: TypeAlias = NDArray[np.int64]
Floats: TypeAlias = NDArray[np.float64]
Places: TypeAlias = NDArray[np.complex128]

NEAR = 2e-3
"""Inches: how far the middle of a patch may be from where a move found on a short distance puts it."""
EXACT = 1e-4
"""Inches: the tolerance after the move is fitted to all its patches."""
CELL = 0.02
"""Inches: the squares in which patches are looked up by their middles."""
ANGLE = 0.02
"""Degrees: directions nearer than this are one direction."""


@dataclass(frozen=True, eq=False)
class Moves:
    """Moves of the plane: the place z comes to turn · z + shift, or to turn · conj(z) + shift where mirrored.

    Attributes
    ----------
    mirrored
        (m,) whether each is mirrored.
    turn, shift
        (m,) complex: a number of length 1, and inches.
    """

    mirrored: NDArray[np.bool_]
    turn: Places
    shift: Places

    def pick(self, chosen: Ints | Sequence[int]) -> "Moves":
        """Return the moves chosen, in that order."""
        at = np.asarray(chosen, dtype=np.int64)
        return Moves(self.mirrored[at], self.turn[at], self.shift[at])


@dataclass(frozen=True, eq=False)
class Patches:
    """The patches of a top as they are read, in an order of their own.

    Attributes
    ----------
    order
        (n,) number of each patch in the order given.
    places
        (n,) middle, x + iy in inches, from the middle of the top.
    kinds
        (2, n) kind of each patch and of its mirror image: label and shape.
    turns
        (2, n) direction in degrees of each patch, and of its image in the x axis.
    periods
        (n,) by how many degrees it can be turned and looks the same.
    tail, head
        (2p,) the patches of each pair; the second half are the same pairs read backwards.
    """

    order: Ints
    places: Places
    kinds: Ints
    turns: Floats
    periods: Floats
    tail: Ints
    head: Ints

    @cached_property
    def pair_classes(self) -> Ints:
        """(2, 2p) class of each pair, and of its mirror image; pairs of one class can be laid onto one another."""
        run = self.places[self.head] - self.places[self.tail]
        run = np.stack([run, np.conj(run)])
        toward = np.degrees(np.angle(run))
        width, leaning = np.abs(run), []
        for end in (self.tail, self.head):
            period = np.broadcast_to(self.periods[end], toward.shape)
            turn = np.mod(self.turns[:, end] - toward, period)
            leaning.append(np.where(turn > period - ANGLE, turn - period, turn))
        rows = [self.kinds[:, self.tail], self.kinds[:, self.head], _name(width, EXACT)]
        rows += [_name(angle, ANGLE) for angle in leaning]
        key = np.zeros(run.size, dtype=np.int64)
        for row in rows:
            key = np.unique(key * (int(row.max(initial=0)) + 1) + row.ravel(), return_inverse=True)[1].ravel()
        return key.reshape(2, -1)

    @cached_property
    def pair_families(self) -> Ints:
        """(p,) the least class of each pair, read either way and mirrored: pairs alike are of one family."""
        return np.asarray(self.pair_classes.reshape(4, -1).min(axis=0), dtype=np.int64)

    @cached_property
    def _cells(self) -> tuple[Ints, Ints, complex, int, int]:
        """Return sorted keys of the cells that each patch touches, its number, and how keys are made."""
        low = complex(self.places.real.min(), self.places.imag.min()) - complex(CELL, CELL)
        rows = int((self.places.imag.max() - low.imag) / CELL) + 3
        kinds = int(self.kinds.max()) + 1
        keys = []
        for dx in (-NEAR, NEAR):
            for dy in (-NEAR, NEAR):
                at = self.places - low + complex(dx, dy)
                cell = np.floor(at.real / CELL).astype(np.int64) * rows + np.floor(at.imag / CELL).astype(np.int64)
                keys.append(cell * kinds + self.kinds[0])
        key = np.concatenate(keys)
        who = np.tile(np.arange(len(self.places)), 4)
        order = np.lexsort((who, key))
        return key[order], who[order], low, rows, kinds

    def find_images(self, moves: Moves, chosen: Ints) -> Ints:
        """Return (m, k) the patch onto which each move lays each chosen patch exactly, or -1.

        Notes
        -----
        Some 0.1 us for each move and patch.
        """
        keys, who, low, rows, kinds = self._cells
        side = moves.mirrored.astype(np.int64)[:, None]
        at = self.places[chosen]
        seen = np.where(side == 1, np.conj(at), at) * moves.turn[:, None] + moves.shift[:, None]
        kind = self.kinds[side, chosen]
        far = seen - low
        row = np.floor(far.imag / CELL)
        cell = np.floor(far.real / CELL) * rows + row
        good = (row >= 0) & (row < rows) & (far.real >= 0)
        key = np.where(good, cell, -1.0).astype(np.int64) * kinds + kind
        hit = np.minimum(np.searchsorted(keys, key), len(keys) - 1)
        found = np.where((keys[hit] == key) & good, who[hit], -1)
        turn = self.turns[side, chosen] + np.degrees(np.angle(moves.turn))[:, None] - self.turns[0, found]
        period = self.periods[chosen]
        off = np.abs(turn - np.round(turn / period) * period)
        near = np.abs(self.places[found] - seen) <= NEAR
        return np.asarray(np.where(near & (off <= 4 * ANGLE), found, -1), dtype=np.int64)

    def fit_move(self, mirrored: bool, chosen: Ints, found: Ints) -> tuple[Moves, float]:
        """Return the move that lays the chosen patches best onto those found, and the worst distance left in inches."""
        a, b = self.places[chosen], self.places[found]
        a = np.conj(a) if mirrored else a
        p, q = a.mean(), b.mean()
        turn = np.sum((b - q) * np.conj(a - p))
        turn = turn / abs(turn)
        shift = q - turn * p
        off = float(np.abs(a * turn + shift - b).max())
        return Moves(np.array([mirrored]), np.array([turn]), np.array([shift])), off

    def follow(self, moves: Moves, chosen: Ints) -> Ints:
        """Return (k,) the patch onto which one move lays each chosen patch, or -1; the move is fitted on the way."""
        found: Ints = self.find_images(moves, chosen)[0]
        hit = found >= 0
        if int(hit.sum()) < 2:
            return np.full(len(chosen), -1)
        fitted, off = self.fit_move(bool(moves.mirrored[0]), chosen[hit], found[hit])
        if off <= EXACT / 10:
            return found
        found = self.find_images(fitted, chosen)[0]
        at = self.places[chosen]
        at = np.conj(at) if moves.mirrored[0] else at
        off_each = np.abs(at * fitted.turn[0] + fitted.shift[0] - self.places[found])
        return np.asarray(np.where((found >= 0) & (off_each <= EXACT), found, -1), dtype=np.int64)

    def find_moves(self, pairs: Ints, onto: Ints, side: Ints) -> Moves:
        """Return the move that lays each pair onto another, or onto that other's image where side is 1."""
        mirrored = side == 1
        ends = self.places[np.stack([self.tail[pairs], self.head[pairs]])]
        ends = np.where(mirrored, np.conj(ends), ends)
        there = self.places[np.stack([self.tail[onto], self.head[onto]])]
        turn = (there[1] - there[0]) / (ends[1] - ends[0])
        turn = turn / np.abs(turn)
        return Moves(mirrored, turn, there.mean(axis=0) - turn * ends.mean(axis=0))


def read_patches(outlines: Sequence[Outline], labels: Sequence[int], mesh: Mesh) -> Patches:
    """Read the patches of a top so that turning, moving or listing it otherwise changes nothing.

    Pairs whose middles coincide are left out: no direction can be read from them.

    Notes
    -----
    Some 0.1 s for 3,000 patches of few shapes.
    """
    n = len(outlines)
    images = [tuple((x, -y) for x, y in reversed(outline)) for outline in outlines]
    likes = compare_outlines([*outlines, *images])
    kinds = _rank_kinds(outlines, labels, [(like.shape, like.hand or "") for like in likes])
    turns = np.array([_read_direction(o, like.first) for o, like in zip([*outlines, *images], likes, strict=True)])
    sizes = np.array([len(outline) for outline in outlines])
    periods = 360.0 * np.array([like.period for like in likes[:n]]) / sizes
    places = find_middles(outlines)
    pose = read_turned(PlacedItems(kinds[:n], places, turns[:n], periods), range(n))
    order = np.array(pose.order)
    lean = float(np.degrees(np.angle(pose.east)))
    turn = np.stack([turns[:n] + lean, turns[n:] - lean])[:, order]
    place = ((places - pose.middle) * pose.east)[order]
    rank = np.empty(n, dtype=np.int64)
    rank[order] = np.arange(n)
    pairs = np.sort(rank[mesh.neighbours], axis=1)
    pairs = pairs[np.abs(place[pairs[:, 0]] - place[pairs[:, 1]]) > 10 * NEAR]
    pairs = pairs[np.lexsort((pairs[:, 1], pairs[:, 0]))]
    tail, head = np.concatenate([pairs, pairs[:, ::-1]]).T
    return Patches(order, place, kinds.reshape(2, n)[:, order], turn, periods[order], tail, head)


def _read_direction(outline: Outline, first: int) -> float:
    (x, y), (p, q) = outline[first], outline[(first + 1) % len(outline)]
    return float(np.degrees(np.arctan2(q - y, p - x)))


def _rank_kinds(outlines: Sequence[Outline], labels: Sequence[int], shapes: Sequence[tuple[int, str]]) -> Ints:
    """Give label and shape together a number that does not depend on the order of the patches; images follow."""
    size: dict[int, tuple[float, float]] = {}
    for i, (shape, _) in enumerate(shapes):
        if shape not in size:
            outline = outlines[i % len(outlines)]
            size[shape] = (round(measure_area(outline), 3), round(sum(measure_edges(outline)), 3))
    wholes = [
        (label, *size[shape], hand, shape) for label, (shape, hand) in zip([*labels, *labels], shapes, strict=True)
    ]
    number = {whole: i for i, whole in enumerate(sorted(set(wholes)))}
    return np.array([number[whole] for whole in wholes], dtype=np.int64)


def find_middles(outlines: Sequence[Outline]) -> Places:
    """Return the centre of gravity of each outline."""
    middles = []
    for outline in outlines:
        x0, y0 = outline[0]
        total = across = up = 0.0
        (a, b) = outline[1][0] - x0, outline[1][1] - y0
        for x, y in outline[2:]:
            c, d = x - x0, y - y0
            cross = a * d - b * c
            total += cross
            across += cross * (a + c)
            up += cross * (b + d)
            a, b = c, d
        middles.append(complex(x0 + across / (3 * total), y0 + up / (3 * total)))
    return np.array(middles)


def _name(values: Floats, tolerance: float) -> Ints:
    """Give the values numbers in rising order so that those which follow within the tolerance share a number."""
    flat = values.ravel()
    order = np.argsort(flat, kind="stable")
    names = np.empty(len(flat), dtype=np.int64)
    names[order] = np.concatenate([[0], np.cumsum(np.diff(flat[order]) > tolerance)])
    return names.reshape(values.shape)
