"""A backing from pieces on hand: columns of pieces sewn end to end, and the columns sewn side by side."""

from collections.abc import Sequence
from itertools import accumulate, product

from kit.geometry.outlines import make_rectangle
from kit.lengths import SLACK
from kit.model.finishing_parts import Panel

MOST = 9
"""The most pieces to try, the largest first: each makes the search three times as long."""

Size = tuple[float, float]
Column = tuple[float, tuple[tuple[int, Size], ...]]


def lay_seams(lengths: Sequence[float], allowance: float, needed: float) -> tuple[float, ...]:
    """Return the beginnings and ends of pieces sewn in a row: zero, each seam, and the length needed.

    Examples
    --------
    >>> lay_seams((40, 40), 0.5, 68)
    (0.0, 39.5, 68.0)
    """
    sums = list(accumulate(lengths))
    seams = [total - (2 * k + 1) * allowance for k, total in enumerate(sums[:-1])]
    return (0.0, *(float(seam) for seam in seams), float(needed))


def piece_backing(
    needed: Size, pieces: Sequence[Size], allowance: float, *, turning: bool = True
) -> tuple[tuple[Panel, ...], Size]:
    """Piece a backing from cloth on hand with the fewest pieces, then with the least cloth.

    For every set of pieces find its widest column, sewn end to end and long enough, with each piece turned
    either way; then for every set the widest row of such columns. The columns run along the quilt; if pieces may be
    turned, columns across it are tried too.

    Parameters
    ----------
    needed
        (width, height) to cover, inches.
    pieces
        (width, length) of each piece, inches.
    allowance
        Allowance of the seams.
    turning
        Whether pieces may lie on their side.

    Returns
    -------
    tuple
        The panels, empty if the pieces are not enough, and the resulting (width, height).

    Notes
    -----
    Exact for backings made of columns; O(3^n) for n pieces; only the nine largest are tried.
    """
    largest = sorted(range(len(pieces)), key=lambda i: (-pieces[i][0] * pieces[i][1], i))[:MOST]
    kept = [pieces[i] for i in sorted(largest)]
    found = []
    for turned in (False, True) if turning else (False,):
        across, along = needed[::-1] if turned else needed
        columns = _find_columns(kept, across, along, allowance, turning=turning)
        if columns:
            used = sum(size[0] * size[1] for _, column in columns for _, size in column)
            found.append((sum(len(column) for _, column in columns), round(used, 6), turned, columns))
    if not found:
        return (), (0.0, 0.0)
    _, _, turned, columns = min(found, key=lambda entry: entry[:3])
    return _lay_columns(columns, needed, allowance, turned=turned)


def _find_columns(
    pieces: Sequence[Size], across: float, along: float, allowance: float, *, turning: bool
) -> tuple[Column, ...]:
    """Return the columns that cover the width with the fewest pieces; empty if there are none."""
    full = 1 << len(pieces)
    best = {mask: _find_column(mask, pieces, along, allowance, turning=turning) for mask in range(1, full)}
    rows: list[tuple[float, tuple[Column, ...]]] = [(0.0, ())] * full
    good: list[tuple[int, float, int]] = []
    for mask in range(1, full):
        part = mask
        while part:
            column = best[part]
            width, before = rows[mask ^ part]
            wide = column[0] + (width - 2 * allowance if before else 0.0) if column[0] else 0.0
            if wide > rows[mask][0] + SLACK and (before or mask == part):
                rows[mask] = (wide, (*before, column))
            part = (part - 1) & mask
        if rows[mask][0] >= across - SLACK:
            size = sum(pieces[i][0] * pieces[i][1] for i in range(len(pieces)) if mask >> i & 1)
            good.append((mask.bit_count(), size, mask))
    return rows[min(good)[2]][1] if good else ()


def _find_column(mask: int, pieces: Sequence[Size], along: float, allowance: float, *, turning: bool) -> Column:
    """Return the widest long enough column of exactly these pieces; without width if there is none."""
    chosen = [i for i in range(len(pieces)) if mask >> i & 1]
    best: Column = (0.0, ())
    for turns in product((False, True) if turning else (False,), repeat=len(chosen)):
        sizes = [pieces[i][::-1] if turn else pieces[i] for i, turn in zip(chosen, turns, strict=True)]
        length = sum(size[1] for size in sizes) - 2 * allowance * (len(sizes) - 1)
        width = min(size[0] for size in sizes)
        if length >= along - SLACK and width > best[0] + SLACK:
            best = (width, tuple(zip(chosen, sizes, strict=True)))
    return best


def _lay_columns(
    columns: Sequence[Column], needed: Size, allowance: float, *, turned: bool
) -> tuple[tuple[Panel, ...], Size]:
    """Lay the columns left to right, or bottom to top if the whole is turned."""
    across, along = needed[::-1] if turned else needed
    edges = lay_seams([width for width, _ in columns], allowance, across)
    panels = []
    for (_, column), left, right in zip(columns, edges, edges[1:], strict=False):
        rungs = lay_seams([size[1] for _, size in column], allowance, along)
        for (_, size), low, high in zip(column, rungs, rungs[1:], strict=False):
            box = (low, left, high - low, right - left) if turned else (left, low, right - left, high - low)
            panels.append(Panel(size[::-1] if turned else size, make_rectangle(*box)))
    covered = sum(width for width, _ in columns) - 2 * allowance * (len(columns) - 1)
    shortest = min(sum(size[1] for _, size in column) - 2 * allowance * (len(column) - 1) for _, column in columns)
    return tuple(panels), (shortest, covered) if turned else (covered, shortest)
