"""Rows of units put together by choosing: a unit, its turn, how many; added to the row, or a new row begun below."""

from collections.abc import Sequence
from typing import Any

import ipywidgets as widgets
from traitlets import Unicode

STYLE = {"description_width": "150px"}
WIDE = widgets.Layout(width="360px", max_width="98%")
BUTTON = widgets.Layout(width="118px")
TURNS = (("as it is", 0), ("a quarter", 90), ("a half", 180), ("three quarters", 270))


class RowBuilder(widgets.VBox):
    """Rows of units, as a text and by choosing.

    Attributes
    ----------
    value
        The rows, each in a line of its own.
    """

    value = Unicode()

    def __init__(self, units: Sequence[str], rows: Sequence[str] = (), hint: str = "") -> None:
        super().__init__()
        self.unit = widgets.Dropdown(options=tuple(units), description="Unit for the row", style=STYLE, layout=WIDE)
        self.turn = widgets.Dropdown(options=TURNS, description="Turned by", style=STYLE, layout=WIDE)
        self.mirrored = widgets.Checkbox(description="Mirrored in the row", style=STYLE, layout=WIDE)
        self.count = widgets.BoundedIntText(value=1, min=1, max=1000, description="How many", style=STYLE, layout=WIDE)
        self.text = widgets.Textarea(value="\n".join(rows), placeholder=hint, rows=4, style=STYLE, layout=WIDE,
                                     continuous_update=False,
                                     description="Rows, the top first")  # fmt: skip
        self.value = self.text.value
        self.text.observe(lambda change: setattr(self, "value", change["new"]), names="value")
        acts = (
            ("Add to the row", "Lay it at the right end of the lowest row", self.add),
            ("New row below", "Begin a row below with it", self.begin_row),
            ("Take it back", "Take the last unit of the rows back", self.take_back),
        )
        self.buttons = []
        for name, tip, act in acts:
            button = widgets.Button(description=name, tooltip=tip, layout=BUTTON)
            button.on_click(lambda _, act=act: act())
            self.buttons.append(button)
        self.children = (self.unit, self.turn, self.mirrored, self.count, widgets.HBox(self.buttons), self.text)

    def offer(self, units: Sequence[str]) -> None:
        """Offer these units."""
        if self.unit.options != tuple(units):
            old = self.unit.value
            self.unit.options = tuple(units)
            self.unit.value = old if old in units else next(iter(units), None)

    def add(self) -> None:
        """Lay the unit that is chosen at the end of the lowest row."""
        if self.unit.value:
            self.text.value = f"{self.text.value.rstrip()} {self._write()}".strip()

    def begin_row(self) -> None:
        """Begin a row below with the unit that is chosen."""
        if self.unit.value:
            self.text.value = f"{self.text.value.rstrip()}\n{self._write()}".strip()

    def take_back(self) -> None:
        """Take the last unit of the rows back."""
        text = self.text.value.rstrip()
        depth, at = 0, len(text)
        while at and (depth or not text[at - 1].isspace()):
            at -= 1
            depth += {")": 1, "(": -1}.get(text[at], 0)
        self.text.value = text[:at].rstrip()

    def _write(self) -> str:
        said: list[Any] = ["mirror"] if self.mirrored.value else []
        said += [self.turn.value] if self.turn.value else []
        how = f"({' '.join(map(str, said))})" if said else ""
        times = f"*{self.count.value}" if self.count.value > 1 else ""
        return f"{self.unit.value}{how}{times}"
