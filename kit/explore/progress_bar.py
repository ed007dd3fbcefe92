"""Progress in a notebook: a bar that says what is being done while a document is built."""

from typing import TYPE_CHECKING

import ipywidgets as widgets

if TYPE_CHECKING:
    from kit.progress import Tell


class ProgressBar:
    """A bar and a word beside it; show `box`, and hand `tell` to what takes its time.

    Examples
    --------
    >>> progress = ProgressBar()
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
