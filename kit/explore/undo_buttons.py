"""Buttons that go back and forth, and the keys that press them."""

from collections.abc import Callable
from typing import Any

import ipywidgets as widgets

from kit.explore.history import History

UNDO_KEYS = (
    "<style onload=\"const screen = this.closest('.seamproof-explorer'); screen && screen.addEventListener('keydown',"
    " e => { const key = e.key.toLowerCase(); if (!(e.ctrlKey || e.metaKey) || e.altKey || !'zy'.includes(key)"
    " || e.target.matches('input[type=text], input[type=number], textarea')"
    " || e.target.closest('.seamproof-composing-table')) return;"
    " e.preventDefault(); e.stopPropagation();"
    " screen.querySelector(key === 'y' || e.shiftKey ? '.seamproof-redo' : '.seamproof-undo').click(); });"
    " screen && screen.addEventListener('focusin', e => e.target.setAttribute('data-lm-suppress-shortcuts', 'true'));"
    '">/* keys */</style>'
)
"""Ctrl and Z undo and redo outside of text fields, where the keys belong to the writing."""
PLAN_KEYS = UNDO_KEYS.replace("this.closest('.seamproof-explorer')", "this.closest('.seamproof-plan')")
"""The same for the screens of a plan."""


def make_back(name: str, icon: str, tip: str, act: Callable[[], object]) -> widgets.Button:
    """Return a button that goes back or forth; it is never greyed, so that the keyboard does not lose its place."""
    button = widgets.Button(description=name, icon=icon, tooltip=tip, layout=widgets.Layout(width="92px"))
    button.add_class(f"seamproof-{name.lower()}")
    button.on_click(lambda _: act())
    return button


def undo_or_say(history: History[Any], go_back: Callable[[], object], say: Callable[[str], object]) -> None:
    """Go back by one act and show it, or say that there is none."""
    if history.undo():
        go_back()
    else:
        say("Nothing has been done yet that could be undone.")


def redo_or_say(history: History[Any], go_back: Callable[[], object], say: Callable[[str], object]) -> None:
    """Do again what was undone last and show it, or say that there is nothing."""
    if history.redo():
        go_back()
    else:
        say("Nothing was undone that could be done again.")
