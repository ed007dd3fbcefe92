"""Published lists of rectangles for a strip of a given width, with the least length where it is known.

The numbers stand in `tests/benchmarks/instances/rectangles.csv`: width x height * count. `best` is the least length of
the pieces as given, without quarter turns and without the rule that cuts run from edge to edge; empty where it is not
known here. With turns the least length of C, bkw and beng is no shorter: their area fills it.

Sources
-------
C
    E. Hopper, B. Turton, An empirical investigation of meta-heuristic and heuristic algorithms for a 2D packing
    problem, European Journal of Operational Research 128 (2001), p. 34. Cut from a sheet without waste.
ngcut
    J. Beasley, An exact two-dimensional non-guillotine cutting tree search procedure, Operations Research 33 (1985),
    p. 49.
cgcut
    N. Christofides, C. Whitlock, An algorithm for two-dimensional cutting problems, Operations Research 25 (1977),
    p. 30.
gcut
    J. Beasley, Algorithms for unconstrained two-dimensional guillotine cutting, Journal of the Operational Research
    Society 36 (1985), p. 297.
beng
    B. Bengtsson, Packing rectangular pieces: a heuristic approach, The Computer Journal 25 (1982), p. 353.
bkw
    E. Burke, G. Kendall, G. Whitwell, A new placement heuristic for the orthogonal stock-cutting problem, Operations
    Research 52 (2004), p. 655. Cut from a sheet without waste. The lists of 500 and of 3,152 pieces are left out.

The sizes were read from public repositories: C, ngcut, cgcut, beng and gcut1 to 4 from
github.com/Duongsuny/StripPacking, gcut5 to 13 from github.com/Oscar-Oliveira/OR-Datasets, bkw from
github.com/fontanf/packingsolver. Compared with a second one: gcut1 and bkw1 (OR-Datasets), ngcut1, 4, 6, 9 and 12,
cgcut1 to 3, beng1 and 2 (github.com/strippacking/SPP). ngcut, cgcut, gcut and beng lie as in that last one, a copy of
the strip packing library of the operations research group in Bologna: the width is the second side of the source's
sheet.

The least lengths of C and bkw follow from their area, those of beng are what the area fills. Those of ngcut, cgcut and
gcut are from memory (S. Martello, M. Monaci, D. Vigo, An exact approach to the strip-packing problem, INFORMS Journal
on Computing 15 (2003), p. 310); `PROVED` names those that a constraint solver proved for these sizes.
"""

import csv
from collections import Counter
from pathlib import Path
from typing import NamedTuple

from kit.solvers.packing.strip_packing import RectangleKind

PLACE = Path(__file__).parents[1] / "benchmarks" / "instances" / "rectangles.csv"
PROVED = frozenset(
    {
        *(f"ngcut{number}" for number in (1, 2, 3, 4, 5, 7, 8, 11, 12)),
        "cgcut1",
        "gcut1",
        "gcut3",
    }
)
"""Lists whose least length as given a constraint solver proved, without turns or the rule of cuts, in 40 s at most."""


class Published(NamedTuple):
    """A published list: its class and name, the width, its area as it was typed, the least length, the pieces."""

    family: str
    name: str
    width: int
    area: int
    best: int | None
    pieces: tuple[tuple[int, int], ...]

    def kinds(self, *, turn):
        """Return the kinds, alike pieces together."""
        counted = Counter(tuple(sorted(piece, reverse=True)) if turn else piece for piece in self.pieces)
        return [RectangleKind(wide, high, n, turn and wide != high) for (wide, high), n in counted.items()]

    def least(self, *, turn):
        """Return the length that no packing undercuts: the known least, or what the area fills."""
        filled = -(-sum(wide * high for wide, high in self.pieces) // self.width)
        return filled if turn or self.best is None else self.best


def read_published(families=None):
    """Return the published lists, of some classes or all, from the smallest on."""
    with PLACE.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if families is None or row["class"] in families]
    return [
        Published(
            row["class"],
            row["name"],
            int(row["width"]),
            int(row["area"]),
            int(row["best"]) if row["best"] else None,
            tuple(_read_sizes(row["sizes"])),
        )
        for row in sorted(rows, key=lambda row: int(row["pieces"]))
    ]


def _read_sizes(text):
    for entry in text.split():
        sides, _, count = entry.partition("*")
        wide, high = sides.split("x")
        for _ in range(int(count or 1)):
            yield int(wide), int(high)
