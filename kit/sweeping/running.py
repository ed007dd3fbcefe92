"""Running a sweep: in this process or on a given executor, with progress, a stop, and a memory."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, CancelledError, Executor, Future, as_completed, wait
from typing import Any, NamedTuple

from kit.errors import KitError
from kit.progress import Progress, keep_quiet, report, until_stopped
from kit.sharing.versions import hash_versions, list_versions
from kit.study import Study, study_from_keys
from kit.sweeping.measuring import PLACE, Figures, measure_point, measure_there
from kit.sweeping.memory import Memory
from kit.sweeping.sweep_points import SweepPoint, list_points, read_ranges
from kit.sweeping.sweep_record import Sweep

AHEAD = 64
"""The most points handed to an executor at once, so that a stop does not wait for hundreds in line."""
GLANCE = 0.1
"""Seconds between two looks for a stop while points are under way."""


def sweep(
    study: Study,
    ranges: Mapping[str, Iterable[Any]],
    executor: Executor | None = None,
    cache: str | os.PathLike[str] | None = None,
    progress: Progress = keep_quiet,
) -> Sweep:
    """Make a study again with every combination of some values of its keys, each point a full pattern.

    Read each point as a study; recall its figures from the cache by its fingerprint; make the others, here or on the
    executor, and remember each as it comes back; put all in the order of the points.

    Parameters
    ----------
    study
        The swept study.
    ranges
        Dotted key of the study file -> values: {"design.columns": range(3, 9), "design.strip_cut": ["2 in", "3 in"]}.
        Fabrics and borders are counted from 1 ("fabric.1.price"). The last key runs fastest.
    executor
        The place of the work: None for this process, a `concurrent.futures` executor, or one that behaves like it
        (Dask's `client.get_executor()`). It is left running.
    cache
        A folder for remembered points, one small file each, under the fingerprint of the study and the versions. A
        damaged file is made again, and a note says so.
    progress
        Told how many points are done and how many there are, before each point, and again and again while points are
        under way on an executor. After a stop no point is begun, and those done are returned.

    Returns
    -------
    Sweep
        `.table` has one row per point, the same for every executor.

    Raises
    ------
    KitError
        A key that the study does not have; over 10,000 points; a cache that cannot be written; an executor with dead
        workers (finished points are remembered). A point that cannot be made raises no error: its row has the reason.

    Notes
    -----
    A point costs as much as `make_pattern`, a few tenths of a second for a runner. A point under way is not
    interrupted: a stop waits for the points in progress.

    Examples
    --------
    >>> from kit.study import open_study
    >>> found = sweep(open_study("data/studies/ferry-steps.toml"), {"design.columns": [0, 1, 2], "design.rows": [2]})
    >>> found.table["Pieces"].tolist()
    [<NA>, 12, 20]
    """
    read = read_ranges(study, ranges)
    points = list_points(study, read)
    memory = Memory(cache, list_versions())
    known = _recall(points, memory)
    found, made = dict(known.figures), 0

    def look() -> None:
        report(progress, "points", len(found), len(points))

    for fingerprint, figures in _make(known.waiting, executor, look):
        memory.keep(fingerprint, figures)
        found.update((point.number, figures) for point in known.waiting[fingerprint])
        made += 1
    done = sorted(found)
    return Sweep(
        study, read, tuple(points[number] for number in done), tuple(found[number] for number in done),
        made, known.recalled, len(points) - len(done), known.notes,
    )  # fmt: skip


class _Known(NamedTuple):
    """The state before any work: figures by number, and the waiting points by their fingerprint."""

    figures: dict[int, Figures]
    waiting: dict[str, list[SweepPoint]]
    recalled: int
    notes: tuple[str, ...]


def _recall(points: tuple[SweepPoint, ...], memory: Memory) -> _Known:
    """Recall the remembered points; a point that cannot be read as a study has its sentence at once.

    Points with the same meaning in other words ("2 1/2 in", "6.35 cm") have one fingerprint and are made once.
    """
    figures: dict[int, Figures] = {}
    waiting: dict[str, list[SweepPoint]] = {}
    notes, recalled = [], set()
    for point in points:
        try:
            fingerprint = study_from_keys(point.keys, place=PLACE).fingerprint
        except KitError as error:
            figures[point.number] = {"error": str(error)}
            continue
        if fingerprint in waiting:
            waiting[fingerprint].append(point)
            continue
        remembered, damage = memory.recall(fingerprint)
        if damage:
            notes.append(f"Point {point.number} was made again: {damage}")
        if remembered is None:
            waiting[fingerprint] = [point]
        else:
            figures[point.number] = remembered
            recalled.add(fingerprint)
    return _Known(figures, waiting, len(recalled), tuple(notes))


def _make(
    waiting: Mapping[str, list[SweepPoint]], executor: Executor | None, look: Callable[[], None]
) -> Iterator[tuple[str, Figures]]:
    """Yield each fingerprint with its figures as they are made, until all are or `look` raises a stop."""
    if executor is not None:
        yield from _make_there(waiting, executor, look)
        return
    with until_stopped():
        for fingerprint, points in waiting.items():
            look()
            yield fingerprint, measure_point(points[0].keys)
        look()


def _make_there(
    waiting: Mapping[str, list[SweepPoint]], executor: Executor, look: Callable[[], None]
) -> Iterator[tuple[str, Figures]]:
    """Keep some points under way on an executor; cancel the waiting points at the end."""
    line = iter(waiting)
    under_way: dict[Future[tuple[str, Figures]], str] = {}
    try:
        with until_stopped():
            look()
            while True:
                while len(under_way) < AHEAD and (following := next(line, None)) is not None:
                    under_way[_submit(executor, waiting[following][0])] = following
                if not under_way:
                    return
                done, _ = wait(under_way, timeout=GLANCE, return_when=FIRST_COMPLETED)
                for future in done:
                    yield under_way.pop(future), _take(future)
                    look()
                if not done:
                    look()
        for future in [future for future in under_way if future.cancel()]:
            del under_way[future]
        for future in as_completed(tuple(under_way)):
            yield under_way.pop(future), _take(future)
    finally:
        for future in under_way:
            future.cancel()


def _submit(executor: Executor, point: SweepPoint) -> "Future[tuple[str, Figures]]":
    try:
        return executor.submit(measure_there, point.keys)
    except Exception as error:  # noqa: BLE001  any executor has errors of its own
        raise _give_up(error) from None


def _take(future: "Future[tuple[str, Figures]]") -> Figures:
    """Return a result; refuse results from another kit."""
    try:
        versions, figures = future.result()
    except (Exception, CancelledError) as error:  # noqa: BLE001  as above; the point's own errors do not raise
        raise _give_up(error) from None
    if versions != hash_versions():
        raise KitError(
            "A worker of the executor has another kit or other libraries than this process",
            needed="the same versions everywhere, or the table would mix them",
            do="install the same versions there, or leave the executor out",
        )
    return figures


def _give_up(error: BaseException) -> KitError:
    return KitError(
        f"The executor gave up ({type(error).__name__}: {error})",
        needed="workers that stay until the sweep is done",
        do="run the sweep again with the same cache: it continues from there",
    )
