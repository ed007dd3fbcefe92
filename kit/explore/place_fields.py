"""The title of a study, the name of its file, and the number that deals the scraps."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

MOST = 999_999
"""The largest number that the field for the scraps offers; a study may hold a larger one."""


class PlaceFields(widgets.VBox):
    """Title, file and its buttons; beside them, for another section, the deal of the scraps.

    Parameters
    ----------
    keys
        Returns the keys of the study; "title" and "seed" are changed in place.
    changed
        Called after each change with what was moved.
    take, write
        Called with the name of a study file to open, or to save.

    Attributes
    ----------
    deal
        The number that deals the scraps, with its button.
    """

    def __init__(
        self, keys: Callable[[], dict[str, Any]], changed: Callable[[str], None], take: Callable[[str], None],
        write: Callable[[str], None],
    ) -> None:  # fmt: skip
        super().__init__()
        self._keys, self._changed, self._quiet = keys, changed, True
        style, layout = {"description_width": "90px"}, widgets.Layout(width="380px")
        self.name = widgets.Text(value="my-study.toml", description="Study file", style=style, layout=layout)
        self.title = widgets.Text(description="Title", continuous_update=False, style=style, layout=layout)
        save = widgets.Button(description="Save the study", icon="save")
        load = widgets.Button(description="Open this file", icon="folder-open")
        self.seed = widgets.BoundedIntText(
            min=0,
            max=MOST,
            description="Deal of the scraps",
            style={"description_width": "130px"},
            layout=widgets.Layout(width="220px"),
        )
        again = widgets.Button(
            description="Deal again",
            icon="random",
            tooltip="Deal the scraps again: another arrangement of the same fabrics",
            layout=widgets.Layout(width="210px"),
        )
        self.follow()
        self.title.observe(lambda change: self._put("title", change["new"]), names="value")
        self.seed.observe(lambda change: self._put("seed", change["new"]), names="value")
        again.on_click(lambda _: setattr(self.seed, "value", self.seed.value + 1))
        save.on_click(lambda _: write(self.name.value))
        load.on_click(lambda _: take(self.name.value))
        self.children = (self.title, self.name, widgets.HBox([save, load], layout=widgets.Layout(flex_flow="row wrap")))
        self.deal = widgets.VBox([self.seed, again])

    def follow(self) -> None:
        """Show what the keys hold."""
        self._quiet = True
        keys = self._keys()
        self.title.value = keys["title"]
        self.seed.max = max(MOST, keys["seed"] + 1)
        self.seed.value = keys["seed"]
        self._quiet = False

    def _put(self, key: str, value: Any) -> None:
        if not self._quiet:
            self._keys()[key] = value
            self._changed("")
