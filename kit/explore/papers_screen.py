"""The screen of a block on paper: which block, which papers, the picture, the cloth, and the pages to print."""

import os
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.explore.screen import FRAME, MOODS, Screen
from kit.explore.table_writing import write_table
from kit.explore.typed_lengths import read_typed
from kit.lengths import MM, System, use_system
from kit.look import lay_beside
from kit.model.foundations import FoundationPlan
from kit.model.patchwork import Patchwork
from kit.output import tables
from kit.output.pictures.foundation_papers import FORMS, LABEL
from kit.output.pictures.foundation_picture import draw_foundations
from kit.output.pictures.page_tiles import AREA
from kit.output.pictures.svg import write_image
from kit.output.words.foundation_words import say_foundation
from kit.paper_pages import write_foundations
from kit.planning.cutting.cutting_plan import cutting_plan
from kit.planning.foundations.foundation_plan import foundation_plan, list_foundation_cuts
from kit.study import Study, open_study

STYLE = {"description_width": "150px"}
WIDE = widgets.Layout(width="412px")
SCALES = (50, 75, 100, 125, 150, 200)
"""Sizes that are offered, in percent of the design."""
BACK, FRONT = "from the back, to sew on", "from the front, to trace"
FEWEST, ONE_PAGE = "as few as can be", "none larger than a page"
WHITE, TINTED = "none", "light, as a guide"


def explore_papers(study: Study | Patchwork | str | os.PathLike[str], unit: str | None = None) -> "PapersScreen":
    """Return the screen of a block on paper foundations.

    Parameters
    ----------
    study
        A study, the path of its file, or a patchwork.
    unit
        The unit to begin with, "top" for all of it; left out: the largest that is made more than once.

    Raises
    ------
    KitError
        A study that cannot be made, or an unknown unit. Later on no error is raised: what cannot be is told in place.
    """
    if isinstance(study, str | os.PathLike):
        study = open_study(study)
    return PapersScreen(study, unit)


class PapersScreen(Screen):
    """Choices beside the picture of a block on paper; below them the rectangles and their cloth.

    Attributes
    ----------
    plan
        The last plan that could be made.
    fields
        Name -> the control.
    """

    shown = "The screen shows the last papers that were possible."

    def __init__(self, study: Study | Patchwork, unit: str | None = None) -> None:
        super().__init__("seamproof-papers")
        self.patchwork = study if isinstance(study, Patchwork) else study.make_patchwork()
        self.system: System = "inch" if isinstance(study, Patchwork) else study.measures.system
        self._colours = {} if isinstance(study, Patchwork) else {one.slot: one.colour for one in study.fabrics}
        with use_system(self.system):
            self.plan: FoundationPlan = foundation_plan(self.patchwork, unit)
        names = dict.fromkeys([*(one.name for one in self.patchwork.units.list_all() if one.size > 1), "top"])
        held = self.plan.name if self.plan.name in names else "top"
        self.fields: dict[str, Any] = {
            "unit": self._choose("Block", [(name, name) for name in names], held),
            "papers": self._choose("Papers", [FEWEST, ONE_PAGE], FEWEST),
            "ease": widgets.Text(value="1/4 in" if self.system == "inch" else "0.7 cm",
                                 description="Ease of the cloth", style=STYLE, layout=WIDE, continuous_update=False),
            "form": self._choose("Printed for", list(FORMS), FORMS[0]),
            "scale": self._choose("Size", [(f"{part} %", part) for part in SCALES], 100),
            "side": self._choose("Drawn", [BACK, FRONT], BACK),
            "tints": self._choose("Colours of the cloth", [WHITE, TINTED], WHITE),
            "sheet": self._choose("Sheets", ["Letter", "A4"], "Letter" if self.system == "inch" else "A4"),
            "file": widgets.Text(value="papers.pdf", description="File", style=STYLE, layout=WIDE),
        }  # fmt: skip
        self.write = widgets.Button(description="Write the pages to print", icon="print",
                                    layout=widgets.Layout(width="220px"))  # fmt: skip
        self.write.on_click(lambda _: self.attempt(self.write_pages))
        self._said, self._picture, self._cloth = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self._rows = widgets.HTML()
        for name in ("unit", "papers", "ease", "scale"):
            self.fields[name].observe(lambda _: self.attempt(self.plan_again), names="value")
        left = widgets.VBox([*self.fields.values(), self.write])
        right = widgets.VBox([self.message, self._said, self._picture])
        self.children = (lay_beside(left, right), self._rows, self._cloth)
        self.show()

    def _choose(self, label: str, options: list[Any], value: Any) -> widgets.Dropdown:
        return widgets.Dropdown(options=options, value=value, description=label, style=STYLE, layout=WIDE)

    def plan_again(self) -> None:
        """Plan the block as it is wished, with progress on the screen, and show it."""
        ease, _ = read_typed(self.fields["ease"].value, self.system, zero_allowed=True)
        with use_system(self.system):
            self.plan = foundation_plan(
                self.patchwork, self.fields["unit"].value, ease=ease, page=self._find_page(), progress=self._report
            )
        self.message.value = ""
        self.show()

    def _report(self, what: str, done: float, whole: float) -> None:
        self.say(f"{what}: {done:.0f} of {whole:.0f}" if whole else what, "busy")

    def _find_page(self) -> tuple[float, float] | None:
        """Return the largest paper of the design, inches, whose print at the chosen size fits on a page."""
        if self.fields["papers"].value == FEWEST:
            return None
        scale, both = self.fields["scale"].value / 100, 2 * self.patchwork.allowance
        room = (AREA[0] * MM, (AREA[1] - LABEL) * MM)
        return (room[0] - both) / scale + both, (room[1] - both) / scale + both

    def show(self) -> None:
        """Show the plan: what it takes, its picture, the rectangles and their cloth."""
        plan = self.plan
        count = len(plan.sections)
        bound = "proved to be the fewest" if plan.least == count else f"at least {plan.least} are needed"
        said = [f"{len(plan.target)} pieces on {count} paper{'s' * (count != 1)}, {bound}; make {plan.copies}."]
        if plan.set_in:
            said.append(f"Seams between papers that turn a corner: {plan.set_in}.")
        if plan.mirrored:
            said.append(say_foundation("mirror_images", mirrored=plan.mirrored, copies=plan.copies))
        frame = FRAME.format(*MOODS["plain"])
        self._said.value = f'<div role="status" style="{frame}">{escape(" ".join(said))}</div>'
        self._picture.value = write_image(draw_foundations(plan), width=560)
        self._rows.value = write_table(tables.papers(plan, self.system))
        cuts = list_foundation_cuts(plan)
        self._cloth.value = write_table(tables.paper_cloth(plan, cutting_plan(cuts), self.system))

    def write_pages(self) -> None:
        """Write the pages to print, and say where they are."""
        name = Path(self.fields["file"].value.strip() or "papers.pdf")
        tints = None if self.fields["tints"].value == WHITE else dict(self._colours)
        made = write_foundations(
            self.plan, name if name.suffix else name.with_suffix(".pdf"), self.fields["sheet"].value, self.system,
            scale=self.fields["scale"].value / 100, mirrored=self.fields["side"].value == BACK, tints=tints,
            form=self.fields["form"].value,
        )  # fmt: skip
        self.say(f"Written: {made.name}. Print it at full size, and measure the test squares.", "done")
