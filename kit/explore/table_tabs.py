"""The tables below a quilt, of which only the one that is seen is written."""

from collections.abc import Callable, Mapping
from typing import Any

import ipywidgets as widgets
import pandas as pd

from kit.explore.table_writing import write_table


class TableTabs(widgets.Tab):
    """Tables in tabs, each written when it is seen.

    Parameters
    ----------
    made
        For each name what makes its table.
    find
        Returns what the tables are made from.
    """

    def __init__(self, made: Mapping[str, Callable[[Any], pd.DataFrame]], find: Callable[[], Any]) -> None:
        self._made, self._find = made, find
        self.tables = {name: widgets.HTML() for name in made}
        super().__init__(children=list(self.tables.values()), layout=widgets.Layout(max_width="1260px"))
        for place, name in enumerate(made):
            self.set_title(place, name)
        self.observe(lambda _: self.show(), names="selected_index")

    def show(self) -> None:
        """Write the table that is seen."""
        name = list(self._made)[self.selected_index or 0]
        text = write_table(self._made[name](self._find()))
        if self.tables[name].value != text:
            self.tables[name].value = text
