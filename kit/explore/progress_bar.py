"""Progress in a notebook: a bar with the name of the work."""

import ipywidgets as widgets


class ProgressBar:
    """A bar and a word beside it; show `box`, and hand the bar itself as `progress` to what takes its time.

    Examples
    --------
    >>> progress = ProgressBar()
    >>> progress("steps", 3, 12)
    >>> progress.word.value, progress.bar.value
    ('steps', 0.25)
    """

    def __init__(self) -> None:
        self.bar = widgets.FloatProgress(min=0.0, max=1.0)
        self.word = widgets.Label("waiting")
        self.box = widgets.HBox([self.bar, self.word])

    def __call__(self, what: str, done: float, whole: float) -> None:
        """Show how far the work is."""
        self.bar.value = done / whole if whole else 1.0
        self.word.value = what
