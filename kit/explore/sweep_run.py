"""Running a sweep from a notebook: a button, a bar, a stop, and the plots when it is done."""

import os
from collections.abc import Iterable, Mapping
from concurrent.futures import Executor
from tempfile import TemporaryDirectory
from time import perf_counter
from typing import Any

import ipywidgets as widgets

from kit.explore.sweep_screen import SweepScreen
from kit.study import Study
from kit.sweeping import Sweep, sweep
from kit.sweeping.sweep_points import list_points, read_ranges
from kit.work_screen import WorkScreen


def run_sweep(
    study: Study,
    ranges: Mapping[str, Iterable[Any]],
    executor: Executor | None = None,
    cache: str | os.PathLike[str] | None = None,
) -> "SweepRun":
    """Return a button that runs a sweep beside the notebook, with its progress, a stop, and the plots at the end.

    Parameters
    ----------
    study, ranges, executor, cache
        As for `kit.sweep`.

    Raises
    ------
    KitError
        Impossible ranges, at once and not only when the button is pressed.
    """
    return SweepRun(study, ranges, executor, cache)


class SweepRun(WorkScreen):
    """A sweep with its buttons.

    Attributes
    ----------
    found
        The sweep, after it is done or stopped.
    """

    def __init__(
        self,
        study: Study,
        ranges: Mapping[str, Iterable[Any]],
        executor: Executor | None,
        cache: str | os.PathLike[str] | None,
    ) -> None:
        super().__init__()
        self.add_class("seamproof-sweep-run")
        self._ranges = dict(read_ranges(study, ranges))
        self._own = TemporaryDirectory() if cache is None else None
        self._study, self._executor = study, executor
        self._cache = cache if self._own is None else self._own.name
        count = len(list_points(study, tuple(self._ranges.items())))
        self.found: Sweep | None = None
        self.start = widgets.Button(description=f"Make {count:,} patterns", icon="play")
        halt = widgets.Button(description="Stop", icon="stop")
        self.bar = widgets.IntProgress(value=0, max=count, layout=widgets.Layout(width="380px"))
        self._plots = widgets.Box()
        self._prepare(self.start, halt)
        self.children = (widgets.HBox([self.start, self.halt, self.bar]), self.said, self._plots)

    def _work(self) -> None:
        begun = perf_counter()
        self.found = sweep(self._study, self._ranges, self._executor, self._cache, progress=self._follow)
        self._say(self._summarise(self.found, perf_counter() - begun))
        self.start.description = "Go on" if self.found.left else "Make them again"
        self._plots.children = (SweepScreen(self.found),)

    def _follow(self, _what: str, done: float, whole: float) -> bool:
        self.bar.max, self.bar.value = int(whole), int(done)
        self._say(f"{done:,} of {whole:,}")
        return self._stop.is_set()

    def _summarise(self, found: Sweep, seconds: float) -> str:
        parts = [f"{found.made:,} patterns made", f"{found.recalled:,} remembered", f"{seconds:.0f} s"]
        parts += [f"stopped with {found.left:,} left"] if found.left else []
        return ". ".join([", ".join(parts), *found.notes])
