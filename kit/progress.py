"""The progress of long work: its name, the amount done, and the whole amount."""

from collections.abc import Callable
from typing import TypeAlias

Tell: TypeAlias = Callable[[str, int, int], None]
"""Called with the name of the work, the amount done, and the whole amount."""


def keep_quiet(what: str, done: int, whole: int) -> None:
    """Tell nobody."""
