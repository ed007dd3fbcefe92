"""The drawing library of the page: brought again, and the figure drawn, when a page is loaded again without it."""

from collections.abc import Callable

import ipywidgets as widgets

from kit.output.pictures.quilt_top import bring_library

ASK = (
    "<style onload=\"const box = this.closest('.seamproof-library'); if (box && !window.Bokeh)"
    " setTimeout(() => box.querySelector('.seamproof-library-bring')?.click(), 300);\">/* ask */</style>"
)
"""Presses the first hidden button where the page has no drawing library."""
TAKE = (
    "<style onload=\"if (!window.Bokeh) { const made = document.createElement('script');"
    " made.textContent = this.previousElementSibling.textContent; document.head.appendChild(made); }"
    " this.closest('.seamproof-library')?.querySelector('.seamproof-library-there')?.click();\">/* take */</style>"
)
"""Runs the text before it as the library, and presses the second hidden button."""


class DrawingLibrary(widgets.Box):
    """Hidden parts of a screen that bring the drawing library to a page that was loaded again.

    Parameters
    ----------
    draw
        Called once the page has the library; draws the figures again.
    """

    def __init__(self, draw: Callable[[], None]) -> None:
        super().__init__(layout=widgets.Layout(width="0", height="0", overflow="hidden", visibility="hidden"))
        self.add_class("seamproof-library")
        self._text = widgets.HTML()
        bring, there = widgets.Button(tooltip="Bring the library"), widgets.Button(tooltip="Draw again")
        bring.add_class("seamproof-library-bring")
        there.add_class("seamproof-library-there")
        bring.on_click(lambda _: self._bring())
        there.on_click(lambda _: self._finish(draw))
        self.children = (bring, there, self._text, widgets.HTML(ASK))

    def _bring(self) -> None:
        parts = bring_library().js_raw
        text = "\n".join(parts).replace("</script", "<\\/script")
        self._text.value = f'<script type="text/plain">{text}</script>{TAKE}'

    def _finish(self, draw: Callable[[], None]) -> None:
        self._text.value = ""
        draw()
