"""How near the least the cutting plan comes: sheets cut apart at random, and random lists of pieces.

    python tests/sweeps/cutting_sweep.py sheets 0 200            # recovered to within so much of no waste
    python tests/sweeps/cutting_sweep.py lists 0 200             # the gap to the proven bound, nested and in plain rows
    python tests/sweeps/cutting_sweep.py lists 0 200 steady      # as for a pattern that is printed

Beside each nested list stands the price of plain rows: what they take beyond the proven bound, no strip wider than a
ruler of 24 in. That bound is for any straight cuts, so below it stands the gap to a bound for rows alone. The packer is
a general-purpose one from the package index. It may turn pieces and need not cut from edge to edge, but it does not
search: its ratio tells what searching is worth, no more.
"""

import sys
from random import Random
from time import process_time

import rectpack
from cut_lists import count_by_kind, dissect, make_list

from kit.checks.cutting_check import check_cutting_plan
from kit.model.cutting import LEAST_CLOTH, ClothWishes
from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.solvers.packing.row_search import prove_rows
from kit.solvers.packing.strip_packing import RectangleKind

WIDTHS = 39.0, 40.0, 42.0


def draw_sheet(seed):
    """Return the usable width, the length and the sizes of a sheet of 5 to 60 rectangles."""
    random = Random(seed)
    width = random.choice(WIDTHS)
    return (width, *dissect(seed, random.randint(5, 60), width=width))


def draw_list(seed):
    """Return a usable width and (width, length, count) of 2 to 12 kinds, from a few pieces to some hundred of each."""
    random = Random(seed)
    sizes = {}
    for _ in range(random.randint(2, 12)):
        longest = random.choice((3.5, 7.5, 15.0))
        low, long = sorted(random.randint(12, round(longest * 8)) / 8 for _ in range(2))
        sizes[low, long] = random.randint(1, random.choice((4, 16, 40, 120)))
    return random.choice(WIDTHS), [(*sides, count) for sides, count in sizes.items()]


def plan(sizes, width, effort="thorough", nesting="always"):
    """Return the checked plan of a list of sizes."""
    cuts = make_list(sizes)
    wishes = LEAST_CLOTH if nesting == "always" else ClothWishes(nesting)
    found = cutting_plan(cuts, [Supply("patch", width=width)], effort=effort, wishes=wishes)
    check_cutting_plan(cuts, found)
    assert not found.short
    return found


def bound_rows(sizes, width, effort, least):
    """Return the proven least length of plain rows within a ruler of 24 in; `least` is that of any straight cuts."""
    kinds = [RectangleKind(round(long * 8), round(low * 8), n, low != long) for low, long, n in sizes]
    most = round(ClothWishes().ruler * 8)
    return prove_rows(kinds, round(width * 8), effort, most=most, bound=round(least * 8))[1] / 8


def pack(sizes, width):
    """Return the least length that the packer finds by its algorithms in their usual order of pieces."""
    least = sum(max(low, long) * count for low, long, count in sizes)
    for algorithm in (rectpack.MaxRectsBssf, rectpack.MaxRectsBl, rectpack.SkylineMwf, rectpack.GuillotineBssfSas):
        packer = rectpack.newPacker(rotation=True, pack_algo=algorithm, sort_algo=rectpack.SORT_LSIDE)
        packer.add_bin(round(width * 8), round(least * 8))
        for low, long, count in sizes:
            for _ in range(count):
                packer.add_rect(round(low * 8), round(long * 8))
        packer.pack()
        if len(packer.rect_list()) == sum(count for *_, count in sizes):
            least = min(least, max(y + height for _, _, y, _, height, _ in packer.rect_list()) / 8)
    return least


def sweep_sheets(seeds, effort):
    over, seconds = [], []
    for seed in seeds:
        width, length, sizes = draw_sheet(seed)
        begun = process_time()
        found = plan(sizes, width, effort)
        seconds.append(process_time() - begun)
        over.append(found.cloth["patch"] / length - 1)
        if over[-1] > 0.01:
            print(f"sheet {seed}: {sum(n for *_, n in sizes)} pieces, {100 * over[-1]:.2f} % more, {seconds[-1]:.1f} s")
    tell(over, seconds)


def sweep_lists(seeds, effort):
    over, seconds, ratios, rows, slow, alone = [], [], [], [], [], []
    for seed in seeds:
        width, sizes = draw_list(seed)
        begun = process_time()
        found = plan(sizes, width, effort)
        seconds.append(process_time() - begun)
        over.append(found.gap)
        assert found.cloth["patch"] <= count_by_kind(sizes, width) + 1e-6
        begun = process_time()
        plain = plan(sizes, width, effort, "never")
        slow.append(process_time() - begun)
        rows.append(plain.cloth["patch"] / found.bound["patch"] - 1)
        alone.append(plain.cloth["patch"] / bound_rows(sizes, width, effort, found.bound["patch"]) - 1)
        ratios.append(found.cloth["patch"] / pack(sizes, width))
        if over[-1] > 0.03:
            print(f"list {seed}: {sum(n for *_, n in sizes)} pieces, gap {100 * over[-1]:.2f} %, {seconds[-1]:.1f} s")
    tell(over, seconds)
    print("in plain rows:")
    tell(rows, slow)
    print("in plain rows, over what rows can reach:")
    tell(alone, slow)
    print(f"length by the packer's: mean {sum(ratios) / len(ratios):.3f}, from {min(ratios):.3f} to {max(ratios):.3f}")


def tell(over, seconds):
    mean = sum(over) / len(over)
    print(f"{len(over)}: mean {100 * mean:.2f} %, worst {100 * max(over):.2f} %, none in {sum(o < 1e-9 for o in over)}")
    print(f"seconds: mean {sum(seconds) / len(seconds):.1f}, longest {max(seconds):.1f}")


if __name__ == "__main__":
    what, first, last, *rest = sys.argv[1:]
    {"sheets": sweep_sheets, "lists": sweep_lists}[what](range(int(first), int(last)), *(rest or ["thorough"]))
