"""Progress of a long piece of work: what is being done, how much of it is done, and of how much; and how it is stopped.

Whatever takes its time has a parameter `progress`, calls `report` again and again, and keeps what it has made so far
by doing its work `until_stopped`. Work that is worth nothing half done lets the stop through to the caller.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Protocol

from kit.errors import KitError


class Progress(Protocol):
    """Whoever follows a long piece of work: called with what is done, how much, and of how much; True is "stop"."""

    def __call__(self, what: str, done: float, whole: float, /) -> bool | None:
        """Hear how far the work is.

        Parameters
        ----------
        what
            What is being done.
        done, whole
            How much of it is done, and of how much. Of a search for the least: what is proved, and what is found.

        Returns
        -------
        bool or None
            True stops the work.
        """


class StoppedError(KitError):
    """The user has stopped a long piece of work."""


def keep_quiet(what: str, done: float, whole: float) -> None:
    """Tell nobody, and never stop."""


def report(progress: Progress, what: str, done: float, whole: float) -> None:
    """Tell how far the work is.

    Raises
    ------
    StoppedError
        The answer is True.

    Examples
    --------
    >>> report(print, "steps", 3, 12)
    steps 3 12
    >>> report(lambda what, done, whole: done > 2, "steps", 3, 12)
    Traceback (most recent call last):
        ...
    kit.progress.StoppedError: The work was stopped at steps, 3 of 12. Start it again to have the whole.
    """
    if progress(what, done, whole) is True:
        raise StoppedError(
            f"The work was stopped at {what}, {done:g} of {whole:g}", do="start it again to have the whole"
        )


@contextmanager
def until_stopped() -> Iterator[None]:
    """Do what stands within it until it is done or stopped; go on behind it with what was made.

    Examples
    --------
    >>> made = []
    >>> with until_stopped():
    ...     for n in range(10):
    ...         made.append(n)
    ...         report(lambda what, done, whole: done == 3, "numbers", len(made), 10)
    >>> made
    [0, 1, 2]
    """
    try:
        yield
    except StoppedError:
        return
