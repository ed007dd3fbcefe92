"""The quilting on screen: choose the stitching of each part; lines, route, thread and gaps follow."""

import os
from copy import deepcopy
from html import escape
from time import perf_counter
from typing import Any

import ipywidgets as widgets
import pandas as pd

from kit.checks.quilting_check import check_quilting_plan
from kit.errors import KitError
from kit.explore.composing.library import DrawingLibrary
from kit.explore.controls import STYLE, WIDE, LengthControl, make_control
from kit.explore.explorer import SLOW
from kit.explore.picture_words import describe_quilt, make_said
from kit.explore.plan_screen import PlanScreen
from kit.explore.quantities import Quantity
from kit.explore.stitch_rows import StitchRows
from kit.explore.table_writing import write_table
from kit.lengths import CM, System, use_system, write_nearest
from kit.look import fill_room, lay_beside, make_picture_room
from kit.model.finishing import FinishingPlan
from kit.model.pattern import Pattern, Sketch
from kit.model.quilting import QuiltingPlan
from kit.model.quilting_wishes import find_usual_quilting
from kit.output.pictures.quilted_picture import Side, write_quilted
from kit.output.pictures.route_picture import lay_route
from kit.output.tables import quilting_tables
from kit.output.words.colour_words import name_threads
from kit.output.words.quilting_words import describe_fit, describe_gap
from kit.pipeline import make_sketch, plan_finishing
from kit.planning.quilting.quilting_plan import quilting_plan, suit_wishes
from kit.study import Study, open_study, study_from_keys, study_keys
from kit.study.quilting_keys import quilting_keys

LIMITS = (
    Quantity(("gap_limit",), "Batting, widest gap", "length", 0.5, 12, 0.25),
    Quantity(("throat",), "Throat of the machine", "length", 0, 40, 0.5, optional=True),
    Quantity(("reach",), "Longest way across open cloth", "length", 0.125, 8, 0.125),
    Quantity(("begin",), "A thread begins", "choice", choices=("middle", "anywhere")),
)
SIDES: dict[str, Side] = {"As stitched": "front", "From the back": "back"}
SPEEDS = (
    Quantity(("straight_speed",), "Straight lines, in a minute", "length", 5, 300, 5),
    Quantity(("curve_speed",), "Curves, in a minute", "length", 5, 300, 5),
)


def explore_quilting(pattern: Sketch | Study | str | os.PathLike[str]) -> "QuiltingScreen":
    """Return the quilting of a study with controls: each change plans it again, checks it and shows it.

    Parameters
    ----------
    pattern
        A pattern or a sketch of a study; a study, or the path of its file.

    Raises
    ------
    KitError
        A top that cannot be made. Later on no error is raised: an impossible setting is explained in place.

    Notes
    -----
    A change takes as long as `quilting_plan` and its check: some 0.3 s for a runner, 5 s with a message for a
    queen-size quilt with 20,000 in of lines.
    """
    if isinstance(pattern, str | os.PathLike):
        screen = QuiltingScreen(make_sketch(open_study(pattern)))
        screen.keep_in(os.fspath(pattern))
        return screen
    return QuiltingScreen(make_sketch(pattern) if isinstance(pattern, Study) else pattern)


class QuiltingScreen(PlanScreen):
    """Ways of stitching and limits beside the resulting quilting.

    Attributes
    ----------
    study
        The last study that could be planned.
    plan, finishing
        Its quilting, checked, and the finishing with its thread, bobbins and hours.
    rows
        The ways of stitching.
    fields
        Key of the [quilting] table -> the widget that sets it.
    """

    _stitches: list[dict[str, Any]]

    def __init__(self, sketch: Sketch) -> None:
        super().__init__("seamproof-quilting", 1320)
        self._took = 0.0
        self.cloth = widgets.Checkbox(description="Over the cloth", indent=False, layout=widgets.Layout(width="160px"))
        self.cloth.tooltip = "Show the lines over the cloth in its colours and prints, not over the pale top"
        self.cloth.observe(lambda _: self._draw(), names="value")
        self._begin(sketch)
        self.begin_history()

    def _begin(self, sketch: Sketch) -> None:
        """Begin with the top of this sketch."""
        self._sketch = sketch
        self.study: Study = sketch.study  # type: ignore[assignment]  # a sketch is made from a study
        self._system: System = self.study.measures.system
        wishes = suit_wishes(sketch.patchwork, self.study.quilting, self.study.seed)
        self._keys: dict[str, Any] = deepcopy(study_keys(self.study)) | quilting_keys(wishes, self._system)
        self._keys.setdefault("quilting", {}).setdefault("stitch", [{"where": "top", "way": "ditch"}])
        self.plan = self._before = self._plan(sketch, self.study)
        self.finishing = self._was = plan_finishing(sketch, self.plan)
        self._lay_out()

    def _recall(self, state: Any) -> None:
        super()._recall(state)
        self._stitches = self._keys["quilting"]["stitch"]

    def _restart(self, study: Study) -> None:
        self._begin(make_sketch(study))

    def _lay_out(self) -> None:
        """Make the controls of the keys, and show all."""
        patchwork = self._sketch.patchwork
        self._stitches = self._keys["quilting"]["stitch"]
        self._figures = widgets.HTML()
        self._picture, self._said = make_picture_room(), make_said()
        self._tables = {name: widgets.HTML() for name in ("Whole", "Evenness", "Order")}
        self.fields: dict[str, widgets.Widget] = {}
        parts = ["top", *patchwork.slots, *sorted({p.name for p in patchwork.patches} - set(patchwork.slots))]
        self.rows = StitchRows(self._stitches, parts, self._system, self._update)
        sections = {
            "Ways of stitching": self.rows,
            "Batting, machine and route": widgets.VBox([self._make_field(quantity) for quantity in LIMITS]),
            "Your own speeds": widgets.VBox([*map(self._make_field, SPEEDS), self._make_stops()]),
            "Save": self.make_save(lambda: self.study),
        }
        accordion = widgets.Accordion(children=list(sections.values()), selected_index=0)
        self._seen = {name: widgets.Image(format="jpeg") for name in SIDES}
        shown = {**self._tables, **self._seen}
        tabs = self._tabs = widgets.Tab(children=list(shown.values()))
        tabs.observe(lambda _: self._show_sides(), names="selected_index")
        for holder, names in ((accordion, sections), (tabs, shown)):
            for i, name in enumerate(names):
                holder.set_title(i, name)
        left = widgets.VBox([accordion, self._figures])
        right = widgets.VBox([self.message, self.cloth, self._picture, self._said])
        library = DrawingLibrary(self._draw)
        self.children = (lay_beside(left, right), tabs, library)
        self._show()

    # ---- controls ----------------------------------------------------------------------------------------------

    def _make_field(self, quantity: Quantity) -> widgets.Widget:
        """Return the control of one key of the [quilting] table; sliders act when released."""
        (key,) = quantity.path
        first = getattr(find_usual_quilting(self._system), key)
        shown = Quantity(
            quantity.path, quantity.label, quantity.kind, quantity.low, quantity.high, quantity.step,
            quantity.choices, 0.0 if first is None else first, quantity.optional,
        )  # fmt: skip
        field = make_control(shown, self._keys["quilting"], self._system, lambda _, value: self._put(key, value))
        if isinstance(field, LengthControl):
            field.slider.continuous_update = False
        self.fields[key] = field
        return field

    def _make_stops(self) -> widgets.BoundedFloatText:
        usual = find_usual_quilting(self._system).stop_minutes
        field = widgets.BoundedFloatText(
            value=float(self._keys["quilting"].get("stop_minutes", usual)), min=0, max=100, step=0.25,
            description="Starting and fastening off (min)", style=STYLE, layout=WIDE,
        )  # fmt: skip
        field.observe(lambda change: self._put("stop_minutes", change["new"]), names="value")
        self.fields["stop_minutes"] = field
        return field

    # ---- what happens on a change ------------------------------------------------------------------------------

    def _put(self, key: str, value: Any) -> None:
        self._keys["quilting"].pop(key, None)
        if value is not None:
            self._keys["quilting"][key] = value
        self._update()

    def _update(self) -> None:
        """Plan again; announce work that took longer than half a second the last time."""
        if self._took > SLOW:
            self.say(f"Working: this took {self._took:.0f} s the last time.", "busy")
        begun = perf_counter()
        self.follow_keys(self._follow)
        self._took = perf_counter() - begun

    def _follow(self) -> None:
        if not self._stitches:
            raise KitError(
                "The quilting has no way of stitching",
                needed="at least one",
                do="add one; in the ditch is the plainest",
            )
        study = study_from_keys(self._keys, place="This setting", folder=self._find_folder())
        plan = self._plan(self._sketch, study)
        self.finishing = plan_finishing(self._sketch, plan)
        self.plan, self.study = plan, study
        self._show()

    @staticmethod
    def _plan(sketch: Sketch, study: Study) -> QuiltingPlan:
        """Return the checked quilting of a study; a pattern already has one."""
        wishes = suit_wishes(sketch.patchwork, study.quilting, study.seed)
        if isinstance(sketch, Pattern) and sketch.quilting.wishes == wishes:
            return sketch.quilting
        with use_system(study.measures.system):
            plan = quilting_plan(sketch.patchwork, wishes)
        check_quilting_plan(sketch.patchwork, plan)
        return plan

    # ---- what is shown -----------------------------------------------------------------------------------------

    def _show(self) -> None:
        plan, system = self.plan, self._system
        told = " ".join([_judge(plan, system), *describe_fit(plan)])
        self.say(told, "done" if plan.holds and not plan.trapped else "warn")
        was, now = (_list_headlines(*pair, system) for pair in ((self._before, self._was), (plan, self.finishing)))
        rows = [{"": what, "As it was": dict(was).get(what, "–"), "Now": told} for what, told in now]
        told = "; ".join(f"{what.lower()}: {value}" for what, value in now)
        self._said.value = escape(f"{describe_quilt(self._sketch)} Its quilting: {told}.")
        self._figures.value = write_table(pd.DataFrame(rows))
        self._draw()
        made = (
            quilting_tables.list_quilting(plan, self.finishing.thread, system),
            quilting_tables.density(plan, system),
            quilting_tables.order(plan, system),
        )
        for field, table in zip(self._tables.values(), made, strict=True):
            field.value = write_table(table)

        self._show_sides(fresh=True)

    def _show_sides(self, *, fresh: bool = False) -> None:
        """Draw the side of the quilt that is looked at, unless it is drawn already; with a fresh plan none is."""
        if fresh:
            for field in self._seen.values():
                field.value = b""
        chosen = (self._tabs.selected_index or 0) - len(self._tables)
        if chosen >= 0:
            name = list(SIDES)[chosen]
            if not self._seen[name].value:
                self._seen[name].value = write_quilted(self._sketch, self.plan, side=SIDES[name])

    def _draw(self) -> None:
        fill_room(self._picture, lay_route(self._sketch, self.plan, cloth=self.cloth.value))


def _judge(plan: QuiltingPlan, system: System) -> str:
    """Return a sentence or two on the hold of the batting and the cost of the route."""
    widest, limit = describe_gap(plan, plan.gap, system), write_nearest(plan.wishes.gap_limit, system)
    shut = ""
    if plan.trapped:
        parts = _count(len(plan.trapped), "part")
        shut = f" Closed in before their turn, in loose cloth: {parts}; stitch the whole top in the ditch first."
    if plan.holds:
        return f"The batting is held: the widest gap is {widest}; it allows {limit}.{shut}"
    places = _count(len(plan.open_gaps), "place")
    return (
        f"The batting is not held: at least {places} wider than {limit}, circled in red; the widest is {widest}.{shut}"
    )


def _count(number: int, what: str) -> str:
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def _list_headlines(plan: QuiltingPlan, finishing: FinishingPlan, system: System) -> list[tuple[str, str]]:
    """Return the most important figures, each in a few words."""
    per, unit = (CM, "cm") if system == "metric" else (1.0, "in")

    def say(inches: float) -> str:
        return f"{inches / per:,.0f} {unit}"

    bobbins = {line.colour: line.bobbins for line in finishing.thread.lines}
    names = name_threads(plan.threads)
    return [
        ("Lines", f"{len(plan.lines):,}, {say(plan.wished)}"),
        ("Route", say(plan.length)),
        ("Travel, hidden", say(plan.travel["hidden"])),
        ("Visible travel", say(plan.travel["over lines"] + plan.travel["across"])),
        ("Threads started", f"{len(plan.runs)}"),
        ("Time", f"{plan.minutes:,.0f} min"),
        ("Widest gap", write_nearest(plan.gap.width, system)),
        ("Batting allows", write_nearest(plan.wishes.gap_limit, system)),
        ("Thinnest part to densest", f"{plan.evenness:.2f}"),
        ("Draws in", f"{100 * plan.draw_in[0]:.1f} % × {100 * plan.draw_in[1]:.1f} %"),
        ("Parts closed in", f"{len(plan.trapped)}"),
        *(
            (f"Thread, {names[colour]}", f"{say(length)}, {_count(bobbins[colour], 'bobbin')}")
            for colour, length in plan.threads.items()
        ),
    ]
