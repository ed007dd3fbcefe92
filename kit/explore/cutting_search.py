"""A search for less cloth beside the notebook: a button, the result so far, and a stop."""

from collections.abc import Callable
from html import escape
from threading import Event, Thread
from time import perf_counter

import ipywidgets as widgets

from kit.checks.cutting_check import check_cutting_plan
from kit.errors import KitError
from kit.lengths import write_length
from kit.model.cutting import CuttingPlan
from kit.model.pattern import Sketch
from kit.planning.cutting.cutting_plan import cutting_plan

Take = Callable[[CuttingPlan, str], None]


class CuttingSearch(widgets.VBox):
    """Searches the cutting plan of a sketch longer than a slider can wait.

    Parameters
    ----------
    ask
        Returns the sketch.
    take
        Receives a checked plan with less cloth, and a sentence about it.
    """

    def __init__(self, ask: Callable[[], Sketch], take: Take) -> None:
        super().__init__()
        self._ask, self._take = ask, take
        self._halt = Event()
        self._thread: Thread | None = None
        self.start = widgets.Button(
            description="Search for less cloth",
            icon="search",
            layout=widgets.Layout(width="216px"),
            tooltip="Plan the cloth more thoroughly; you can use the notebook meanwhile",
        )
        self.halt = widgets.Button(description="Stop", icon="stop", disabled=True)
        self.said = widgets.HTML()
        self.start.on_click(lambda _: self.begin())
        self.halt.on_click(lambda _: self.stop())
        self.children = (widgets.HBox([self.start, self.halt]), self.said)

    def begin(self) -> None:
        """Begin to search."""
        if self._thread is not None and self._thread.is_alive():
            return
        self._halt = Event()
        self.start.disabled, self.halt.disabled = True, False
        self._thread = Thread(target=self._run, args=(self._ask(), self._halt), daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """Stop; the best plan so far is kept."""
        self._halt.set()

    def forget(self) -> None:
        """Stop, and take back what was said of a setting that is no more."""
        self.stop()
        if self._thread is None or not self._thread.is_alive():
            self.said.value = ""

    def finish(self, seconds: float | None = None) -> None:
        """Wait until it is done."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _run(self, sketch: Sketch, halt: Event) -> None:
        begun, system = perf_counter(), sketch.study.measures.system

        def follow(slot: str, least: float, inches: float) -> bool:
            so_far, bound = write_length(inches, system), write_length(least, system)
            self._say(f"{slot}: {so_far} so far; no plan takes less than {bound}.")
            return halt.is_set()

        try:
            supplies = [fabric.supply() for fabric in sketch.study.fabrics]
            plan = cutting_plan(
                sketch.making.cut_list, supplies, effort="thorough", progress=follow, wishes=sketch.study.cloth
            )
            check_cutting_plan(sketch.making.cut_list, plan)
            self._tell(sketch, plan, perf_counter() - begun, stopped=halt.is_set())
        except KitError as error:
            self._say(str(error))
        finally:
            self.start.disabled, self.halt.disabled = False, True

    def _tell(self, sketch: Sketch, plan: CuttingPlan, seconds: float, *, stopped: bool) -> None:
        """Report the result, and hand it on if it takes less and the sketch has not changed meanwhile."""
        system = sketch.study.measures.system
        (inches, many), (length, count) = _measure(sketch.cutting), _measure(plan)
        how = "Stopped" if stopped else "Searched to the end"
        found = f"{how} after {seconds:.1f} s; the plans are within {100 * plan.gap:.1f} % of the least possible."
        if self._ask() is not sketch:
            self._say("The setting has changed meanwhile: search again.")
        elif inches - length > 1e-6 or many > count:
            said = [f"{write_length(inches - length, system)} less than before"] if inches - length > 1e-6 else []
            said += [f"{many - count} fewer strips or squares than before"] if many > count else []
            self._say(found)
            self._take(plan, f"{' and '.join(said)}. {found}")
        else:
            self._say(f"Nothing takes less. {found}")

    def _say(self, text: str) -> None:
        self.said.value = f'<div role="status">{escape(text)}</div>'


def _measure(plan: CuttingPlan) -> tuple[float, int]:
    """Return the inches of yardage and the number of pre-cuts of a plan."""
    inches = sum(cloth.used for cloth in plan.cloths if cloth.supply.form == "yardage")
    return inches, sum(len(cloth.strips) for cloth in plan.cloths if cloth.supply.form != "yardage")
