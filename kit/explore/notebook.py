"""Tools for notebooks besides the explorer: the drawing library loaded offline, and still pictures."""

import gc
import os
from functools import partial

import pandas as pd
from bokeh.io import output_notebook
from IPython.core.getipython import get_ipython
from IPython.display import HTML, clear_output, display

from kit.explore.own_files import OwnFiles
from kit.explore.table_writing import write_table
from kit.model.pattern import Pattern, Sketch
from kit.output.pictures.colour_views import draw_view
from kit.output.pictures.quilt_top import bring_library
from kit.output.pictures.quilting_picture import draw_quilting
from kit.output.pictures.svg import write_image
from kit.taking_home import is_served


def start_notebook() -> None:
    """Load the drawing library into the page, from this machine; call it in a separate cell, before any figure.

    From then on tables are shown whole and read from the left: pandas would cut off a long cell, and with it perhaps a
    cut size.
    What the libraries hold by now is kept out of every later search for unused memory, which would take a tenth of a
    second in the middle of a gesture.
    The output is cleared again, so that the saved notebook stays small; in served pages it has to stay, and
    a bar with the visitor's own files stands below it.
    """
    pd.set_option("display.max_colwidth", None)
    pd.set_option("display.max_rows", 500)
    shell = get_ipython()
    if shell is not None and shell.display_formatter is not None:
        shell.display_formatter.formatters["text/html"].for_type(pd.DataFrame, partial(write_table, whole=True))
    output_notebook(bring_library(), hide_banner=True)
    gc.collect()
    gc.freeze()
    if not os.environ.get("SERVER_SOFTWARE", "").startswith("voila"):
        clear_output()
    if is_served():
        display(OwnFiles())


def list_facts(**facts: object) -> pd.DataFrame:
    """Return a few figures in plain words, one row each.

    Parameters
    ----------
    facts
        Each figure under its name, with _ for a space. True and False are written as yes and no, nothing as –, several
        figures with a comma between them.

    Examples
    --------
    >>> print(list_facts(agrees=True, finished_inches=(36.0, 44.0)))  # doctest: +NORMALIZE_WHITESPACE
                        figure
    agrees                 yes
    finished inches     36, 44
    """
    names = [name.replace("_", " ") for name in facts]
    return pd.DataFrame({"figure": [_write_fact(value) for value in facts.values()]}, index=names)


def _write_fact(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value is None:
        return "–"
    if isinstance(value, list | tuple):
        return ", ".join(map(_write_fact, value))
    return f"{value:.6g}" if isinstance(value, float) else str(value)


def show_picture(pattern: Sketch, view: str = "colour", width: float = 620.0, height: float = 520.0) -> HTML:
    """Return a still picture of the top for a saved notebook, with alternative text.

    It is as large as `width` and `height` (pixels) allow. A pattern also has the view "quilting".
    """
    if view == "quilting" and isinstance(pattern, Pattern):
        drawing = draw_quilting(pattern, pattern.quilting)
    else:
        drawing = draw_view(pattern, view)
    left, bottom, right, top = drawing.box
    wide = min(width, height * (right - left) / (top - bottom))
    return HTML(write_image(drawing, width=wide))
