"""What was before and what was undone, of anything that is kept whole."""

from time import monotonic
from typing import Generic, TypeVar

T = TypeVar("T")

TOGETHER = 1.0
"""Seconds: changes of one control that follow one another more quickly are one act, as a slider that is drawn along."""


class History(Generic[T]):
    """States in the order of their making, and the one that holds now.

    Parameters
    ----------
    state
        The first; states are compared, and are not changed by whoever keeps them here.
    together
        Seconds within which changes of one control are one act.

    Examples
    --------
    >>> history = History("a")
    >>> history.keep("b"), history.keep("c"), history.undo(), history.state
    (None, None, True, 'b')
    >>> history.redo(), history.state, history.redo()
    (True, 'c', False)
    """

    def __init__(self, state: T, together: float = TOGETHER) -> None:
        self.state = state
        self._together = together
        self._past: list[T] = []
        self._future: list[T] = []
        self._control, self._at = "", 0.0

    @property
    def before(self) -> int:
        """How many acts can be undone."""
        return len(self._past)

    @property
    def after(self) -> int:
        """How many acts can be done again."""
        return len(self._future)

    def keep(self, state: T, control: str = "") -> None:
        """Keep what holds now; nothing is kept when nothing has changed.

        Parameters
        ----------
        state
            What holds now.
        control
            What was moved. Several changes of one control in quick succession are one act; empty: an act of its own.
        """
        now = monotonic()
        if state == self.state:
            return
        goes_on = control and control == self._control and now - self._at < self._together and self._past
        if not goes_on:
            self._past.append(self.state)
        self._future.clear()
        self.state, self._control, self._at = state, control, now

    def drop(self) -> None:
        """Forget the last act: what was before it holds again, and cannot be done again."""
        if self._past:
            self.state, self._control = self._past.pop(), ""

    def undo(self) -> bool:
        """Go back by one act; return True if there was one."""
        return self._go(self._past, self._future)

    def redo(self) -> bool:
        """Do again what was undone last; return True if there was anything."""
        return self._go(self._future, self._past)

    def _go(self, back: list[T], onward: list[T]) -> bool:
        if not back:
            return False
        onward.append(self.state)
        self.state, self._control = back.pop(), ""
        return True
