"""The controls of what all units share: strip, other lengths, fabrics, title, the text of the study, its file."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from kit.explore.composing.offering import put
from kit.explore.composing.sheet import ComposeSheet
from kit.explore.composing.unit_fields import STYLE, WIDE
from kit.explore.fabric_rows import FabricRows
from kit.explore.typed_lengths import UNIT, add_unit

BROAD = widgets.Layout(width="170px")


class StudyControls:
    """The sections "Fabrics" and "Text".

    Parameters
    ----------
    sheet
        What they work on.
    do
        Called with what is to be done; shows what follows, and says what cannot be done.
    save, open_file
        Called with the name of a study file.

    Attributes
    ----------
    cloth, texts
        The controls of each section, in order.
    """

    def __init__(
        self, sheet: ComposeSheet, do: Callable[[Callable[[], Any]], None], save: Callable[[str], None],
        open_file: Callable[[str], None],
    ) -> None:  # fmt: skip
        self._sheet, self._do, self._quiet = sheet, do, False
        self._shown: list[dict[str, Any]] = []
        self.strip = self._make_text(
            "Strip, cut width", "2 1/2", lambda text: sheet.put_design("strip_cut", self._add_unit(text) or None)
        )
        self.lengths = widgets.Textarea(description="Shared lengths", placeholder="star = 9 in", rows=3, style=STYLE,
                                        layout=WIDE, continuous_update=False)  # fmt: skip
        self._watch(self.lengths, self._share)
        self.title = self._make_text("Title", "of the quilt", sheet.set_title)
        self.text = widgets.Textarea(
            description="", rows=18, continuous_update=False, layout=widgets.Layout(width="372px")
        )
        self.text.add_class("seamproof-composing-text")
        take = widgets.Button(
            description="Take over this text", tooltip="Put this text in place of the study", layout=BROAD
        )
        take.on_click(lambda _: do(lambda: sheet.take_text(self.text.value)))
        self.file = widgets.Text(
            value="my-quilt.toml", description="Study file", continuous_update=False, style=STYLE, layout=WIDE
        )
        keep = widgets.Button(description="Save the study", icon="save", layout=BROAD)
        keep.on_click(lambda _: save(self.file.value))
        load = widgets.Button(description="Open this file", icon="folder-open", layout=BROAD)
        load.on_click(lambda _: open_file(self.file.value))
        self._fabrics = widgets.VBox()
        self.cloth = (self.strip, self.lengths, self._fabrics)
        self.texts = (self.title, self.file, widgets.HBox([keep, load]), self.text, take)

    def _make_text(self, label: str, hint: str, act: Callable[[str], Any]) -> widgets.Text:
        field = widgets.Text(description=label, placeholder=hint, continuous_update=False, style=STYLE, layout=WIDE)
        self._watch(field, lambda text: act(text.strip()))
        return field

    def _watch(self, field: Any, act: Callable[[str], Any]) -> None:
        def see(change: Any) -> None:
            if not self._quiet:
                self._do(lambda: act(change["new"]))

        field.observe(see, names="value")

    def _add_unit(self, text: str) -> str:
        return add_unit(text, self._sheet.shown.study.measures.system)

    def _share(self, text: str) -> None:
        lengths = {}
        for row in text.splitlines():
            if row.strip():
                name, _, value = row.partition("=")
                lengths[name.strip()] = self._add_unit(value.strip().strip('"'))
        self._sheet.put_design("lengths", lengths or None)

    def show_cloth(self) -> None:
        """Show the shared lengths and the fabrics as they stand."""
        self._quiet = True
        keys = self._sheet.keys
        self.strip.description = f"Strip, cut width ({UNIT[self._sheet.shown.study.measures.system]})"
        put(self.strip, keys["design"].get("strip_cut", ""))
        put(self.lengths, "\n".join(f"{name} = {value}" for name, value in keys["design"].get("lengths", {}).items()))
        if keys["fabric"] != self._shown:  # also where a row was taken out whose slot must have a fabric
            self._shown = fabrics = [dict(fabric) for fabric in keys["fabric"]]
            slots = tuple(dict.fromkeys(fabric["slot"] for fabric in fabrics))
            rows = FabricRows(fabrics, slots, lambda: self._do(lambda: self._sheet.put_fabrics(fabrics)))
            self._fabrics.children = (rows,)
        self._quiet = False

    def show_text(self) -> None:
        """Show the title and the text as they stand."""
        self._quiet = True
        put(self.title, self._sheet.keys["title"])
        put(self.text, self._sheet.text)
        self._quiet = False
