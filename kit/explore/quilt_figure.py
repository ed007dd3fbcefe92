"""The picture of the quilt on a screen: what changes is sent in one message, and what is done to it comes back."""

import gc
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from json import dumps
from time import sleep
from typing import Any

import ipywidgets as widgets
from bokeh.document.events import MessageSentEvent

from kit.errors import KitError
from kit.explore.composing.one_message import OneMessage
from kit.explore.early_top import colour_top
from kit.model.patchwork import Patchwork
from kit.model.pattern import ColouredTop, DrawnTop
from kit.output.pictures.drawing import View
from kit.output.pictures.quilt_top import (
    QuiltTop,
    TopParts,
    find_changed,
    frame_top,
    give_ruler,
    list_seen_parts,
    list_told_parts,
    list_top_parts,
)
from kit.study import Study

CHANNEL = "seamproof-top"
LET_GO = 0.001
"""Seconds in which the kernel's other thread gets hold of a picture and sends it, before the work goes on."""


@contextmanager
def collect_later() -> Iterator[None]:
    """Let no search for unused memory come between a gesture and its picture: it takes as long as a quilt of 2,000."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


class TopModel(OneMessage):
    """A figure of one top that takes its parts by message; the page does not send them back."""

    def __init__(self, parts: TopParts, heard: Callable[[list[Any]], None], **more: Any) -> None:
        self._parts, self._heard, self._held = parts, heard, None
        self._top = QuiltTop(parts=dumps(parts))
        super().__init__(frame_top(self._top), **more)

    def send_parts(self, parts: TopParts) -> None:
        """Send parts to the pages that are open."""
        text = dumps({"top": self._top.id, "parts": parts})
        self._held = [MessageSentEvent(self._document, CHANNEL, text)]
        self.send_held()

    def get_state(self, *args: Any, **more: Any) -> dict[str, Any]:
        """Return what a page needs that opens now."""
        self._held = []
        self._top.parts = dumps(self._parts)
        self._held = None
        return super().get_state(*args, **more)

    def _sync_model(self, model: Any, content: dict[str, Any], buffers: list[Any]) -> None:
        if content.get("kind") == "ModelChanged" and content.get("attr") == "said":
            self._heard(content["new"])
        else:
            super()._sync_model(model, content, buffers)


class QuiltFigure(widgets.Box):
    """The picture of a top.

    Parameters
    ----------
    heard
        Called with what was done to the picture: a verb, and the numbers of patches or fabrics (see `QuiltTop`).

    Attributes
    ----------
    parts
        What the page shows.
    """

    def __init__(self, heard: Callable[[str, tuple[int, ...]], None]) -> None:
        super().__init__()
        for name in ("seamproof-picture", "seamproof-tall", "seamproof-quilt"):
            self.add_class(name)
        self._call = heard
        self._model: TopModel | None = None
        self._system, self._ruled = "inch", False
        self.parts: TopParts = {}

    def show(self, draft: DrawnTop, view: View, seen: ColouredTop | None = None) -> None:
        """Show a top: send what is not on the page yet; of one that is `seen` already, what is told of its patches."""
        self._system = draft.study.measures.system
        parts = list_top_parts(draft, view) if seen is None else list_told_parts(draft)
        self.send({**parts, **self._give_ruler()})

    def show_early(self, study: Study, made: Patchwork, view: View) -> ColouredTop | None:
        """Show a top before it is proved, and return it; None where it cannot be coloured yet, and nothing is shown."""
        self._system = study.measures.system
        with suppress(KitError):  # the proof says why
            seen = colour_top(study, made)
            if seen is not None:
                self.send({**list_seen_parts(seen, view), **self._give_ruler()})
                sleep(LET_GO)
            return seen
        return None

    def rule(self, *, wanted: bool) -> None:
        """Lay a ruler along two sides of the picture, or take it away."""
        self._ruled = wanted
        self.send(self._give_ruler())

    def _give_ruler(self) -> TopParts:
        return {"ruler": give_ruler(self._system) if self._ruled else None}

    def send(self, parts: TopParts) -> None:
        """Change some parts of the picture."""
        changed = find_changed(self.parts, parts)
        self.parts |= changed
        if changed and self._model is not None:
            self._model.send_parts(changed)

    def draw(self) -> None:
        """Make the figure again of what was shown last."""
        if self._model is not None:
            self._model.give_up()
        self._model = TopModel(self.parts, self._hear, layout=widgets.Layout(width="100%"))
        self.children = (self._model,)

    def _hear(self, said: list[Any]) -> None:
        verb, *numbers, _ = said
        self._call(str(verb), tuple(int(number) for number in numbers))
