"""Partial seams against counts of floorplans: a floorplan needs none just when straight cuts can take it apart."""

import csv
import json
from pathlib import Path

import pytest
from subdivisions import as_outlines, list_floorplans, list_partitions

from kit.checks.sewing_check import check_sewing_plan
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.planning.pieces.cut_list import cut_list
from kit.planning.sewing.seam_tree import find_order, split_cost
from kit.planning.sewing.seams import build_seams
from kit.planning.sewing.sewing_plan import sewing_plan
from kit.rehearsal.rehearse import rehearse

DATA = Path(__file__).parents[2] / "data" / "published"


def read_rows(name):
    lines = (DATA / name).read_text(encoding="utf-8").splitlines()
    return [{key: int(value) for key, value in row.items()} for row in csv.DictReader(x for x in lines if x[0] != "#")]


FLOORPLANS = {row["rooms"]: row for row in read_rows("floorplan_counts.csv")}
GRIDS = {(row["m"], row["n"]): row for row in read_rows("grid_partition_counts.csv")}
SQUARED = json.loads((DATA / "squared_rectangles.json").read_text(encoding="utf-8"))["cases"]


def count_seams(outlines):
    """Return the least (partial, set-in) seams and what is proved of them, without writing the steps."""
    patchwork = patchwork_from_outlines(outlines)
    n = len(patchwork.patches)
    seams = build_seams(patchwork.mesh, range(n), [()] * n)
    order = find_order(seams, patchwork.mesh.twin.tolist(), {i: (i,) for i in range(n)})
    assert order.bound == order.cost
    return split_cost(order.cost)


@pytest.mark.parametrize("rooms", [1, 2, 3, 4, 5, 6])
def test_floorplans_that_need_no_partial_seam_are_the_slicing_ones(rooms):
    found = [count_seams(as_outlines(plan)) for plan in list_floorplans(rooms)]
    row = FLOORPLANS[rooms]
    assert len(found) == row["mosaic"]
    assert found.count((0, 0)) == row["guillotine_slicing"]
    assert found.count((1, 0)) == row["non_slicing"]


def test_both_pinwheels_of_five_rooms_come_out_with_one_partial_seam_when_rehearsed():
    plans = [patchwork_from_outlines(as_outlines(plan)) for plan in list_floorplans(5)]
    turned = [p for p in plans if sewing_plan(p).partial_seams]
    assert len(turned) == 2
    for patchwork in turned:
        cuts = cut_list(patchwork)
        plan = sewing_plan(patchwork, cuts)
        check_sewing_plan(patchwork, cuts, plan)
        assert rehearse(cuts, plan).agrees


@pytest.mark.parametrize("size", [(1, 4), (2, 3), (2, 4), (3, 3), (3, 4)])
def test_grids_cut_into_rectangles_need_none_as_often_as_divide_and_conquer_makes_them(size):
    found = [count_seams(as_outlines(plan)) for plan in list_partitions(*size)]
    row = GRIDS[size]
    assert len(found) == row["all_partitions"]
    assert found.count((0, 0)) == row["guillotine_partitions"]
    assert all(set_in == 0 for _, set_in in found)


@pytest.mark.parametrize("case", SQUARED, ids=[case["name"] for case in SQUARED])
def test_squared_rectangles_need_a_partial_seam_and_their_plans_survive_the_rehearsal(case):
    outlines = [make_rectangle(x, y, side, side) for x, y, side in case["squares_x_y_side"]]
    patchwork = patchwork_from_outlines(outlines)
    cuts = cut_list(patchwork)
    plan = sewing_plan(patchwork, cuts)
    assert plan.partial_seams >= 1
    assert plan.partial_bound == plan.partial_seams
    assert plan.set_in_seams == 0
    check_sewing_plan(patchwork, cuts, plan)
    assert rehearse(cuts, plan).agrees
