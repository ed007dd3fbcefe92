"""What lies round the picture of the quilt: its surroundings, and a ruler on request."""

from typing import Any

import ipywidgets as widgets

from kit.explore.quilt_figure import QuiltFigure

GROUNDS = [("As the page", ""), ("White wall", "#ffffff"), ("Grey wall", "#8f8c88"), ("Dark room", "#1b1a19")]


class PictureBar(widgets.HBox):
    """The surroundings of a picture, and its ruler.

    Parameters
    ----------
    picture
        The picture.
    """

    def __init__(self, picture: QuiltFigure) -> None:
        super().__init__(layout=widgets.Layout(flex_flow="row wrap"))
        self.add_class("seamproof-picture-bar")
        self.ground = widgets.Dropdown(
            options=GROUNDS, description="Surroundings", style={"description_width": "90px"},
            layout=widgets.Layout(width="230px"),
        )  # fmt: skip
        self.ruler = widgets.Checkbox(description="Ruler", indent=False, layout=widgets.Layout(width="90px"))
        self.ground.observe(lambda change: picture.send({"ground": change["new"]}), names="value")
        self.ruler.observe(lambda change: picture.rule(wanted=change["new"]), names="value")
        self.children: Any = (self.ground, self.ruler)
