"""Tiles: buttons that each show a picture with lines of words below, in rows that wrap."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import ipywidgets as widgets

from kit.explore.gallery import write_small_address
from kit.model.pattern import Sketch
from kit.output.pictures.colour_views import draw_view

CSS = (
    ".seamproof-tiles button{white-space:pre-line!important;line-height:1.35;font-size:13px;padding:6px;height:auto;"
    "background-repeat:no-repeat;background-position:50% 8px;border-radius:4px;text-align:left;align-content:start;"
    "color:var(--jp-ui-font-color1,#26221f);background-color:var(--jp-layout-color2,#f3f1ed);"
    "border:1px solid var(--jp-border-color1,#8a8580);overflow:hidden;overflow-wrap:anywhere}"
    ".seamproof-tiles button::first-line{font-weight:600}"
    ".seamproof-tiles button:focus-visible{outline:3px solid #c8603c;outline-offset:2px}"
)
ROOM = 22
"""Pixels above and below a picture."""


@dataclass(frozen=True, slots=True)
class QuiltTile:
    """A tile: what it stands for, its picture (the address of an image, or empty), and its lines of words."""

    key: str
    picture: str
    lines: tuple[str, ...]
    tip: str = ""


class PictureTiles(widgets.VBox):
    """Tiles in rows.

    Parameters
    ----------
    press
        Called with the key of the tile that is pressed.
    pixels
        Largest width and height of a picture.
    """

    def __init__(self, press: Callable[[str], None], pixels: int = 150) -> None:
        super().__init__(layout=widgets.Layout(max_width="100%"))
        self.add_class("seamproof-tiles")
        self.add_class(f"seamproof-tiles-{pixels}")
        self._press, self.pixels = press, pixels
        self._style = widgets.HTML()
        self._grid = widgets.HBox(layout=widgets.Layout(flex_flow="row wrap"))
        self.buttons: dict[str, widgets.Button] = {}
        self.children = (self._style, self._grid)

    def show(self, tiles: Sequence[QuiltTile]) -> None:
        """Show these tiles and no others."""
        width = f"{self.pixels + 40}px"
        self.buttons = {}
        rules = [CSS, f".seamproof-tiles.seamproof-tiles-{self.pixels} button{{padding-top:{self.pixels + ROOM}px}}"]
        for tile in tiles:
            button = widgets.Button(description="\n".join(tile.lines), tooltip=tile.tip or tile.lines[0])
            button.layout = widgets.Layout(width=width, margin="0 10px 10px 0", min_height=f"{self.pixels + 90}px")
            name = "seamproof-tile-" + tile.key.encode().hex()
            button.add_class(name)
            button.on_click(lambda _, key=tile.key: self._press(key))
            self.buttons[tile.key] = button
            if tile.picture:
                rules.append(f".{name}{{background-image:url({tile.picture})}}")
        self._style.value = f"<style>{''.join(rules)}</style>"
        self._grid.children = tuple(self.buttons.values())


def write_small_picture(sketch: Sketch, pixels: float) -> str:
    """Return the top in colour as the address of an image that is as large as so many pixels each way allow."""
    drawing = draw_view(sketch, "colour")
    left, bottom, right, top = drawing.box
    return write_small_address(drawing, pixels * min(1.0, (right - left) / (top - bottom)))
