"""One protocol for long work: everything that takes its time tells how far it is, and a stop keeps what can be kept."""

import ast
import inspect
from pathlib import Path

import pytest

import kit
from kit.errors import KitError
from kit.progress import Progress, StoppedError, report, until_stopped
from kit.publish import write_publication
from kit.rehearsal.by_hand import rehearse_by_hand
from kit.solvers.packing.layouts import lay_out
from kit.solvers.packing.strip_packing import RectangleKind, measure_layout

STUDY = kit.open_study("data/studies/ferry-steps.toml")
KINDS = [RectangleKind(7, 5, 9), RectangleKind(4, 3, 11), RectangleKind(9, 2, 6)]


def stop_at(most):
    return lambda _, done, __: done >= most


def test_only_the_answer_true_stops():
    for answer in (None, False, 0, 1, "stop"):
        report(lambda *_, answer=answer: answer, "steps", 1, 2)
    with pytest.raises(StoppedError, match="stopped at steps, 1 of 2"):
        report(lambda *_: True, "steps", 1, 2)


def test_what_is_made_before_a_stop_is_kept_and_any_other_error_passes():
    made = []
    with until_stopped():
        for n in range(5):
            made.append(n)
            report(stop_at(3), "numbers", n, 5)
    assert made == [0, 1, 2, 3]
    with pytest.raises(KitError, match="torn"), until_stopped():
        raise KitError("The cloth is torn")


def test_a_stopped_search_for_sizes_keeps_the_options_that_it_has():
    found = kit.fit(STUDY, 60, 80, tolerance=8, progress=stop_at(2))
    assert len(found.options) == 2


@pytest.mark.parametrize("asked", [1, 2, 5])
def test_a_stopped_packing_keeps_every_piece_and_a_bound_that_holds(asked):
    told = []

    def follow(what, least, length):
        told.append((what, least, length))
        return len(told) >= asked

    layout, bound = lay_out(KINDS, 21, progress=follow)
    whole, _ = lay_out(KINDS, 21)
    packed = sum(times * sum(place.number for place in pattern.placed) for pattern, times in layout)
    assert packed == sum(kind.count for kind in KINDS)
    assert bound <= measure_layout(whole) <= measure_layout(layout)
    assert len(told) <= asked


def test_a_cutting_plan_tells_slot_and_inches_and_a_stop_keeps_the_plan():
    told = []

    def follow(slot, least, length):
        told.append((slot, least, length))
        return True

    cuts = kit.cut_list(kit.make_sketch(STUDY).patchwork)
    plan = kit.cutting_plan(cuts, progress=follow)
    assert {slot for slot, _, _ in told} <= set(plan.cloth)
    assert all(0 < least <= length for _, least, length in told)
    assert not plan.short


def test_work_that_is_worth_nothing_half_done_lets_the_stop_through(tmp_path):
    pattern = kit.make_pattern(STUDY)
    with pytest.raises(StoppedError):
        write_publication(pattern, tmp_path, progress=lambda *_: True)
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(StoppedError):
        rehearse_by_hand(pattern.cut_list, pattern.sewing, trials=10_000, progress=lambda *_: True)


def test_whoever_takes_a_progress_calls_it_so_and_types_it_so():
    """The one protocol is the only callback of its kind: no parameter is called otherwise or typed by hand."""
    found = []
    for path in sorted(Path("kit").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.arg) and node.annotation is not None:
                typed = ast.unparse(node.annotation)
                if typed == "Progress" and node.arg != "progress":
                    found.append(f"{path}:{node.lineno}: {node.arg}")
                if node.arg in ("tell", "watch", "callback", "on_progress") or (
                    node.arg == "progress" and "lessons" not in path.parts and typed != "Progress"
                ):
                    found.append(f"{path}:{node.lineno}: {node.arg}: {typed}")
    assert found == []
    assert list(inspect.signature(Progress.__call__).parameters)[1:] == ["what", "done", "whole"]
