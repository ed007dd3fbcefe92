"""A screen that plans the keys of a study: each act on it can be undone and done again."""

from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.explore.history import History
from kit.explore.screen import Screen
from kit.explore.undo_buttons import PLAN_KEYS, make_back, redo_or_say, undo_or_say
from kit.study import Study, study_from_keys

TOP = ("design", "unit", "fabric", "pack", "measures", "seed", "colouring", "sewing")
"""Keys of the top itself: where one of these differs, the screen begins again with the other top."""


class PlanScreen(Screen):
    """A screen whose controls set the keys of a study.

    A screen of this kind has `_restart`, which begins with another quilt; `_lay_out`, which makes its controls from
    `_keys` and shows all; and `_follow`, which plans the keys again.

    Attributes
    ----------
    history
        The keys as they were and as they are.
    """

    top_keys: tuple[str, ...] = TOP
    _keys: dict[str, Any]

    def begin_history(self) -> None:
        """Begin with nothing to undo, and put the buttons above the screen."""
        self.add_class("seamproof-plan")
        self.history = History(self._remember())
        self._backs = widgets.HBox([
            make_back("Undo", "undo", "Go back by one act", self.undo),
            make_back("Redo", "repeat", "Do again what was undone last", self.redo),
            widgets.HTML(PLAN_KEYS, layout=widgets.Layout(width="0", height="0")),
        ])  # fmt: skip
        self._put_on_top()

    def _put_on_top(self) -> None:
        self.children = (*self.bars, self._backs, *self.children)

    def _remember(self) -> Any:
        """Return all that can be undone."""
        return deepcopy(self._keys)

    def _recall(self, state: Any) -> None:
        """Hold again what was remembered."""
        self._keys = deepcopy(state)

    def follow_keys(self, follow: Callable[[], Any]) -> None:
        """Follow changed keys, or say why that cannot be; keep how they were before."""
        super().follow_keys(follow)
        self.keep_act()

    def keep_act(self) -> None:
        """Keep what was done last; moves of one control in quick succession are one act."""
        state = self._remember()
        self.history.keep(state, ", ".join(_list_changed(self.history.state, state)))

    def undo(self) -> None:
        """Go back by one act."""
        undo_or_say(self.history, self._go_back, self.say)

    def redo(self) -> None:
        """Do again what was undone last."""
        redo_or_say(self.history, self._go_back, self.say)

    def _go_back(self) -> None:
        """Plan what holds now, and make every control again; sections that are open stay open."""
        opened = [box.selected_index for box in _list_boxes(self)]
        top = {key: self._keys.get(key) for key in self.top_keys}
        self._recall(self.history.state)
        same = top == {key: self._keys.get(key) for key in self.top_keys}
        super().follow_keys(self._follow if same else self._begin_again)
        said = self.message.value
        if same:
            self._lay_out()
            self._put_on_top()
        for box, number in zip(_list_boxes(self), opened, strict=False):
            box.selected_index = number
        if self.refused:
            self.message.value = said

    def _begin_again(self) -> None:
        """Begin with the top of the keys."""
        self._restart(study_from_keys(self._keys, place="This setting", folder=self._find_folder()))
        self._put_on_top()

    def _find_folder(self) -> Path | None:
        """Return the folder of the pictures of cloth."""
        folder = getattr(self.study, "folder", None)
        return None if folder is None else Path(folder)

    def take_study(self, study: Study) -> None:
        """Take over another quilt; undo brings back what was before."""

        def take() -> None:
            self._restart(study)
            self._put_on_top()

        super().follow_keys(take)
        self.history.keep(self._remember())

    # ---- what each screen does in its own way ----------------------------------------------------------------------

    def _restart(self, study: Study) -> None:
        raise NotImplementedError  # each screen in its own way

    def _lay_out(self) -> None:
        raise NotImplementedError  # each screen in its own way

    def _follow(self) -> None:
        raise NotImplementedError  # each screen in its own way


def _list_changed(old: Any, new: Any, place: str = "") -> Iterator[str]:
    """Yield the places in which two states differ, as deep as their tables go."""
    if isinstance(old, dict) and isinstance(new, dict):
        for key in sorted({*old, *new}):
            yield from _list_changed(old.get(key), new.get(key), f"{place}.{key}")
    elif isinstance(old, tuple) and isinstance(new, tuple):
        for number, pair in enumerate(zip(old, new, strict=True)):
            yield from _list_changed(*pair, f"{place}.{number}")
    elif old != new:
        yield place


def _list_boxes(widget: Any) -> Iterator[Any]:
    """Yield the accordions and tabs of a screen, but not those of the bar that says where the quilt is kept."""
    for child in getattr(widget, "children", ()):
        if "seamproof-kept" in child._dom_classes:  # noqa: SLF001  the classes of a widget have no other name
            continue
        if isinstance(child, widgets.Accordion | widgets.Tab):
            yield child
        yield from _list_boxes(child)
