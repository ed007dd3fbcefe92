"""How long a placement takes, with supply that leaves nothing to spare, and how a general greedy colouring compares.

The greedy colouring knows no supply: what lies above a fabric's limit counts as a violation, as does a clash. Evenness
is the largest less the smallest use. Both figures stand in `extra_info` of the benchmark's report.
"""

from random import Random

import pytest
import rustworkx

from kit.checks.colouring_check import check_colouring
from kit.geometry.outlines import make_rectangle
from kit.model.fabrics import Fabric
from kit.model.patchwork import Patch, Patchwork
from kit.model.rules import Rules
from kit.planning.colouring.colour_plan import colour_plan
from kit.planning.colouring.forbidden_pairs import join_pairs, list_pairs

SIZES = {1000: (40, 25), 3000: (60, 50)}
PRINTS = 40
RULES = {"edges": Rules(), "corners": Rules(touching="corners"), "apart": Rules(touching="corners", apart=3)}


def make_grid(columns, rows):
    return Patchwork(
        tuple(
            Patch(f"r{r:02d}c{c:02d}", make_rectangle(2 * c, 2 * r, 2, 2), "scrap")
            for r in range(rows)
            for c in range(columns)
        )
    )


def make_fabrics(limits):
    return [Fabric("scrap", f"Print {k:02d}", f"#{(k * 37) % 256:02x}6070", limit) for k, limit in enumerate(limits)]


def plant(near, count, seed):
    """Return the uses of a placement without violation, drawn at random: some prints come far more often."""
    random = Random(seed)
    weights = [random.random() ** 2 + 0.05 for _ in range(count)]
    of = [-1] * len(near)
    for patch, row in enumerate(near):
        free = [k for k in range(count) if all(of[other] != k for other in row)]
        of[patch] = random.choices(free, [weights[k] for k in free])[0]
    return [max(1, of.count(k)) for k in range(count)]


def colour_greedily(near):
    """Return the uses of a general greedy colouring, which has no clash and knows no supply."""
    graph = rustworkx.PyGraph()
    graph.add_nodes_from(range(len(near)))
    graph.add_edges_from_no_data([(a, b) for a, row in enumerate(near) for b in row if a < b])
    colours = rustworkx.graph_greedy_color(graph)
    assert all(colours[a] != colours[b] for a, row in enumerate(near) for b in row)
    return [list(colours.values()).count(k) for k in range(max(PRINTS, max(colours.values()) + 1))]


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("count", SIZES)
def test_planted_supply_is_met_with_no_more_violations_than_a_greedy_colouring(benchmark, count, rule):
    grid, rules = make_grid(*SIZES[count]), RULES[rule]
    near = join_pairs(list_pairs(grid, rules, ["scrap"]), count)
    limits = plant(near, PRINTS, count)
    fabrics = make_fabrics(limits)
    made = benchmark(colour_plan, grid, fabrics, 1, rules)
    check_colouring(grid, fabrics, made, rules)
    greedy = colour_greedily(near)
    over = sum(max(0, use - limit) for use, limit in zip(greedy, [*limits, *(0,) * len(greedy)], strict=False))
    assert made.violations == 0 <= over
    benchmark.extra_info.update(
        violations=made.violations,
        greedy_violations=over,
        evenness=max(made.uses.values()) - min(made.uses.values()),
        greedy_evenness=max(greedy) - min(greedy),
    )


@pytest.mark.parametrize("count", SIZES)
@pytest.mark.parametrize("prints", [6, PRINTS])
def test_prints_without_limits_are_used_evenly(benchmark, count, prints):
    grid = make_grid(*SIZES[count])
    fabrics = make_fabrics([None] * prints)
    made = benchmark(colour_plan, grid, fabrics, 1)
    check_colouring(grid, fabrics, made)
    greedy = colour_greedily(join_pairs(list_pairs(grid, Rules(), ["scrap"]), count))[:prints]
    evenness = max(made.uses.values()) - min(made.uses.values())
    assert made.violations == 0
    assert evenness <= max(greedy) - min(greedy)
    benchmark.extra_info.update(evenness=evenness, greedy_evenness=max(greedy) - min(greedy))


def test_wishes_for_a_thousand_patches(benchmark):
    grid, fabrics = make_grid(*SIZES[1000]), make_fabrics([None] * 12)
    rules = Rules(difference=15.0, spread=True, no_stripes=True)
    made = benchmark.pedantic(colour_plan, (grid, fabrics, 1, rules), rounds=1)
    check_colouring(grid, fabrics, made, rules)
    assert made.violations == 0


def test_pins_on_a_thousand_patches(benchmark):
    grid, fabrics = make_grid(*SIZES[1000]), make_fabrics([None] * 12)
    rules = Rules(pins=(("r10c10", "Print 03"), ("r10c12", "Print 03"), ("r20c30", "Print 05")))
    made = benchmark(colour_plan, grid, fabrics, 1, rules)
    check_colouring(grid, fabrics, made, rules)
    assert made.violations == 0
