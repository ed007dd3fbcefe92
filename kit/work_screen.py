"""A screen whose work runs beside the page: one button begins it, another stops it, a line says how it goes."""

from html import escape
from threading import Event, Thread

import ipywidgets as widgets

from kit.errors import KitError
from kit.look import Framed


class WorkScreen(Framed):
    """A screen with one piece of work at a time; a subclass says in `_work` what is done.

    Attributes
    ----------
    said
        The line that says how it goes.
    """

    def _prepare(self, begin: widgets.Button, halt: widgets.Button, said: str = "") -> None:
        """Give the screen its two buttons and the words of its line; the rest of it is not touched."""
        self._begin, self.halt = begin, halt
        self.said = widgets.HTML()
        self._say(said)
        self._stop = Event()
        self._thread: Thread | None = None
        halt.disabled = True
        begin.on_click(lambda _: self.begin())
        halt.on_click(lambda _: self._stop.set())

    def begin(self) -> None:
        """Begin the work beside the page, which can be used meanwhile; while it runs, nothing is begun."""
        if self._thread is not None and self._thread.is_alive():
            return
        self._stop.clear()
        self._begin.disabled, self.halt.disabled = True, False
        self._thread = Thread(target=self._run, daemon=True)
        self._thread.start()

    def finish(self, seconds: float | None = None) -> None:
        """Wait until the work is done, or for some seconds."""
        if self._thread is not None:
            self._thread.join(seconds)

    def _run(self) -> None:
        try:
            self._work()
        except KitError as error:
            self._say(str(error))
        finally:
            self._begin.disabled, self.halt.disabled = False, True

    def _work(self) -> None:
        """Do the work; ask `_stop` between its parts."""
        raise NotImplementedError  # each screen has work of its own

    def _say(self, text: str) -> None:
        self.said.value = f'<div role="status">{escape(text)}</div>'
