"""Cut lists made by hand for the tests of the cutting plan: rectangles of given cut sizes."""

from collections import Counter
from random import Random

from kit.geometry.outlines import make_rectangle
from kit.model.cutting import CutList, Piece


def make_piece(number, width, length, count):
    """Return a rectangle or square of a cut size; its finished size does not matter here."""
    width, length = sorted((float(width), float(length)))
    size = {"side": length} if width == length else {"width": width, "length": length}
    kind = "square" if width == length else "rectangle"
    outline = make_rectangle(0, 0, length, width)
    straight = (False,) * 4
    return Piece(
        f"A{number}", kind, "patch", count, None, "patch", size, size, {}, outline, (90.0,) * 4, straight, 0, (), ()
    )


def make_list(sizes, *, step=0.125):
    """Return the cut list of (width, length, count) rectangles in inches."""
    return CutList(tuple(make_piece(i, *size) for i, size in enumerate(sizes, start=1)), 0.25, step)


def dissect(seed, number, *, width=40.0, step=0.125, least=1.5):
    """Cut a sheet into a number of rectangles by random cuts from edge to edge; return its length and their sizes.

    The larger a rectangle is, the more likely it is to be cut, across its longer side more often than not.
    """
    random = Random(seed)
    across, few = round(width / step), round(least / step)
    length = random.randint(across // 2, 2 * across)
    parts = [(across, length)]
    while len(parts) < number:
        wide, high = parts.pop(random.choices(range(len(parts)), [w * h for w, h in parts])[0])
        upright = random.random() < wide / (wide + high)
        side = wide if upright else high
        if side < 2 * few:
            parts.append((wide, high))
            continue
        cut = random.randint(few, side - few)
        parts += [(cut, high), (wide - cut, high)] if upright else [(wide, cut), (wide, high - cut)]
    counted = Counter((min(part) * step, max(part) * step) for part in parts)
    return length * step, [(low, long, count) for (low, long), count in sorted(counted.items())]


def count_by_kind(sizes, width):
    """Return the length that strips take when each size is cut from strips of its own, the better way round."""
    total = 0.0
    for low, long, count in sizes:
        sides = [(along, high) for along, high in ((low, long), (long, low)) if along <= width]
        ways = [-(-count // int((width + 1e-6) // along)) * high for along, high in sides]
        total += min(ways)
    return total


def draw_many(seed, pieces=1500, kinds=12):
    """Return (width, length, count) of so many pieces of so many kinds, sides from 1 1/2 to 10 in."""
    random = Random(seed)
    sizes = {}
    while len(sizes) < kinds:
        sizes[tuple(sorted(random.randint(12, 80) / 8 for _ in range(2)))] = random.randint(20, 230)
    share = pieces / sum(sizes.values())
    return [(*sides, round(count * share)) for sides, count in sizes.items()]
