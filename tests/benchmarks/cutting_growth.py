"""How the time of a cutting plan grows with the pieces: 1,000 to 20,000 of twelve kinds, in processor time.

    PYTHONPATH=tests/support python tests/benchmarks/cutting_growth.py

Three families: plain cloth; a one-way print whose pieces lie both ways in the top; the same print from two remnants and
a roll, so that what each remnant gives is divided from the rest by its directions. Behind each time stands the exponent
from the line before: 1 where twice the pieces take twice the time.
"""

from dataclasses import replace
from math import log
from time import process_time

from cut_lists import draw_many, make_list

from kit.model.fabrics import Supply
from kit.planning.cutting.cutting_plan import cutting_plan

NUMBERS = 1_000, 3_000, 10_000, 20_000


def lay_both_ways(cuts):
    """Return the list with every second copy of a piece upright in the top."""
    pieces = [replace(piece, headings=tuple(90.0 * (k % 2) for k in range(piece.count))) for piece in cuts.pieces]
    return replace(cuts, pieces=tuple(pieces))


def list_families(number):
    """Yield the name of each family, its cut list and its cloth."""
    cuts = make_list(draw_many(0, number))
    yield "plain", cuts, [Supply("patch")]
    printed = Supply("patch", one_way=True)
    yield "one-way", lay_both_ways(cuts), [printed]
    part = 0.01 * number  # inches: each remnant gives about a seventh of the pieces
    remnant = replace(printed, form="remnant", length=part, count=1)
    yield "one-way, three supplies", lay_both_ways(cuts), [remnant, remnant, printed]


def main():
    for effort in ("quick", "steady"):
        last = {}
        for number in NUMBERS:
            for family, cuts, supplies in list_families(number):
                begun = process_time()
                cutting_plan(cuts, supplies, effort=effort)
                seconds = process_time() - begun
                before = last.get(family)
                power = f", exponent {log(seconds / before[1]) / log(number / before[0]):.2f}" if before else ""
                print(f"{effort}, {family}, {number} pieces: {seconds:.2f} s{power}", flush=True)
                last[family] = number, seconds


if __name__ == "__main__":
    main()
