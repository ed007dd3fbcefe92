"""The choice between inches and centimetres."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets


class SystemChoice(widgets.ToggleButtons):
    """Two buttons that set the system of the study.

    Parameters
    ----------
    keys
        Returns the keys of the study; its measures are changed in place.
    changed
        Called after a change.
    """

    value: Any

    def __init__(self, keys: Callable[[], dict[str, Any]], changed: Callable[[], None]) -> None:
        self._keys, self._changed = keys, changed
        super().__init__(
            options=[("Inches", "inch"), ("Centimetres", "metric")],
            value=keys()["measures"].get("system", "inch"),
            description="Lengths in",
            style={"button_width": "110px", "description_width": "80px"},
        )
        self.observe(lambda change: self._switch(change["new"]), names="value")

    def _switch(self, system: str) -> None:
        if system != self._keys()["measures"].get("system", "inch"):
            self._keys()["measures"]["system"] = system
            self._changed()

    def follow(self) -> None:
        """Show what the keys hold."""
        self.value = self._keys()["measures"].get("system", "inch")
