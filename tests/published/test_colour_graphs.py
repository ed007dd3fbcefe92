"""Placements with exactly as many prints as a published graph needs, and proofs that one fewer cannot do."""

from itertools import combinations
from random import Random

import pytest
from published_tables import read_table

from kit.planning.colouring.colour_plan import colour_graph
from kit.solvers.placing.exact_placing import search_placement
from kit.solvers.placing.graph_bounds import count_most
from kit.solvers.placing.placement_problem import make_graph_problem

TABLE = {row["graph"]: row for row in read_table("graph_colouring.csv")}


def make_queens(n):
    """Return for each square of a board those that a queen on it attacks."""
    squares = [(row, column) for row in range(n) for column in range(n)]
    near = [set() for _ in squares]
    for (a, (r, c)), (b, (s, d)) in combinations(enumerate(squares), 2):
        if r == s or c == d or abs(r - s) == abs(c - d):
            near[a].add(b)
            near[b].add(a)
    return [sorted(row) for row in near]


def make_mycielski(k):
    """Return the k-th graph of Mycielski's construction, whose first is one edge: no triangle, k + 1 colours."""
    near = [{1}, {0}]
    for _ in range(k - 1):
        n = len(near)
        grown = [set(row) for row in near] + [set() for _ in range(n + 1)]
        for v, row in enumerate(near):
            for w in row:
                grown[n + v].add(w)
                grown[w].add(n + v)
            grown[n + v].add(2 * n)
            grown[2 * n].add(n + v)
        near = grown
    return [sorted(row) for row in near]


GRAPHS = {
    "queen 5x5": make_queens(5),
    "queen 6x6": make_queens(6),
    "queen 7x7": make_queens(7),
    "Mycielski myciel3 (Groetzsch)": make_mycielski(3),
    "myciel4": make_mycielski(4),
    "myciel5": make_mycielski(5),
}


def clashes(near, of):
    return [(a, b) for a, row in enumerate(near) for b in row if of[a] == of[b]]


@pytest.mark.parametrize("name", GRAPHS)
def test_the_graphs_are_the_published_ones(name):
    near = GRAPHS[name]
    assert len(near) == int(TABLE[name]["vertices"])
    assert sum(map(len, near)) == 2 * int(TABLE[name]["edges"])


@pytest.mark.parametrize("name", GRAPHS)
@pytest.mark.parametrize("seed", [0, 1])
def test_a_placement_with_exactly_the_chromatic_number_of_prints_is_found(name, seed):
    near, count = GRAPHS[name], int(TABLE[name]["chromatic_number"])
    answer = colour_graph(near, count, seed=seed)
    assert answer.of is not None
    assert set(answer.of) <= set(range(count))
    assert clashes(near, answer.of) == []


@pytest.mark.parametrize("name", [name for name in GRAPHS if name != "myciel5"])
def test_one_print_fewer_is_proved_impossible(name):
    answer = colour_graph(GRAPHS[name], int(TABLE[name]["chromatic_number"]) - 1)
    assert answer.of is None
    assert answer.proved


def test_one_print_fewer_on_the_largest_is_neither_found_nor_claimed_to_be_proved_when_patience_ends():
    answer = colour_graph(GRAPHS["myciel5"], 5, nodes=2_000)
    assert answer.of is None
    assert not answer.proved


@pytest.mark.parametrize("n", range(3, 12))
def test_a_ring_needs_two_prints_when_even_and_three_when_odd(n):
    near = [[(v - 1) % n, (v + 1) % n] for v in range(n)]
    need = 2 + n % 2
    assert colour_graph(near, need).of is not None
    assert colour_graph(near, need - 1).proved
    assert count_most(near).found == count_most(near).bound == n // 2


@pytest.mark.parametrize("seed", range(5))
def test_a_tree_needs_two_prints_and_never_three(seed):
    random = Random(seed)
    near = [[] for _ in range(40)]
    for v in range(1, 40):
        w = random.randrange(v)
        near[v].append(w)
        near[w].append(v)
    assert clashes(near, colour_graph(near, 2).of) == []
    assert colour_graph(near, 1).proved


@pytest.mark.parametrize("seed", range(6))
def test_the_exact_search_and_trying_everything_agree_on_small_graphs_with_limits(seed):
    random = Random(seed)
    n, count = 6, 3
    pairs = [pair for pair in combinations(range(n), 2) if random.random() < 0.55]
    near = [[b for a, b in [*pairs, *((b, a) for a, b in pairs)] if a == v] for v in range(n)]
    limits = [random.randint(1, 3) for _ in range(count)]
    limits[0] += max(0, n - sum(limits))
    every = [tuple(number // count**v % count for v in range(n)) for number in range(count**n)]
    within = [of for of in every if all(of.count(k) <= limits[k] for k in range(count))]
    least = min(len(clashes(near, of)) // 2 for of in within)
    for allowed in range(least + 1):
        answer = search_placement(make_graph_problem(near, count, limits), allowed)
        assert (answer.of is not None) == (allowed == least)
        assert answer.proved == (allowed < least)
