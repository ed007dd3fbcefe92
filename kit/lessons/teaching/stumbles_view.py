"""Learners' files on screen: handed in, put together by learner and slip, and a sheet that aims at the slips."""

from collections.abc import Callable
from html import escape
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.lengths import System
from kit.lessons.teaching.file_links import link_files, write_plain_table
from kit.lessons.teaching.slip_sheets import SlipSheet, aim_at_class
from kit.lessons.teaching.stumbles import ClassRecord, collect_learners, list_slips, list_stumbles

STYLE = {"description_width": "150px"}
EMPTY = "No file is handed in yet. Learners' files are those that end in .json, one for each learner."


class StumblesView(widgets.VBox):
    """The part of the teacher's screen for learners' files.

    Parameters
    ----------
    find_terms
        Returns system and paper of the sheets.

    Attributes
    ----------
    record
        What was handed in.
    sheet
        The last sheet made from the slips, or None.
    """

    def __init__(self, find_terms: Callable[[], tuple[System, str]]) -> None:
        super().__init__()
        self.add_class("seamproof-stumbles")
        self._find_terms = find_terms
        self.record = ClassRecord()
        self.sheet: SlipSheet | None = None
        wide = widgets.Layout(width="400px", max_width="100%")
        self.upload = widgets.FileUpload(
            accept=".json", multiple=True, description="Hand in learners' files", layout=widgets.Layout(width="220px")
        )
        self.upload.observe(self._take, names="value")
        self.seed = widgets.BoundedIntText(value=2, min=1, max=9999, description="Number of the sheet", style=STYLE,
                                           layout=wide)  # fmt: skip
        self.count = widgets.BoundedIntText(value=12, min=1, max=60, description="Exercises on it", style=STYLE,
                                            layout=wide)  # fmt: skip
        self.make = widgets.Button(description="Make a sheet on the three commonest slips", disabled=True,
                                   layout=widgets.Layout(width="320px", max_width="100%"))  # fmt: skip
        self.make.on_click(lambda _: self._aim())
        self.said = widgets.HTML(f'<div role="status">{escape(EMPTY)}</div>')
        self.where, self.slips, self.found = (widgets.HTML() for _ in range(3))
        self.children = (
            widgets.HTML("<h3>Who stumbles where</h3>"), self.upload, self.said, self.where, self.slips, self.seed,
            self.count, self.make, self.found,
        )  # fmt: skip

    def _take(self, change: dict[str, Any]) -> None:
        files = [(str(one["name"]), bytes(one["content"])) for one in change["new"]]
        if files:
            self.hand_in(files)

    def hand_in(self, files: list[tuple[str, bytes]]) -> None:
        """Put files together and show the tables; what cannot be read is told.

        Parameters
        ----------
        files
            The name and the bytes of each.
        """
        try:
            self.record = collect_learners(files)
        except KitError as error:
            self._say(str(error))
            return
        told = [f"{len(self.record.learners)} learners' files are put together.", *self.record.refused]
        self._say("\n".join(told))
        slips = list_slips(self.record)
        self.make.disabled = slips.empty
        self.where.value = (
            "<h4>By learner and lesson</h4><p>Right without help, of the exercises answered; ways shown; the slip made"
            f" most often.</p>{write_plain_table(list_stumbles(self.record))}"
        )
        self.slips.value = (
            "<h4>By slip</h4><p>“Perhaps” counts answers that more than one slip explains.</p>"
            f"{write_plain_table(slips)}"
        )
        self.found.value = ""

    def _aim(self) -> None:
        system, paper = self._find_terms()
        try:
            self.sheet = made = aim_at_class(self.record, self.count.value, self.seed.value, system)
            files = {
                f"class-sheet-{made.seed}.pdf": made.set_sheet(paper),
                f"class-key-{made.seed}.pdf": made.set_key(paper),
            }
        except KitError as error:
            self.found.value = f'<div role="status">{escape(str(error))}</div>'
            return
        aims = zip(made.list_aims(), made.exercises, strict=True)
        lines = "".join(f"<li>{escape(one.question)} <i>{escape(aim)}</i></li>" for aim, one in aims)
        self.found.value = (
            f'<div role="status">It aims at: {escape("; ".join(made.slips))}.</div>{link_files(files)}<ol>{lines}</ol>'
        )

    def _say(self, text: str) -> None:
        lines = "<br>".join(escape(line) for line in text.splitlines())
        self.said.value = f'<div role="status">{lines}</div>'
