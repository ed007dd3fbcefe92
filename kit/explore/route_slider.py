"""The walk along the route in a notebook: a slider in inches, the stitching so far, and the place of the needle."""

import ipywidgets as widgets
from bokeh.models import Column
from jupyter_bokeh.widgets import BokehModel

from kit.model.pattern import Sketch
from kit.model.quilting import QuiltingPlan
from kit.output.pictures.route_picture import lay_route


def follow_route(sketch: Sketch, plan: QuiltingPlan) -> "RouteSlider":
    """Return a slider along the route of a quilting plan.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    plan
        Its quilting.
    """
    return RouteSlider(sketch, plan)


class RouteSlider(widgets.VBox):
    """A slider along the route, the quilt with the stitching so far, and a sentence.

    Attributes
    ----------
    picture
        The slider (inches along the route, centimetres in a metric study), the sentence and the figure; the page moves
        them by itself.
    """

    def __init__(self, sketch: Sketch, plan: QuiltingPlan) -> None:
        super().__init__(layout=widgets.Layout(max_width="760px"))
        self.add_class("seamproof-route")
        self.plan = plan
        self.picture: Column = lay_route(sketch, plan)
        self.children = (BokehModel(self.picture),)
