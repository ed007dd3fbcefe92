"""The kit's layouts beside a packer, simple rules and a constraint solver on published lists of rectangles.

    python tests/benchmarks/packing_pairs.py                        # every class, fixed and turned, steady
    python tests/benchmarks/packing_pairs.py C ngcut --thorough     # some classes, thorough besides
    python tests/benchmarks/packing_pairs.py ngcut --solver 60      # with 60 s a list of a constraint solver

One line per list: pieces, the least length known (without turns; else what the area fills), the kit's nested layout
with its proven bound, its plain rows, the rules, the packer, the solver. `!` marks a nested layout that the rules
undercut, `?` one that the packer or the solver undercuts: these need not cut from edge to edge, so that a proven bound
of the kit may lie above them. The gaps are means of length by the least length. The solver needs `ortools` (`uv sync
--group solver`). Seconds are processor time; the solver's limit is by the clock.
"""

import argparse
from collections import defaultdict
from time import process_time

import rectpack
from priority_rules import find_least_by_rule
from published_rectangles import read_published

from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.row_search import lay_out_rows
from kit.solvers.packing.strip_packing import measure_layout

PACKERS = (
    rectpack.MaxRectsBssf,
    rectpack.MaxRectsBl,
    rectpack.SkylineMwf,
    rectpack.SkylineBl,
    rectpack.GuillotineBssfSas,
)
SORTS = rectpack.SORT_LSIDE, rectpack.SORT_AREA, rectpack.SORT_SSIDE


def pack(published, *, turn):
    """Return the least length of the packer's algorithms and orders."""
    found = []
    for algorithm in PACKERS:
        for sort in SORTS:
            packer = rectpack.newPacker(rotation=turn, pack_algo=algorithm, sort_algo=sort)
            packer.add_bin(published.width, sum(max(piece) for piece in published.pieces))
            for piece in published.pieces:
                packer.add_rect(*piece)
            packer.pack()
            if len(packer.rect_list()) == len(published.pieces):
                found.append(max(y + high for _, _, y, _, high, _ in packer.rect_list()))
    return min(found)


def solve(published, seconds, *, turn):
    """Return the length and the bound of a constraint solver, None where it found no layout in time."""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    most = sum(max(piece) for piece in published.pieces)
    length = model.new_int_var(published.least(turn=turn), most, "length")
    across, along = [], []
    for wide, high in published.pieces:
        faces = [(wide, high), (high, wide)] if turn and wide != high else [(wide, high)]
        chosen = [model.new_bool_var("") for _ in faces]
        model.add_exactly_one(chosen)
        for (w, h), here in zip(faces, chosen, strict=True):
            if w > published.width:
                model.add(here == 0)
                continue
            x, y = model.new_int_var(0, published.width - w, ""), model.new_int_var(0, most, "")
            across.append(model.new_optional_fixed_size_interval_var(x, w, here, ""))
            along.append(model.new_optional_fixed_size_interval_var(y, h, here, ""))
            model.add(y + h <= length).only_enforce_if(here)
    model.add_no_overlap_2d(across, along)
    model.minimize(length)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 1
    if solver.solve(model) not in {cp_model.OPTIMAL, cp_model.FEASIBLE}:
        return None
    return round(solver.objective_value), round(solver.best_objective_bound)


def compare(published, settings, *, turn):
    """Return the length by each way, and the bound of the kit."""
    kinds, width = published.kinds(turn=turn), published.width
    found, taken = {}, {}
    for effort in ("steady", "thorough") if settings.thorough else ("steady",):
        begun = process_time()
        layout, bound = lay_out(kinds, width, effort)
        found[effort], taken[effort] = measure_layout(layout), process_time() - begun
    begun = process_time()
    found["rows"] = measure_layout(lay_out_rows(kinds, width, "steady", bound=bound))
    taken["rows"] = process_time() - begun
    found["rules"] = find_least_by_rule(published.pieces, width, turn=turn)[0]
    found["packer"] = pack(published, turn=turn)
    if settings.solver:
        solved = solve(published, settings.solver, turn=turn)
        if solved:
            found["solver"] = solved[0]
    return found, bound, taken


def mark(found, nested):
    """Return the marks of a layout that others undercut."""
    if nested > found["rules"]:
        return "!"
    return "?" if nested > min(found["packer"], found.get("solver", nested)) else " "


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("families", nargs="*", help="classes: C ngcut cgcut gcut beng bkw; all if none is named")
    parser.add_argument("--thorough", action="store_true", help="lay out thoroughly besides")
    parser.add_argument("--solver", type=float, default=0.0, help="seconds of the constraint solver for each list")
    settings = parser.parse_args()
    gaps, seconds = defaultdict(lambda: defaultdict(list)), defaultdict(float)
    undercut = {"!": [], "?": []}
    for published in read_published(settings.families or None):
        for turn in (False, True):
            found, bound, taken = compare(published, settings, turn=turn)
            nested = found.get("thorough", found["steady"])
            least = published.least(turn=turn)
            name = f"{published.name} {'turned' if turn else 'fixed'}"
            said = "  ".join(f"{way} {length}" for way, length in found.items())
            sign = mark(found, nested)
            print(f"{sign} {name}, {len(published.pieces)} pieces, least {least}, bound {bound}: {said}", flush=True)
            if sign != " ":
                proved = " (proved: no layout by straight cuts is shorter)" if nested == bound else ""
                undercut[sign].append(name + proved)
            for way, length in found.items():
                for family in (published.family, "all"):
                    gaps[family, turn][way].append(length / least)
            for way, time in taken.items():
                seconds[way] += time
    print("\nmean length by the least length known (fixed) or by what the area fills (turned)")
    for (family, turn), ways in gaps.items():
        means = "  ".join(f"{way} {sum(each) / len(each):.4f}" for way, each in ways.items())
        print(f"{family} {'turned' if turn else 'fixed'}, {len(next(iter(ways.values())))} lists: {means}")
    print("\nundercut by the rules:", ", ".join(undercut["!"]) or "none")
    print("undercut by what need not cut from edge to edge:", ", ".join(undercut["?"]) or "none")
    print("seconds:", "  ".join(f"{way} {time:.1f}" for way, time in seconds.items()))


if __name__ == "__main__":
    main()
