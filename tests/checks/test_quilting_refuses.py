"""Damaged quilting plans, each refused by name."""

from dataclasses import replace

import pytest
import shapely

import kit
from kit.checks.quilting_check import check_quilting_plan
from kit.checks.quilting_cloth_check import join_shapes
from kit.errors import CheckError
from kit.geometry.outlines import make_rectangle
from kit.model.patchwork import patchwork_from_outlines
from kit.model.quilting import RouteStretch, ThreadEnd, ThreadRun
from kit.model.quilting_wishes import QuiltingWishes, Stitching
from kit.planning.quilting.quilting_plan import quilting_plan

PATCHWORK = patchwork_from_outlines(
    [make_rectangle(4 * i, 4 * j, 4, 4) for j in range(3) for i in range(3)], ["a", "b"] * 4 + ["a"]
)
WISHES = QuiltingWishes((Stitching(), Stitching("a", "meander", 1.0), Stitching("b", "outline", 1.0)), gap_limit=4.0)
PLAN = quilting_plan(PATCHWORK, WISHES)


def put(items, n, **changes):
    items = list(items)
    items[n] = replace(items[n], **changes)
    return tuple(items)


def put_stretches(stretches, r=0):
    return replace(PLAN, runs=put(PLAN.runs, r, stretches=tuple(stretches)))


def refuse(plan, *words):
    with pytest.raises(CheckError) as told:
        check_quilting_plan(PATCHWORK, plan)
    for word in words:
        assert word in str(told.value)


def first(kind=None, way=None):
    """The place of the first stretch of a kind, or that stitches a line of a way."""
    ways = {line.id: line.way for line in PLAN.lines}
    for k, stretch in enumerate(PLAN.runs[0].stretches):
        if (kind is None or stretch.kind == kind) and (
            way is None or ways.get(PLAN.strands[stretch.strand].line) == way
        ):
            return k
    raise AssertionError


def test_the_plan_is_sound_before_it_is_damaged():
    check_quilting_plan(PATCHWORK, PLAN)
    assert len(PLAN.runs) == 1


@pytest.mark.parametrize("way", ["meander", "outline"])
def test_a_line_outside_its_region_is_named(way):
    k = next(k for k, line in enumerate(PLAN.lines) if line.way == way)
    line = PLAN.lines[k]
    moved = tuple((x + 3.0, y) for x, y in line.points)
    refuse(
        replace(PLAN, lines=put(PLAN.lines, k, points=moved)), f"Line `{line.id}`", "outside its region", line.region
    )


def test_a_ditch_that_leaves_its_seam_is_named():
    line = PLAN.lines[0]
    moved = tuple((x + 0.1, y + 0.1) for x, y in line.points)
    inside = tuple((min(x, 11.9), min(y, 11.9)) for x, y in moved)
    refuse(replace(PLAN, lines=put(PLAN.lines, 0, points=inside)), f"`{line.id}` leaves the seam")


def test_a_line_of_a_region_that_does_not_exist_is_named():
    refuse(replace(PLAN, lines=put(PLAN.lines, 0, region="elsewhere")), PLAN.lines[0].id, "`elsewhere`")


def test_a_line_of_the_wrong_length_is_named():
    line = PLAN.lines[-1]
    refuse(replace(PLAN, lines=put(PLAN.lines, -1, length=line.length + 0.5)), line.id, f"{line.length + 0.5:.4f} in")


def test_a_line_of_another_way_than_its_region_is_named():
    k = next(k for k, line in enumerate(PLAN.lines) if line.way == "meander")
    refuse(replace(PLAN, lines=put(PLAN.lines, k, way="loops")), PLAN.lines[k].id, "loops", "meander")


def test_a_strand_that_is_lost_leaves_its_line_short():
    k = next(k for k, strand in enumerate(PLAN.strands) if strand.kind == "line")
    plan = replace(PLAN, strands=put(PLAN.strands, k, kind="seam"))
    refuse(plan, PLAN.strands[k].line, "missing from the route in part")


def test_a_strand_of_the_wrong_length_is_named():
    refuse(replace(PLAN, strands=put(PLAN.strands, 5, length=0.1)), "Strand 5", "0.1000 in")


def test_a_line_missing_from_the_route_is_named():
    """Its closed curve can be left out without a jump."""
    k = first("stitch", "meander")
    stretches = PLAN.runs[0].stretches
    line = PLAN.strands[stretches[k].strand].line
    refuse(put_stretches(stretches[:k] + stretches[k + 1 :]), f"Line `{line}` is missing from the route")


def test_a_jump_without_a_stop_is_named():
    stretches = PLAN.runs[0].stretches
    refuse(put_stretches(stretches[:3] + stretches[4:]), "Run 1 jumps", "no stop declared")


def test_a_strand_stitched_backward_is_a_jump():
    stretches = list(PLAN.runs[0].stretches)
    stretches[2] = replace(stretches[2], back=not stretches[2].back)
    refuse(put_stretches(stretches), "Run 1 jumps")


def test_a_strand_stitched_twice_is_named():
    k = first("again")
    stretches = list(PLAN.runs[0].stretches)
    stretches[k] = replace(stretches[k], kind="stitch")
    refuse(put_stretches(stretches), "Run 1 stitches strand", PLAN.strands[stretches[k].strand].line)


def test_a_filler_before_the_seams_is_named():
    """The closed curve of a meander is moved to the first time that the thread passes its beginning."""
    k = first("stitch", "meander")
    stretches = list(PLAN.runs[0].stretches)
    curve = stretches.pop(k)
    start = PLAN.strands[curve.strand].points[0]
    begins = [PLAN.strands[stretch.strand].points[-1 if stretch.back else 0] for stretch in stretches]
    n = next(n for n, at in enumerate(begins) if abs(at[0] - start[0]) + abs(at[1] - start[1]) < 1e-6)
    assert n < k
    refuse(put_stretches([*stretches[:n], curve, *stretches[n:]]), "comes after a later stage")


def test_a_line_travelled_before_it_is_stitched_is_named():
    k = first("stitch", "meander")
    stretches = list(PLAN.runs[0].stretches)
    stretches[k] = replace(stretches[k], kind="again")
    refuse(put_stretches(stretches), "Run 1 travels along", PLAN.strands[stretches[k].strand].line)


def test_a_bridge_that_is_called_a_seam_is_named():
    k = first("bridge")
    stretches = list(PLAN.runs[0].stretches)
    stretches[k] = replace(stretches[k], kind="seam")
    refuse(put_stretches(stretches), "Run 1 calls a bridge a seam")


def test_a_thread_of_another_colour_is_named():
    refuse(replace(PLAN, runs=put(PLAN.runs, 0, colour="#000000")), "is stitched in #000000")


@pytest.mark.parametrize("kind", ["start", "stop"])
def test_a_stop_that_is_not_declared_is_named(kind):
    refuse(replace(PLAN, stops=tuple(s for s in PLAN.stops if s.kind != kind)), f"The {kind} of run 1", "not declared")


def test_a_run_cut_in_two_wants_its_stops_declared():
    stretches = PLAN.runs[0].stretches
    half = len(stretches) // 2
    runs = tuple(ThreadRun(0, PLAN.runs[0].colour, part) for part in (stretches[:half], stretches[half:]))
    refuse(replace(PLAN, runs=runs), "stop of run 1")


def test_a_stop_declared_elsewhere_is_named_with_both_places():
    refuse(replace(PLAN, stops=put(PLAN.stops, 0, at=(0.0, 0.25))), "start of run 1 is declared at (0.00, 0.25)")


def test_a_stop_of_no_run_is_named():
    refuse(replace(PLAN, stops=(*PLAN.stops, ThreadEnd(4, "stop", (0.0, 0.0)))), "run 5")


def test_a_strand_that_does_not_exist_is_named():
    refuse(put_stretches([*PLAN.runs[0].stretches, RouteStretch(10_000, back=False, kind="seam")]), "strand 10000")


def test_a_panel_wider_than_the_throat_is_named():
    refuse(replace(PLAN, wishes=replace(WISHES, throat=6.0)), "Panel 1", "6 in")


def test_a_run_that_leaves_its_panel_is_named():
    refuse(replace(PLAN, panels=((0.0, 0.0, 12.0, 8.0),)), "Run 1 leaves its panel by 4.00 in")


@pytest.mark.parametrize(
    ("what", "word"), [("wished", "length of the lines"), ("length", "length of the route"), ("minutes", "time")]
)
def test_a_figure_that_does_not_add_up_is_named_with_both(what, word):
    wrong = getattr(PLAN, what) + 1.0
    refuse(replace(PLAN, **{what: wrong}), word, f"{wrong:.4f}", f"{wrong - 1:.4f}")


def test_thread_that_does_not_add_up_is_named():
    refuse(replace(PLAN, threads={"#123456": PLAN.length}), "length of thread #123456")


@pytest.mark.parametrize("bound", [0.0, 1e6])
def test_a_bound_that_cannot_be_is_refused(bound):
    refuse(replace(PLAN, bound=bound), "bound of the route")


def test_a_gap_of_the_wrong_width_is_named():
    refuse(replace(PLAN, gap=replace(PLAN.gap, width=PLAN.gap.width + 0.2)), "The space at", "wide")


def test_a_gap_that_is_not_the_widest_is_found_out():
    """A narrower circle is empty too; the check's own grid finds a wider one."""
    narrow = min(PLAN.gaps, key=lambda gap: gap.width)
    assert narrow.width < PLAN.gap.width - 0.05
    refuse(replace(PLAN, gap=narrow, gaps=(), gap_bound=narrow.width), "No space is said to be wider than")


def test_a_thread_that_is_cut_where_it_could_go_on_is_refused():
    stretches = PLAN.runs[0].stretches
    k = len(stretches) // 2
    strand = PLAN.strands[stretches[k].strand]
    at = strand.points[-1 if stretches[k].back else 0]
    runs = tuple(ThreadRun(0, PLAN.runs[0].colour, part) for part in (stretches[:k], stretches[k:]))
    first_stop, last_stop = PLAN.stops
    stops = (first_stop, ThreadEnd(0, "stop", at), ThreadEnd(1, "start", at), replace(last_stop, run=1))
    refuse(replace(PLAN, runs=runs, stops=stops), "The thread is cut between runs 1 and 2")


def test_slivers_between_patches_of_a_metric_braid_are_not_holes_in_the_top():
    keys = {
        "title": "Bollard", "measures": {"system": "metric", "seam_allowance": "0.75 cm"},
        "design": {"family": "braid", "columns": 4, "pairs": 9, "strip_cut": "6.5 cm",
                   "border": [{"finished": "8 cm", "slot": "rope"}]},
        "fabric": [{"slot": slot, "name": slot, "colour": "#2f4a66", "form": "yardage", "width": "110 cm"}
                   for slot in ("start", "blade", "rope")],
        "quilting": {"stitch": [{"way": "serpentine"}]},
    }  # fmt: skip
    study = kit.study_from_keys(keys)
    patchwork = study.make_patchwork()
    plan = kit.quilting_plan(patchwork, study.quilting)
    check_quilting_plan(patchwork, plan)
    damaged = replace(plan, gap=replace(plan.gap, width=plan.gap.width + 0.01))
    with pytest.raises(CheckError, match="is said to be"):
        check_quilting_plan(patchwork, damaged)


def test_a_hole_in_a_top_stays_a_hole_and_a_sliver_does_not():
    frame = shapely.Polygon([(0, 0), (9, 0), (9, 9), (0, 9)], [[(3, 3), (6, 3), (6, 6), (3, 6)]])
    sliver = shapely.Polygon([(9, 0), (18, 0), (18, 9), (9, 9), (9, 6), (9 + 1e-6, 4.5), (9, 3)])
    assert join_shapes([frame, sliver]).area == pytest.approx(81 - 9 + 81)
    assert len(join_shapes([frame, sliver]).interiors) == 1
