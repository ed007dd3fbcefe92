"""A new quilt: from a family, from a drawing, from units, to fit a bed, or from a photograph of cloth."""

import re
from collections.abc import Callable
from dataclasses import replace
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.designs.svg_outlines import read_outlines
from kit.errors import KitError
from kit.explore.beginning.picture_tiles import PictureTiles, QuiltTile, write_small_picture
from kit.explore.beginning.starting_keys import CHOSEN, SAID, list_family_keys, take_colours
from kit.explore.composing.table import ComposingTable, compose
from kit.explore.drawing_board import DrawingBoard, draw
from kit.explore.fit_screen import TYPED
from kit.fitting.beds import read_beds
from kit.lengths import System
from kit.pipeline import make_sketch
from kit.study import Study, study_from_keys
from kit.study.quilt_folder import make_folder

WAYS = ("From a family", "From a drawing", "From units", "To fit a bed", "From a photograph of cloth")
FAMILY, DRAWING, UNITS, BED, CLOTH = WAYS
HELP = {
    FAMILY: "Choose a way of piecing. Everything about it can be changed afterwards, the family too.",
    DRAWING: "Draw straight lines on a grid, or take a drawing of outlines from a file (SVG).",
    UNITS: "Make parts with names and put them together on the table, edge to edge.",
    BED: "Choose the bed, then a way of piecing. The size is looked for next.",
    CLOTH: "Take a photograph of your cloth (PNG, JPEG or WEBP) for its colours, then choose a way of piecing.",
}
LARGEST_UPLOAD = 20_000_000
"""Bytes: a larger photograph is refused."""


class NewQuilt(widgets.VBox):
    """The ways to begin a quilt.

    Parameters
    ----------
    take
        Called with the new quilt, and with the bed that it is to fit (empty for none).
    say
        Called with a sentence that says what could not be done.
    """

    def __init__(self, take: Callable[[Study, str], None], say: Callable[[str], None]) -> None:
        super().__init__(layout=widgets.Layout(max_width="100%"))
        self.add_class("seamproof-new")
        self._take, self._say = take, say
        self._picture, self._colours = "", list[str]()
        self.title = widgets.Text(value="My quilt", description="Title", style={"description_width": "60px"},
                                  layout=widgets.Layout(width="300px"))  # fmt: skip
        self.system = widgets.ToggleButtons(
            options=[("Inches", "inch"), ("Centimetres", "metric")], description="Lengths in",
            style={"button_width": "104px", "description_width": "76px"},
        )  # fmt: skip
        self.way = widgets.ToggleButtons(options=WAYS, description="Begin", style={"button_width": "200px",
                                         "description_width": "60px"})  # fmt: skip
        self.way.observe(lambda _: self.show_way(), names="value")
        self.system.observe(lambda _: self._show_families(), names="value")
        self.families = PictureTiles(self._begin_family, 110)
        self.bed = widgets.Dropdown(options=[name for name in read_beds() if name != TYPED], value="queen",
                                    description="Bed", style={"description_width": "60px"})  # fmt: skip
        self.photograph = widgets.FileUpload(accept=".png,.jpg,.jpeg,.webp", description="Choose a photograph",
                                             layout=widgets.Layout(width="210px"))  # fmt: skip
        self.photograph.observe(lambda _: self._guard(self._take_photograph), names="value")
        self.outlines = widgets.FileUpload(accept=".svg", description="Take an SVG file",
                                           layout=widgets.Layout(width="210px"))  # fmt: skip
        self.outlines.observe(lambda _: self._guard(self._take_drawing), names="value")
        self._swatches, self._told = widgets.HTML(), widgets.HTML()
        self._go_on = widgets.Button(description="Go on with this one", icon="arrow-right", button_style="primary",
                                     layout=widgets.Layout(width="200px"))  # fmt: skip
        self._go_on.on_click(lambda _: self._guard(self._leave_table))
        self._table: DrawingBoard | ComposingTable | None = None
        self._body = widgets.VBox()
        wrap = widgets.Layout(flex_flow="row wrap")
        self.children = (widgets.HBox([self.title, self.system], layout=wrap), self.way, self._told, self._body)
        self.show_way()

    def show_way(self) -> None:
        """Show the way to begin that is chosen."""
        way = self.way.value
        self._told.value = f"<div>{HELP[way]}</div>"
        self._table = None
        if way == DRAWING:
            self._table = draw()
            self._body.children = (self.outlines, self._table, self._go_on)
        elif way == UNITS:
            self._table = compose()
            self._body.children = (self._table, self._go_on)
        else:
            above = {FAMILY: (), BED: (self.bed,), CLOTH: (self.photograph, self._swatches)}[way]
            self._body.children = (*above, self.families)
            self._show_families()

    def _list_keys(self, family: str) -> dict[str, Any]:
        """Return the keys of the new quilt of a family as the fields ask for it."""
        system: System = self.system.value
        title = " ".join(self.title.value.split()) or "My quilt"
        colours = self._colours if self.way.value == CLOTH else []
        keys = list_family_keys(family, title, system, colours)
        if self._picture and self.way.value == CLOTH:
            keys["fabric"][0]["picture"] = self._picture
        return keys

    def _show_families(self) -> None:
        if self.families not in self._body.children:
            return
        tiles = []
        for family in CHOSEN:
            keys = self._list_keys(family)
            keys["fabric"] = [{k: v for k, v in fabric.items() if k != "picture"} for fabric in keys["fabric"]]
            picture = write_small_picture(make_sketch(study_from_keys(keys)), self.families.pixels)
            tiles.append(QuiltTile(family, picture, (SAID.get(family, family.capitalize()),), f"Begin with {family}"))
        self.families.show(tiles)

    # ---- beginning ---------------------------------------------------------------------------------------------

    def _guard(self, act: Callable[[], None]) -> None:
        """Do something, and say so in words if it cannot be done."""
        try:
            act()
        except KitError as error:
            self._say(str(error))

    def _begin_family(self, family: str) -> None:
        def begin() -> None:
            folder = make_folder()
            study = study_from_keys(self._list_keys(family), place="This quilt", folder=folder)
            self._take(study, self.bed.value if self.way.value == BED else "")

        self._guard(begin)

    def _leave_table(self) -> None:
        """Go on with what was drawn or composed."""
        if self._table is not None:
            self._take(self._rename(self._table.study), "")

    def _rename(self, study: Study) -> Study:
        title = " ".join(self.title.value.split())
        return replace(study, title=title or study.title)

    def _take_drawing(self) -> None:
        """Make a quilt of the outlines of a drawing; the drawing is kept beside the quilts."""
        name, data = self._read_upload(self.outlines)
        if data is None:
            return
        path = _put_beside("drawings", name, data)
        shown = read_outlines(path)
        slots = dict.fromkeys(one.slot for one in shown)
        colours = ("#27415c", "#efe8d8", "#c8603c", "#7ea6b5", "#e0b04f", "#5f7d6a", "#8d5a6e")
        fabrics = [{"slot": slot, "name": slot.capitalize(), "colour": colours[number % len(colours)]}
                   for number, slot in enumerate(slots)]  # fmt: skip
        keys = {
            "title": " ".join(self.title.value.split()) or path.stem, "measures": {"system": self.system.value},
            "design": {"family": "outlines", "drawing": f"drawings/{path.name}"}, "fabric": fabrics,
        }  # fmt: skip
        self._take(study_from_keys(keys, place=path.name, folder=path.parent.parent), "")

    def _take_photograph(self) -> None:
        """Take the colours of a photograph of cloth; it is kept beside the quilts."""
        name, data = self._read_upload(self.photograph)
        if data is None:
            return
        path = _put_beside("fabrics", name, data)
        try:
            self._colours = take_colours(path)
        except KitError:
            path.unlink()
            raise
        self._picture = f"fabrics/{path.name}"
        patches = "".join(f'<span style="display:inline-block;width:34px;height:22px;background:{colour}"></span>'
                          for colour in self._colours)  # fmt: skip
        self._swatches.value = f'<div role="status">The colours of {escape(path.name)}: {patches}</div>'
        self._show_families()

    def _read_upload(self, field: widgets.FileUpload) -> tuple[str, bytes | None]:
        """Return the name and the bytes of the file that was chosen, and empty the field for the next."""
        if not field.value:
            return "", None
        (chosen, *_) = field.value
        field.value = ()
        data = bytes(chosen["content"])
        if len(data) > LARGEST_UPLOAD:
            raise KitError(
                f"{chosen['name']} has {len(data) / 1e6:.0f} megabytes", needed="at most 20", do="save it smaller"
            )
        return str(chosen["name"]), data


def _put_beside(folder: str, name: str, data: bytes) -> Path:
    """Write a file that was chosen into a folder beside the quilts, under a name that no other has."""
    place = make_folder() / folder
    place.mkdir(exist_ok=True)
    plain = re.sub(r"[^\w.-]+", "-", Path(name).name).strip(".-") or "file"
    path, number = place / plain, 2
    while path.exists() and path.read_bytes() != data:
        path, number = place / f"{Path(plain).stem}-{number}{Path(plain).suffix}", number + 1
    path.write_bytes(data)
    return path
