"""A table or a still picture that belongs to a screen and stands in another place of the page."""

from collections.abc import Callable
from html import escape
from typing import Any, Protocol

import ipywidgets as widgets
import pandas as pd
from IPython.display import HTML

from kit.errors import KitError
from kit.explore.table_writing import write_table

STALE = "This is the quilt as it was before it was changed above."
PRESS = "Show it as it is now"


class Showing(Protocol):
    """What a screen gives: what its tables are made from, and all of them."""

    study: Any
    elsewhere: list["TableElsewhere"]

    def find_shown(self) -> Any:
        """Return what the tables are made from."""


class TableElsewhere(widgets.VBox):
    """A table or a picture of what a screen shows.

    Parameters
    ----------
    screen
        The screen.
    make
        Makes a frame, or a picture, from what the screen shows.

    Attributes
    ----------
    body
        The table or the picture.
    stale
        Whether the screen has changed since it was made.
    """

    def __init__(self, screen: Showing, make: Callable[[Any], Any]) -> None:
        super().__init__()
        self.add_class("seamproof-elsewhere")
        self._screen, self._make = screen, make
        self.body, self._said = widgets.HTML(), widgets.HTML()
        self._button = widgets.Button(description=PRESS, icon="refresh", layout=widgets.Layout(width="190px"))
        self._button.tooltip = "Plan the quilt as it is now, and show every table and picture that belongs to it again"
        self._button.on_click(lambda _: self._press())
        self.stale = False
        self._fill()

    def make_again(self) -> None:
        """Show what the screen shows now; what cannot be made is said in place."""
        try:
            self._fill()
        except KitError as error:
            self._warn(str(error))

    def compare(self, study: Any) -> None:
        """Say so if the study of the screen is not the one that is shown here."""
        if study == self._study:
            self._calm()
        elif not self.stale:
            self._warn(STALE)

    def _press(self) -> None:
        for table in self._screen.elsewhere:
            table.make_again()

    def _fill(self) -> None:
        found = self._make(self._screen.find_shown())
        self._study = self._screen.study
        self.body.value = write_table(found, whole=True) if isinstance(found, pd.DataFrame) else _write(found)
        self._calm()

    def _calm(self) -> None:
        self.stale = False
        self.children: tuple[widgets.Widget, ...] = (self.body,)

    def _warn(self, text: str) -> None:
        self.stale = True
        self._said.value = (
            f'<div role="status" style="color:#26221f;background:#fdf6e3;padding:4px 8px">{escape(text)}</div>'
        )
        self.children = (
            widgets.HBox([self._said, self._button], layout=widgets.Layout(flex_flow="row wrap")),
            self.body,
        )

    def _repr_mimebundle_(self, **options: Any) -> dict[str, Any]:
        """Give the page the widget, and whoever reads the notebook without running it the table."""
        bundle = super()._repr_mimebundle_(**options) or {}
        return {**bundle, "text/html": self.body.value}


def _write(found: Any) -> str:
    return str(found.data) if isinstance(found, HTML) else f"<div>{escape(str(found))}</div>"
