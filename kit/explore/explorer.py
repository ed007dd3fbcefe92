"""The explorer: controls beside the live preview and the tables, all from one study."""

import os
from collections.abc import Callable
from copy import deepcopy
from html import escape
from pathlib import Path
from time import perf_counter
from typing import Any

import ipywidgets as widgets

from kit.explore.cloth_card import ClothCard
from kit.explore.composing.library import DrawingLibrary
from kit.explore.composing.table import ComposingTable
from kit.explore.explorer_words import QUICKLY, SHOWN, say_summary
from kit.explore.fitting import fit_counts
from kit.explore.history import History
from kit.explore.legend import Legend
from kit.explore.number_sentence import NumberSentence
from kit.explore.picture_bar import PictureBar
from kit.explore.picture_words import describe_quilt, make_said
from kit.explore.quantities import Quantity, set_value
from kit.explore.quilt_figure import QuiltFigure, collect_later
from kit.explore.screen import Screen
from kit.explore.side_panel import PanelActs, SidePanel
from kit.explore.table_tabs import TableTabs
from kit.explore.undo_buttons import UNDO_KEYS, make_back, redo_or_say, undo_or_say
from kit.look import lay_beside
from kit.model.pattern import DrawnTop, Pattern, Sketch
from kit.output import tables
from kit.output.pictures.drawing import VIEWS
from kit.pipeline import add_cloth, draft_top, make_pattern, make_sketch
from kit.study import Study, open_study, study_from_keys, study_keys

SLOW = 0.5
"""Seconds: work that took longer the last time is announced."""


def explore(study_or_path: Study | str | os.PathLike[str]) -> "Explorer":
    """Return the explorer of a study: move a control, and the quilt, its pieces and its cloth follow.

    Parameters
    ----------
    study_or_path
        A study, or the path of a study file.

    Raises
    ------
    StudyError
        A file that is not a study. Later on no error is raised: a setting that cannot be built is explained in place.

    Notes
    -----
    Of a path every change is saved: in the file itself if it lies in the maker's folder of quilts, else in a working
    copy there. Every act can be undone and done again. The explorer's `study` is the quilt as it is now, `pattern` its
    pattern; `show_here(kit.tables.pieces)` gives a table or a still picture of that pattern for another place of the
    page.
    """
    if isinstance(study_or_path, Study):
        return Explorer(study_or_path)
    explorer = Explorer(open_study(study_or_path))
    explorer.keep_in(os.fspath(study_or_path))
    return explorer


class Explorer(Screen):
    """Controls, preview, message and tables of one study.

    Attributes
    ----------
    study, sketch
        The last study that could be built, and its sketch.
    """

    shown = "The picture below is the last one that could be built."

    def __init__(self, study: Study) -> None:
        super().__init__("seamproof-explorer")
        self.study = study
        self.sketch: Sketch = make_sketch(study)
        self._keys: dict[str, Any] = deepcopy(study_keys(study))
        self.history = History(deepcopy(self._keys))
        self._folder = None if study.folder is None else Path(study.folder)
        self._took = 0.0
        self._pattern: Pattern | None = None
        self._composing: ComposingTable | None = None
        self._summary = widgets.HTML()
        self._undo = make_back("Undo", "undo", "Go back by one act", self.undo)
        self._redo = make_back("Redo", "repeat", "Do again what was undone last", self.redo)
        made = {"To buy": tables.shopping, "Pieces": tables.pieces, "Cutting": tables.cutting}
        self._tabs = TableTabs(made, lambda: self.sketch)
        self._view = widgets.ToggleButtons(
            options=[(SHOWN[view], view) for view in VIEWS],
            description="Show",
            style={"button_width": "110px", "description_width": "50px"},
        )
        self._view.observe(lambda _: self._show_picture(self.sketch), names="value")
        self._picture, self._legend = QuiltFigure(self._hear_picture), Legend()
        self._card = ClothCard(lambda: self._keys, lambda: self.sketch, self._change, self.attempt, self._keep_pictures)
        self._said, self._panel, self._sentence = make_said(), self._make_panel(), widgets.VBox()
        self._rebuild()

    # ---- building the screen -------------------------------------------------------------------------------------

    def _rebuild(self) -> None:
        """Lay out everything again, for another study."""
        self._panel.fill()
        self._make_sentence()
        stage = [self._view, PictureBar(self._picture), self._picture, self._said, self._legend]
        body = lay_beside(widgets.VBox([self._card, self._panel]), widgets.VBox(stage))
        wrap = widgets.Layout(flex_flow="row wrap")
        head = widgets.HBox([self._undo, self._redo, self._summary, self._sentence], layout=wrap)
        hidden = widgets.HTML(UNDO_KEYS), DrawingLibrary(self._refigure)
        self._refigure()
        parts = (head, self.message, body, *self._make_composing(), self._tabs, widgets.HTML(QUICKLY), *hidden)
        self.children = (*self.bars, *parts)
        self._show_words()

    def _make_panel(self) -> SidePanel:
        acts = PanelActs(lambda: self._keys, lambda: self.sketch, self._set, self._change, self._come_closest,
                         self._take_file, self._write_file, self._give_up)  # fmt: skip
        return SidePanel(acts)

    def _make_sentence(self) -> None:
        """Write the sentence of the design's numbers again."""
        family, system = self._keys["design"]["family"], self.study.measures.system
        made = NumberSentence(self._panel.quantities, family, system, self._set, self.refuse)
        made.follow(self._keys)
        self._sentence.children = (made,)

    def _make_composing(self) -> tuple[widgets.Widget, ...]:
        """Return the composing table of a study of units, in a section of its own; nothing for other studies."""
        if self._keys["design"]["family"] != "units":
            self._composing = None
            return ()
        self._composing = ComposingTable(self.study, self._take_composed)
        section = widgets.Accordion(children=[self._composing], layout=widgets.Layout(max_width="1280px"))
        section.set_title(0, "Composing table")
        return (section,)

    def _take_composed(self, study: Study) -> None:
        """Follow what was done on the composing table."""
        self._keys = deepcopy(study_keys(study))
        self._change()

    def _write_file(self, name: str) -> None:
        """Save what the picture shows."""
        self.save_asked(lambda: self.study, name)

    def _take_file(self, name: str) -> None:
        self.attempt(lambda: self._change_file(name))

    def _change_file(self, name: str) -> None:
        """Open another file; where the quilt is kept, it is that file from now on, and there is nothing to undo yet."""
        study = open_study(name)
        self.own_file(name)
        for bar in self.bars:
            bar.change_file(Path(name))
            self.history = History(deepcopy(study_keys(study)))
        self._take(study)

    # ---- what happens on a change ------------------------------------------------------------------------------

    def _take(self, study: Study) -> None:
        """Take over another study; undo brings back what was before."""
        self.sketch = make_sketch(study)
        self.study, self._keys, self.refused = study, deepcopy(study_keys(study)), False
        self._folder = None if study.folder is None else Path(study.folder)
        self.history.keep(deepcopy(self._keys))
        self._rebuild()
        self._grow_stale()
        self.say(f"Opened {study.title}.", "done")
        self.tell_followers()

    def take_study(self, study: Study) -> None:
        """Take over another quilt; undo brings back what was before."""
        self.attempt(lambda: self._take(study))

    def _come_closest(self, read: Callable[[], tuple[float, float]]) -> None:
        if self.attempt(lambda: fit_counts(self._keys, self.study, self.sketch, read())):
            self._change()

    def _set(self, quantity: Quantity, value: Any) -> None:
        """Put one changed quantity into the keys and update everything."""
        set_value(self._keys, quantity, value)
        self._change(quantity.label)

    def _change(self, control: str = "") -> None:
        """Follow changed keys, and keep how they were before; `control` is what was moved."""
        self._update()
        self.history.keep(deepcopy(self._keys), control)
        self._show_controls()

    def undo(self) -> None:
        """Go back by one act."""
        undo_or_say(self.history, self._go_back, self.say)

    def redo(self) -> None:
        """Do again what was undone last."""
        redo_or_say(self.history, self._go_back, self.say)

    def _give_up(self) -> None:
        """Forget the last act, which could not be built."""
        self.history.drop()
        self._go_back()

    def _go_back(self) -> None:
        """Follow the keys that hold now; another family is laid out again."""
        family = self._keys["design"]["family"]
        self._keys = deepcopy(self.history.state)
        self._update()
        if self._keys["design"]["family"] != family:
            self._rebuild()
        self._show_controls()

    def _update(self) -> None:
        """Make the study of the keys again; if it cannot be built, give the reason and keep the last good picture."""
        if self._took > SLOW:
            self.say("Working: a quilt of this size takes a moment.", "busy")
        begun = perf_counter()
        with collect_later():
            self.refused = not self.attempt(self._follow)
        if self.refused:
            self._show_picture(self.sketch)
        self._took = perf_counter() - begun
        if not self.refused:
            self.tell_followers()

    def _follow(self) -> None:
        study = study_from_keys(self._keys, place="This setting", folder=self._folder)
        made = study.lay_out()
        if self._panel.offer(made.slots):
            study = study_from_keys(self._keys, place="This setting", folder=self._folder)
        view = self._view.value
        seen = self._picture.show_early(study, made, view)
        draft = draft_top(study, made, seen)
        self._picture.show(draft, view, seen)
        self._legend.follow(draft, view)
        self.sketch = add_cloth(study, draft)
        self.study = study
        self._grow_stale()
        if self._composing is not None:
            self._composing.follow(study)
        self._show_words()

    def _show_controls(self) -> None:
        """Show in every control what the keys hold."""
        if self._panel.follow():
            self._make_sentence()
        else:
            self._sentence.children[0].follow(self._keys)
        self._card.follow()

    # ---- the pattern of the quilt as it is now ---------------------------------------------------------------------

    @property
    def pattern(self) -> Pattern:
        """The pattern of the quilt as it is now: made and proved when it is asked for, and remembered.

        Raises
        ------
        KitError
            As `make_pattern`.
        """
        if self._pattern is None:
            self._pattern = make_pattern(self.study)
        return self._pattern

    def find_shown(self) -> Pattern:
        """Return what tables elsewhere on the page are made from."""
        return self.pattern

    def _grow_stale(self) -> None:
        if self._pattern is None or self._pattern.study != self.study:
            self._pattern = None
        for table in self.elsewhere:
            table.compare(self.study)

    def _refigure(self) -> None:
        """Draw the figure again, for a page that has none."""
        self._show_picture(self.sketch)
        self._picture.draw()

    def _show_picture(self, draft: DrawnTop) -> None:
        """Show the top and its fabrics; only what changed reaches the page."""
        self._picture.show(draft, self._view.value)
        self._legend.follow(draft, self._view.value)

    def _hear_picture(self, verb: str, numbers: tuple[int, ...]) -> None:
        """Follow what was done to the picture: a patch or a cloth was chosen, or two cloths change places."""
        patches, names = self.sketch.patchwork.patches, [fabric["name"] for fabric in self._keys["fabric"]]
        if verb == "patch" and numbers[0] < len(patches):
            patch = patches[numbers[0]].id
            self._panel.click(patch)
            self._card.choose(self.sketch.colouring.assignment[patch], patch)
        elif max(numbers) < len(names):
            chosen = [names[number] for number in numbers]
            if verb == "swap":
                self._card.swap(*chosen)
            self._card.choose(chosen[0])

    def _keep_pictures(self, *folder: Path) -> Path | None:
        """Return the folder of the pictures of cloth; with another one, it is that from now on."""
        self._folder = folder[0] if folder else self._folder
        return self._folder

    # ---- words and tables --------------------------------------------------------------------------------------

    def _show_words(self) -> None:
        sketch = self.sketch
        self._summary.value = say_summary(sketch)
        self._said.value = escape(describe_quilt(sketch))
        self.warn(sketch.warnings)
        self._tabs.show()
