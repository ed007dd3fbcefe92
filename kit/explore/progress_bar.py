"""Progress in a notebook: a bar with the name of the work."""

from typing import TYPE_CHECKING

import ipywidgets as widgets

if TYPE_CHECKING:
    from kit.progress import Tell


class Progress:
    """A bar and a word beside it; show `box`, and hand `tell` to the long work.

    Examples
    --------
    >>> progress = Progress()
    >>> progress.tell("steps", 3, 12)
    >>> progress.word.value, progress.bar.value
    ('steps', 0.25)
    """

    def __init__(self) -> None:
        self.bar = widgets.FloatProgress(min=0.0, max=1.0)
        self.word = widgets.Label("waiting")
        self.box = widgets.HBox([self.bar, self.word])
        self.tell: Tell = self._tell

    def _tell(self, what: str, done: int, whole: int) -> None:
        self.bar.value = done / whole if whole else 1.0
        self.word.value = what
