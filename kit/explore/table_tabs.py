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
        self.totals = {name: widgets.HTML() for name in made}
        rooms = [widgets.VBox([self.tables[name], self.totals[name]]) for name in made]
        super().__init__(children=rooms, layout=widgets.Layout(max_width="1260px"))
        for place, name in enumerate(made):
            self.set_title(place, name)
        self.observe(lambda _: self.show(), names="selected_index")

    def show(self) -> None:
        """Write the table that is seen."""
        name = list(self._made)[self.selected_index or 0]
        table = self._made[name](self._find())
        for field, text in ((self.tables[name], write_table(table)), (self.totals[name], say_total(table))):
            if field.value != text:
                field.value = text


def say_total(table: pd.DataFrame) -> str:
    """Return what all rows cost together, as a line of HTML; empty for a table without prices.

    Examples
    --------
    >>> say_total(pd.DataFrame({"Fabric": ["Fog", "Kelp"], "Cost": [12.5, None]}))
    '<div>Cloth with a price: <b>12.50</b> in all, in the currency of your prices; 1 fabric has no price.</div>'
    """
    costs = table["Cost"] if "Cost" in table else pd.Series(dtype=float)
    priced = costs.dropna()
    if not priced.sum():
        return ""
    bare = len(costs) - len(priced)
    more = f"; {bare} {'fabric has' if bare == 1 else 'fabrics have'} no price" if bare else ""
    return f"<div>Cloth with a price: <b>{priced.sum():,.2f}</b> in all, in the currency of your prices{more}.</div>"
