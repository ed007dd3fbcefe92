"""Progress of a long piece of work: what is being done, how much of it is done, and of how much."""

from collections.abc import Callable
from typing import TypeAlias

Tell: TypeAlias = Callable[[str, int, int], None]
"""Called with what is being done, what of it is done, and the whole."""


def keep_quiet(what: str, done: int, whole: int) -> None:
    """Tell nobody."""
