"""The tray: a button for each unit of the study, with its picture, its name and its finished size."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import ipywidgets as widgets

from kit.designs.units.built_unit import BuiltUnit
from kit.explore.composing.state_words import say_size
from kit.explore.composing.table_pictures import write_picture
from kit.lengths import System

PIXELS = 50.0
BUTTON = widgets.Layout(width="116px", height="92px", margin="2px")
CSS = (
    ".seamproof-tray button{white-space:pre-line;line-height:1.25;font-size:11px;padding:57px 2px 0;"
    "background-repeat:no-repeat;background-position:50% 4px;overflow:hidden;border-radius:4px;text-align:center}"
    ".seamproof-tray button.seamproof-taken{outline:3px solid #c8603c;outline-offset:-3px}"
)


@dataclass(frozen=True, slots=True)
class TrayUnit:
    """A unit of the tray: its name, what it is made as, a mark that changes with it, and why it cannot be made."""

    name: str
    unit: BuiltUnit | None
    mark: str
    why: str = ""


class Tray(widgets.VBox):
    """The units of a study as buttons.

    Parameters
    ----------
    take
        Called with the name of the unit that is taken.
    """

    def __init__(self, take: Callable[[str], None]) -> None:
        super().__init__(layout=widgets.Layout(flex="0 1 auto", max_width="100%", margin="0 0 6px"))
        self.add_class("seamproof-tray")
        self._take = take
        self._style = widgets.HTML()
        self._buttons: dict[str, widgets.Button] = {}
        self._pictures: dict[str, tuple[object, str]] = {}
        self._grid = widgets.HBox(layout=widgets.Layout(flex_flow="row wrap", overflow="auto", max_height="250px"))
        self._empty = widgets.HTML("No units yet: make one under “New unit”.")
        self.children = (self._style, self._empty)

    def show(self, units: Sequence[TrayUnit], colours: Mapping[str, str], system: System, taken: str | None) -> None:
        """Show these units, the one that is taken marked; only what changed is drawn again."""
        buttons = []
        for one in units:
            button = self._buttons.get(one.name) or self._make_button(one.name)
            said = one.name + "\n" + (_say_size(one.unit, system) if one.unit else "cannot be made")
            if button.description != said:
                button.description = said
            tooltip = one.why or f"Take {one.name}"
            if button.tooltip != tooltip:
                button.tooltip = tooltip
            button.add_class("seamproof-taken") if one.name == taken else button.remove_class("seamproof-taken")
            buttons.append(button)
            seen = (one.mark, tuple(sorted(colours.items())))
            if self._pictures.get(one.name, ("",))[0] != seen:
                self._pictures[one.name] = seen, write_picture(one.unit, colours, PIXELS)
        self._buttons = {one.name: button for one, button in zip(units, buttons, strict=True)}
        style = f"<style>{CSS}{''.join(self._write_ground(name) for name in self._buttons)}</style>"
        if self._style.value != style:
            self._style.value = style
        if self._grid.children != tuple(buttons):
            self._grid.children = tuple(buttons)
        children = (self._style, self._grid if buttons else self._empty)
        if self.children != children:
            self.children = children

    def mark(self, taken: str | None) -> None:
        """Mark the unit that is taken."""
        for name, button in self._buttons.items():
            button.add_class("seamproof-taken") if name == taken else button.remove_class("seamproof-taken")

    def _write_ground(self, name: str) -> str:
        return f".{_name_class(name)}{{background-image:url({self._pictures[name][1]})}}"

    def _make_button(self, name: str) -> widgets.Button:
        button = widgets.Button(layout=BUTTON)
        button.add_class(_name_class(name))
        button.on_click(lambda _: self._take(name))
        return button


def _name_class(name: str) -> str:
    """Return a name of a class of the page that no other unit has: letters and figures alone."""
    return "seamproof-unit-" + name.encode().hex()


def _say_size(unit: BuiltUnit, system: System) -> str:
    return say_size(*unit.size, system).replace("about ", "≈ ")
