"""Blocks on point: the places of the blocks and of their setting triangles."""

from kit.geometry.outlines import Outline


def outline_on_point(columns: int, rows: int, block: float) -> list[Outline]:
    """Return the squares, then the side triangles, then the corner triangles of blocks on point.

    Parameters
    ----------
    columns, rows
        Blocks with a corner at the top and bottom edge, and at the side edges.
    block
        Finished side of a block, inches.
    """
    d = block * 2**0.5
    r = d / 2
    wide, high = columns * d, rows * d
    centres = [((c + 0.5) * d, (q + 0.5) * d) for q in range(rows) for c in range(columns)]
    centres += [(c * d, q * d) for q in range(1, rows) for c in range(1, columns)]
    squares: list[Outline] = [((x, y - r), (x + r, y), (x, y + r), (x - r, y)) for x, y in centres]
    across, up = [c * d for c in range(1, columns)], [q * d for q in range(1, rows)]
    sides: list[Outline] = [((x - r, 0.0), (x + r, 0.0), (x, r)) for x in across]
    sides += [((x + r, high), (x - r, high), (x, high - r)) for x in across]
    sides += [((0.0, y + r), (0.0, y - r), (r, y)) for y in up]
    sides += [((wide, y - r), (wide, y + r), (wide - r, y)) for y in up]
    corners: list[Outline] = [
        ((0.0, 0.0), (r, 0.0), (0.0, r)),
        ((wide, 0.0), (wide, r), (wide - r, 0.0)),
        ((wide, high), (wide - r, high), (wide, high - r)),
        ((0.0, high), (0.0, high - r), (r, high)),
    ]
    return squares + sides + corners


def count_on_point(columns: int, rows: int) -> tuple[int, int, int]:
    """Return how many squares, side triangles and corner triangles `outline_on_point` returns."""
    sides = 2 * (columns - 1) + 2 * (rows - 1)
    return columns * rows + (columns - 1) * (rows - 1), sides, 4
