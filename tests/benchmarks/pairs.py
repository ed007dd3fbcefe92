"""The kit beside general libraries that do a part of the same, in one run, in turn; medians and their ratios.

    PYTHONPATH=.:tests/benchmarks:tests/support python tests/benchmarks/pairs.py [NAME ...] [--rounds N] [--write]

Names are those of `PAIRS`; without any, all are measured. With `--write` the table in DEVELOPERS.md takes the lines
that were measured and keeps the others. Screens are measured by the clock in Chromium, all else in processor time. A
busy machine slows both of a pair; the ratio is what to read.
"""

import argparse
import re
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from random import Random
from statistics import median
from time import process_time
from typing import Any

import networkx as nx
import quilt_moves
import rectpack

from kit.planning.colouring.colour_plan import colour_graph
from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.strip_packing import RectangleKind, measure_layout
from kit.solvers.routing.trails import plan_trails
from kit.solvers.routing.travel import NetworkEdge

GUIDE = Path(__file__).resolve().parents[2] / "DEVELOPERS.md"
BEGIN, END = "<!-- pairs -->", "<!-- end of pairs -->"
HEAD = "| what | the kit | beside it | ratio |\n|---|---|---|---|"
Row = tuple[str, str, str, float]


def time_in_turn(rounds: int, *acts: Callable[[], Any]) -> list[float]:
    """Return the median processor time of each act, milliseconds, all done in turn."""
    taken: list[list[float]] = [[] for _ in acts]
    for _ in range(rounds):
        for act, times in zip(acts, taken, strict=True):
            begun = process_time()
            act()
            times.append(1000 * (process_time() - begun))
    return [median(times) for times in taken]


def say_pair(what: str, ours: float, other: float, beside: str, unit: str = "ms") -> Row:
    """Return a line of the table."""
    return what, f"{ours:,.0f} {unit}", f"{other:,.0f} {unit} ({beside})", ours / other


# ---- screens -----------------------------------------------------------------------------------------------------


def pair_moves(rounds: int) -> Iterator[Row]:
    """A key on a slider to the last change of the picture."""
    for what, size, ours, other in quilt_moves.measure_moves(rounds):
        if what == "move":
            yield say_pair(f"slider to pixels, {size:,} patches", ours, other, "the drawing library, no model")
        else:
            yield say_pair(f"pan and zoom, {size:,} patches", ours, other, "the same", "pictures a second")


def pair_printed(rounds: int) -> Iterator[Row]:
    """The same, the quilt of photographs of cloth, the library's polygons of plain colours."""
    for what, size, ours, other in quilt_moves.measure_moves(rounds, printed=True):
        if what == "move":
            yield say_pair(f"slider to pixels, {size:,} patches of printed cloth", ours, other, "the library, plain")


def pair_openings(rounds: int) -> Iterator[Row]:
    """From Run All in a new kernel to the first live picture."""
    for _, size, ours, other in quilt_moves.measure_openings(max(1, rounds // 3)):
        yield say_pair(f"Run All to the first live picture, {size:,} patches", ours, other, "the library alone")


# ---- start -------------------------------------------------------------------------------------------------------


def pair_starts(rounds: int) -> Iterator[Row]:
    """Processor time of whole interpreters."""
    bare = "pass"
    pairs = {
        "`import kit`": ("import kit", bare, "bare Python"),
        "the command's help": ("import sys; sys.argv = ['kit', '--help']; from kit.__main__ import main\n"
                               "try: main()\nexcept SystemExit: pass", bare, "bare Python"),
        "the explorer's imports": ("import kit; kit.explore", "import bokeh.plotting, jupyter_bokeh", "the library"),
    }  # fmt: skip
    for what, (ours, other, beside) in pairs.items():
        times = [[run_child(text) for text in (ours, other)] for _ in range(rounds)]
        yield say_pair(what, *(median(column) for column in zip(*times, strict=True)), beside)


def run_child(text: str) -> float:
    """Return the processor time of an interpreter that runs a text, milliseconds."""
    text = f"import atexit, sys, time\natexit.register(lambda: print(time.process_time(), file=sys.stderr))\n{text}"
    done = subprocess.run([sys.executable, "-c", text], capture_output=True, text=True, check=True)
    return 1000 * float(done.stderr.split()[-1])


# ---- solvers -----------------------------------------------------------------------------------------------------


def pair_cutting(rounds: int) -> Iterator[Row]:
    """Lists of rectangles on a strip, as long as the packer's and the kit's layouts of them."""
    lengths: list[tuple[float, float]] = []
    for number in range(rounds):
        random = Random(number)
        pieces = [(random.randint(2, 12), random.randint(2, 12)) for _ in range(12)]
        kinds = {piece: random.randint(4, 30) for piece in pieces}
        layout, _ = lay_out([RectangleKind(wide, high, count) for (wide, high), count in kinds.items()], 40, "steady")
        packer = rectpack.newPacker(rotation=False, pack_algo=rectpack.GuillotineBssfSas, sort_algo=rectpack.SORT_SSIDE)
        packer.add_bin(40, 10_000)
        for (wide, high), count in kinds.items():
            for _ in range(count):
                packer.add_rect(wide, high)
        packer.pack()
        lengths.append((measure_layout(layout), max(y + high for _, _, y, _, high, _ in packer.rect_list())))
    ours, other = (median(column) for column in zip(*lengths, strict=True))
    yield say_pair("length of strip for twelve kinds of rectangles", ours, other, "rectpack, straight cuts", "in")


def pair_colouring(rounds: int) -> Iterator[Row]:
    """3,000 patches that meet as triangles do, coloured so that neighbours differ."""
    graph = nx.triangular_lattice_graph(54, 108)
    numbers = {node: i for i, node in enumerate(graph)}
    adjacent = [[numbers[other] for other in graph[node]] for node in graph]
    ours, other = time_in_turn(
        rounds,
        lambda: colour_graph(adjacent, 6),
        lambda: nx.greedy_color(graph, strategy="smallest_last"),
    )
    yield say_pair(f"colouring {len(graph):,} patches", ours, other, "networkx, no even use")


def pair_route(rounds: int) -> Iterator[Row]:
    """One route along every line of a lattice."""
    graph = nx.MultiGraph(nx.grid_2d_graph(9, 9))
    numbers = {node: i for i, node in enumerate(graph)}
    edges = [NetworkEdge(numbers[a], numbers[b], 1.0) for a, b in graph.edges()]
    ours, other = time_in_turn(
        rounds, lambda: plan_trails(edges), lambda: list(nx.eulerian_circuit(nx.eulerize(graph)))
    )
    yield say_pair(f"a route along {len(edges)} lines", ours, other, "networkx, doubled edges")


PAIRS: dict[str, Callable[[int], Iterator[Row]]] = {
    "moves": pair_moves, "printed": pair_printed, "openings": pair_openings, "starts": pair_starts,
    "cutting": pair_cutting, "colouring": pair_colouring, "route": pair_route,
}  # fmt: skip


def write_rows(rows: list[Row]) -> None:
    """Put these lines into the table of the guide, in place of those that told the same."""
    text = GUIDE.read_text(encoding="utf-8")
    before, held, after = re.split(f"{BEGIN}|{END}", text)
    kept = {line.split("|")[1].strip(): line for line in held.splitlines() if line.startswith("|")}
    kept = dict(list(kept.items())[2:])
    kept |= {what: f"| {what} | {ours} | {other} | {ratio:.2f} |" for what, ours, other, ratio in rows}
    table = "\n".join([HEAD, *kept.values()])
    GUIDE.write_text(f"{before}{BEGIN}\n{table}\n{END}{after}", encoding="utf-8")


def main() -> None:
    """Measure what is asked for, print it, and write it down on request."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("names", nargs="*", choices=[*PAIRS, []], help="what to measure; all if nothing is named")
    parser.add_argument("--rounds", type=int, default=9)
    parser.add_argument("--write", action="store_true", help="put the lines into DEVELOPERS.md")
    asked = parser.parse_args()
    for name in asked.names or PAIRS:
        for row in PAIRS[name](asked.rounds):
            sys.stdout.write("{}: {}, beside {}: {:.2f}\n".format(*row))
            sys.stdout.flush()
            if asked.write:
                write_rows([row])


if __name__ == "__main__":
    main()
