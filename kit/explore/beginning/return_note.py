"""What to press where a page shows no screen: loaded again without its kernel, or after that was restarted."""

from typing import Any

from IPython.display import HTML, display

NOTE = (
    "<style>.seamproof-return{color:#26221f;background:#fdf6e3;border-left:4px solid #a8781a;padding:6px 10px;"
    "line-height:1.45;max-width:760px}"
    ".jp-OutputArea:has(.seamproof-screen:not(.jupyter-widgets-disconnected)) .seamproof-return{display:none}"
    ".jp-OutputArea:has(.seamproof-return)>.jp-OutputArea-child>.jp-OutputArea-output.jupyter-widgets:not(:has(*))"
    "{display:none}</style>"
    '<div class="seamproof-return" role="status">Nothing is lost: every change of a quilt in your folder is saved.'
    " To see the screen here, choose <b>Run ▸ Run All Cells</b> in the menu.</div>"
)
"""Hidden by its own style while the screen beside it lives."""
PLAIN = "A screen, which lives while the notebook runs."
"""What stands for a screen where only text is shown."""


def show_with_note(screen: Any) -> None:
    """Show a widget, with the note before it that says what to press where it is not there."""
    screen.add_class("seamproof-screen")
    display(HTML(NOTE))
    bundle = screen._repr_mimebundle_() or {}
    display({**bundle, "text/plain": PLAIN}, raw=True)
