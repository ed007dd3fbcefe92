"""A screen for a wanted size: a bed or a typed size, and the best ways to it beside a picture of one of them."""

import os
from dataclasses import replace
from html import escape
from pathlib import Path
from time import perf_counter
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.beginning.kept_screen import FollowedScreen
from kit.explore.fit_words import add_label_unit, describe_option
from kit.explore.history import History
from kit.explore.typed_lengths import UNIT
from kit.explore.undo_buttons import PLAN_KEYS, make_back
from kit.fitting.beds import read_beds
from kit.fitting.fit import fit
from kit.lengths import write_length
from kit.look import Framed, lay_beside
from kit.model.fits import Fit
from kit.output import tables
from kit.output.pictures.colour_views import draw_view
from kit.output.pictures.svg import write_image
from kit.pipeline import make_sketch
from kit.study import Study, add_edition, editions, open_study, save_study

TYPED = "typed below"
STALE = "The ways below are for what was asked before: press Find sizes for what the fields hold now."
SLOW = 0.5
"""Seconds: longer work shows its progress."""
PICTURE = 460.0
"""Width of the picture, pixels."""
STYLE = {"description_width": "170px"}
TABLE_CSS = (
    "<style>.seamproof-sizes table{border-collapse:collapse;line-height:1.35;font-size:12px}"
    ".seamproof-sizes th,.seamproof-sizes td{text-align:left!important;vertical-align:top;white-space:nowrap;"
    "padding:2px 10px 2px 2px}"
    ".seamproof-sizes tbody tr:nth-child(even){background:rgba(128,128,128,.12)}</style>"
)
NARROW = widgets.Layout(width="350px")


def choose_size(study: Study | str | os.PathLike[str]) -> "SizeChooser":
    """Return a screen that brings a study to the size of a bed or to a typed size.

    Parameters
    ----------
    study
        A study, which is not changed: the chosen one is the screen's `study`. Of the path of a study file what is kept
        is saved: in the file itself if it lies in the maker's folder of quilts, else in a working copy there.

    Raises
    ------
    StudyError
        A file that is not a study.
    """
    if isinstance(study, Study):
        return SizeChooser(study)
    screen = SizeChooser(open_study(study))
    screen.keep_in(os.fspath(study))
    return screen


class SizeChooser(FollowedScreen, Framed):
    """Fields for the size, the table of the best ways to it, and the picture of the chosen one.

    Attributes
    ----------
    study
        The study chosen last; at first the given study.
    kept
        The given study, with every kept size as an edition.
    found
        The last answer, None before the first search.
    """

    def __init__(self, study: Study) -> None:
        super().__init__()
        self.add_class("seamproof-sizes")
        self.start_following()
        self.given = self.study = self.kept = study
        self.found: Fit | None = None
        self._begun, self._because = 0.0, list[str]()
        self.bed = widgets.Dropdown(
            options=[TYPED, *read_beds()], value="queen", description="Bed", style=STYLE, layout=NARROW
        )
        unit = UNIT[study.measures.system]
        self.lengths = {
            key: widgets.Text(value=value, description=f"{label} ({unit})", style=STYLE, layout=NARROW)
            for key, label, value in (
                ("width", "Wanted width", ""),
                ("height", "Wanted length", ""),
                ("drop", "Drop at the sides", "14 in" if unit == "in" else "35 cm"),
                ("foot", "Drop at the foot", ""),
                ("tuck", "Tucked in", f"0 {unit}"),
                ("tolerance", "May be off by", "3 in" if unit == "in" else "8 cm"),
            )
        }
        self.shrinkage = widgets.BoundedFloatText(
            value=0.0, min=0.0, max=30.0, step=0.5, description="Shrinks by, %", style=STYLE, layout=NARROW
        )
        self.parity = {
            key: widgets.ToggleButtons(
                options=["any", "even", "odd"], description=label, style={"button_width": "56px", **STYLE}
            )
            for key, label in (("across", "Count across"), ("down", "Count down"))
        }
        self.button = widgets.Button(description="Find sizes", icon="search", tooltip="Search for ways to this size")
        self.progress = widgets.IntProgress(
            value=0, min=0, max=10, description="Sketches", layout=widgets.Layout(width="350px", visibility="hidden")
        )
        self.message = widgets.HTML('<div role="status"></div>')
        self.table, self.picture, self.reasons = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.pick = widgets.Dropdown(description="Take", layout=widgets.Layout(width="420px", visibility="hidden"))
        self.name = widgets.Text(value="bed", description="Edition", style={"description_width": "60px"})
        self.name.layout = widgets.Layout(width="220px")
        self.keep_button = widgets.Button(description="Keep this size", icon="plus", disabled=True)
        self.keep_button.tooltip = "Keep the shown size as an edition of the study"
        self.file = widgets.Text(value="my-study.toml", description="Study file", style={"description_width": "84px"})
        self.file.layout = widgets.Layout(width="300px")
        self.save_button = widgets.Button(description="Save the study", icon="save")
        self.editions = widgets.HTML()
        self.use_button = widgets.Button(description="Make the quilt this size", icon="check", disabled=True)
        self.use_button.tooltip = "Change the quilt itself to the shown size"
        self.use_button.layout = widgets.Layout(width="190px")
        self.use_button.on_click(lambda _: self.use())
        self.keep_button.on_click(lambda _: self.keep())
        self.save_button.on_click(lambda _: self.save())
        self.button.on_click(lambda _: self.find())
        self.pick.observe(lambda change: self._take(change["new"]), names="value")
        self.bed.observe(lambda _: self._grey(), names="value")
        self._asking = [self.bed, *self.lengths.values(), self.shrinkage, *self.parity.values()]
        self._asked: list[Any] = []
        self._sentences: tuple[str, ...] = ()
        for field in self._asking:
            field.observe(lambda _: self._say(*self._sentences), names="value")
        fields = [*self._asking, self.button, self.progress]
        top = lay_beside(widgets.VBox(fields), widgets.VBox([self.pick, self.reasons, self.picture]))
        keeping = [self.use_button, self.name, self.keep_button, self.file, self.save_button]
        row = widgets.HBox(keeping, layout=widgets.Layout(flex_flow="row wrap"))
        self.children = (top, self.message, self.table, row, self.editions)
        self._grey()
        self._begin_history()

    # ---- undo and redo ---------------------------------------------------------------------------------------------

    def _begin_history(self) -> None:
        """Begin with nothing to undo, and put the buttons above the screen."""
        self.add_class("seamproof-plan")
        self._quiet = False
        self._answers: list[Fit | None] = [None]
        self._answer = 0
        self.history = History(self._remember())
        backs = (
            make_back("Undo", "undo", "Go back by one act", lambda: self._go("undo")),
            make_back("Redo", "repeat", "Do again what was undone last", lambda: self._go("redo")),
            widgets.HTML(PLAN_KEYS, layout=widgets.Layout(width="0", height="0")),
        )
        self.children = (widgets.HBox(backs), *self.children)
        for number, field in enumerate(self._asking):
            field.observe(lambda _, number=number: self._keep_act(str(number)), names="value")

    def _remember(self) -> tuple[Any, ...]:
        """Return all that can be undone: what is asked, which answer is shown, the way that is taken, what is kept."""
        return tuple(field.value for field in self._asking), self._answer, self.pick.value, self.kept

    def _keep_act(self, control: str = "") -> None:
        if not self._quiet:
            self.history.keep(self._remember(), control)

    def _go(self, way: str) -> None:
        """Go back by one act, or do again what was undone."""
        if not (self.history.undo() if way == "undo" else self.history.redo()):
            self._say("There is nothing to undo." if way == "undo" else "There is nothing to do again.")
            return
        values, number, picked, kept = self.history.state
        self._quiet = True
        for field, value in zip(self._asking, values, strict=True):
            field.value = value
        self._show_answer(number, picked)
        self._quiet = False
        if kept != self.kept:
            self._hold(kept)

    def _show_answer(self, number: int, picked: int | None) -> None:
        """Show an answer again, with the way that was taken."""
        found, self._answer = self._answers[number], number
        if found is None:
            self._clear()
            self._say()
        elif found is not self.found:
            self.found = found
            self._show(found)
        if found is not None and picked is not None:
            self.pick.value = picked

    def find_kept(self) -> Study:
        """Return the quilt with the sizes that were kept."""
        return self.kept

    def _hold(self, kept: Study) -> None:
        """Hold a quilt with its editions, show these, and tell who follows.

        Raises
        ------
        KitError
            An edition that cannot be built.
        """
        self._show_editions(kept)
        self.kept = kept
        self._keep_act()
        self.tell_followers()

    def take_study(self, study: Study) -> None:
        """Take over another quilt: its editions, and nothing found yet."""
        self.given = self.study = study
        self._quiet = True
        self._show_answer(0, None)
        self._hold(study)
        self._quiet = False
        self.history = History(self._remember())

    # ---- asking ----------------------------------------------------------------------------------------------------

    def _grey(self) -> None:
        """Disable the unused fields: the size if a bed is chosen, the drops if a size is typed."""
        typed = self.bed.value == TYPED
        for key, field in self.lengths.items():
            field.disabled = key in (("drop", "foot", "tuck") if typed else ("width", "height"))

    def find(self) -> None:
        """Search with the values of the fields; report mistakes in a sentence."""
        self._begun = perf_counter()
        self._asked = [field.value for field in self._asking]
        texts = {key: field.value.strip() or None for key, field in self.lengths.items() if not field.disabled}
        system = self.given.measures.system
        asked: dict[str, Any] = {key: add_label_unit(text, system) for key, text in texts.items() if text is not None}
        if self.bed.value != TYPED:
            asked["bed"] = self.bed.value
        asked |= {key: choice.value for key, choice in self.parity.items()}
        self._say("Working: trying every combination within the tolerance.")
        try:
            self.found = fit(self.given, shrinkage=self.shrinkage.value / 100, progress=self._follow, **asked)
        except KitError as error:
            self._clear()
            self._say(str(error))
        except Exception as error:  # noqa: BLE001  the last guard before the screen
            self._clear()
            self._say(f"The search did not finish ({error})")
        else:
            self._answers.append(self.found)
            self._answer = len(self._answers) - 1
            self._quiet = True
            self._show(self.found)
            self._quiet = False
            self._keep_act()
        self.progress.layout.visibility = "hidden"

    def _clear(self) -> None:
        """Take away the answer to the last question."""
        self.found, self.study, self._answer = None, self.given, 0
        self.table.value = self.reasons.value = self.picture.value = ""
        self.pick.options, self.pick.layout.visibility = (), "hidden"
        self.keep_button.disabled = self.use_button.disabled = True

    def _follow(self, what: str, made: float, wanted: float) -> None:
        """Show the progress of the sizes that are built and of the sketches, if they take long."""
        if perf_counter() - self._begun > SLOW:
            self.progress.description = what.capitalize()
            self.progress.layout.visibility = "visible"
            self.progress.max, self.progress.value = max(1, wanted), made

    def _show(self, found: Fit) -> None:
        target, system = found.target, self.given.measures.system
        size = f"{write_length(target.width, system)} × {write_length(target.height, system)}"
        said = [*target.reasons, f"the aim is {size}; {found.tried} combinations are within the tolerance"]
        self._say("; ".join(said) + ".", *target.cautions, *found.refused[:2])
        frame = tables.fits(found)
        self._because = list(frame.pop("Because of"))
        frame.index = range(1, len(frame) + 1)
        self.table.value = TABLE_CSS + frame.to_html(border=0, classes="seamproof-table")
        names = [f"{n}: {describe_option(option, system)}" for n, option in enumerate(found.options, start=1)]
        self.pick.options = [(name, n) for n, name in enumerate(names)]
        self.pick.layout.visibility = "visible" if names else "hidden"
        if names:
            self.pick.value = 0
            self._take(0)

    def _take(self, number: int | None) -> None:
        """Take over one of the ways: its study, and its picture."""
        if self.found is None or number is None or number >= len(self.found.options):
            return
        sketch = self.found.options[number].sketch
        self.keep_button.disabled = self.use_button.disabled = False
        because = self._because[number] or "nothing"
        self.reasons.value = f'<div style="max-width:460px;line-height:1.4">Odd about it: {escape(because)}.</div>'
        self.study = sketch.study
        self._keep_act("take")
        wide, high = sketch.patchwork.finished
        self.picture.value = write_image(draw_view(sketch, "colour"), width=PICTURE * min(1.0, wide / high))

    def keep(self) -> None:
        """Keep the shown size as an edition, and show all editions in columns."""
        try:
            self._hold(add_edition(self.kept, self.name.value.strip(), self.study))
        except KitError as error:
            self._say(str(error))
            return
        saved = "" if self.followers else "; the study is not saved yet"
        self._say(f"Kept as edition {self.name.value.strip()}{saved}.")

    def use(self) -> None:
        """Make the quilt itself the shown size; its editions are kept, and follow it in what they do not say."""
        try:
            self._hold(replace(self.study, edition=self.kept.edition, editions=self.kept.editions))
        except KitError as error:
            self._say(str(error))
            return
        self._say("The quilt itself has the shown size now.")

    def _show_editions(self, kept: Study) -> None:
        """Show all editions in columns; nothing for a study without any."""
        if not kept.editions:
            self.editions.value = ""
            return
        frame = tables.compare_editions([make_sketch(one, ways=True) for one in editions(kept)])
        self.editions.value = TABLE_CSS + frame.to_html(border=0, classes="seamproof-table")

    def save(self) -> None:
        """Save the study with its editions."""
        if question := self.ask_before(self.file.value.strip()):
            self._say(question)
            return
        try:
            path = Path(save_study(self.kept, self.file.value.strip()))
        except KitError as error:
            self._say(str(error))
        else:
            self._say(f"Saved as {path.name}.")

    def _say(self, *sentences: str) -> None:
        """Show sentences; while the answer is to another question than the fields ask, say that too."""
        self._sentences = sentences
        if self.found is not None and self._asked != [field.value for field in self._asking]:
            sentences = (STALE, *sentences)
        lines = "".join(f"<div>{escape(sentence)}</div>" for sentence in sentences)
        self.message.value = f'<div role="status" style="max-width:760px;line-height:1.45">{lines}</div>'
