"""Common parts of the screens: the frame of messages, the guard against tracebacks, saving, tables."""

import re
from collections.abc import Callable, Sequence
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.beginning.kept_screen import FollowedScreen
from kit.explore.table_elsewhere import TableElsewhere
from kit.look import Framed
from kit.study import Study, save_study
from kit.taking_home import write_download

MOODS = {
    "plain": ("#888888", "#f6f6f6"),
    "refused": ("#9c2f1f", "#fbeeea"),
    "warn": ("#a8781a", "#fdf6e3"),
    "busy": ("#3f6f8f", "#eef4f8"),
    "done": ("#3d6b45", "#eef6ef"),
}
"""Edge and ground of the frame around a message; the words say it too, never only the colour."""
NAMED = re.compile("`([^`]*)`")
"""A name within a sentence, as errors mark it."""
FRAME = "color:#26221f;padding:6px 10px;border-left:4px solid {};background:{};max-width:640px;line-height:1.45"


class Screen(FollowedScreen, Framed):
    """A screen that reports its actions, and never shows a traceback.

    Attributes
    ----------
    message
        The frame of messages.
    refused
        Whether the controls hold a setting that could not be built; all else is of the last that could.
    elsewhere
        The tables and pictures in other places of the page that belong to this screen.
    """

    shown = "The screen shows the last plan that was possible."
    """The note after a refusal: what the screen still shows."""

    def __init__(self, name: str, width: int = 1280) -> None:
        super().__init__(layout=widgets.Layout(max_width=f"{width}px"))
        self.add_class(name)
        self.message = widgets.HTML()
        self.message.add_class("seamproof-message")
        self.refused = False
        self.elsewhere: list[TableElsewhere] = []
        self.start_following()

    def say(self, text: str, mood: str = "plain", saved: str | Path = "") -> None:
        """Show a sentence above the picture, only as text; names stand between quotation marks.

        On a served page a file just saved comes with a link to it.
        """
        told = escape(NAMED.sub("\N{LEFT DOUBLE QUOTATION MARK}\\1\N{RIGHT DOUBLE QUOTATION MARK}", text))
        link = write_download(saved) if saved else ""
        self.message.value = f'<div role="status" style="{FRAME.format(*MOODS[mood])}">{told}{link}</div>'

    def refuse(self, text: str) -> None:
        """Show why something that was asked for is not done."""
        self.say(text, "refused")

    def warn(self, sentences: Sequence[str]) -> None:
        """Show the warnings, if there are any."""
        if sentences:
            self.say(" ".join(f"{sentence}." for sentence in sentences), "warn")
        else:
            self.message.value = ""

    def attempt(self, act: Callable[[], Any]) -> bool:
        """Do an action, and return True if it was done; an error becomes a sentence in place."""
        try:
            act()
        except KitError as error:
            self.say(f"{error} {self.shown}".strip(), "refused")
        except Exception as error:  # noqa: BLE001  the last guard before the screen
            self.say(f"This could not be done ({type(error).__name__}: {error}). {self.shown}".strip(), "refused")
        else:
            return True
        return False

    def find_shown(self) -> Any:
        """Return what the tables elsewhere on the page are made from."""
        return getattr(self, "plan", None) or getattr(self, "sketch", None)

    def show_here(self, make: Callable[[Any], Any]) -> TableElsewhere:
        """Return a table or a still picture of the quilt as it is on this screen, for another place of the page.

        When the screen changes, it says that it is of the quilt as it was, with a button that makes it again; a screen
        that plans quickly makes it again at once.

        Parameters
        ----------
        make
            Makes it: for instance `kit.tables.pieces` of an explorer, which shows patterns;
            `kit.tables.finishing_tables.list_binding` of the finishing, whose plan it shows. A frame, or a picture as
            `kit.show_picture` returns it.

        Raises
        ------
        KitError
            A quilt that cannot be planned as it is now.
        """
        found = TableElsewhere(self, make)
        self.elsewhere.append(found)
        return found

    def follow_elsewhere(self) -> None:
        """Make what is shown elsewhere again."""
        for table in self.elsewhere:
            table.make_again()

    def follow_keys(self, follow: Callable[[], Any]) -> None:
        """Follow changed keys, or say why that cannot be."""
        self.refused = not self.attempt(follow)
        if not self.refused:
            self.follow_elsewhere()
            self.tell_followers()

    def say_saved(self, path: str | Path) -> None:
        """Say what was saved; a setting that could not be built is not in the file, and that is said."""
        left = " The last setting, which could not be built, is not in the file." if self.refused else ""
        self.say(f"Saved as {Path(path).name}.{left}", "warn" if left else "done", path)

    def save_asked(self, find: Callable[[], Study], name: str) -> None:
        """Save the study that `find` returns; a file that is there is only replaced if that is asked twice."""
        question = self.ask_before(name)
        if question:
            self.say(question, "warn")
        else:
            self.attempt(lambda: self.say_saved(save_study(find(), name)))

    def make_save(self, find: Callable[[], Study]) -> widgets.VBox:
        """Return the field and the button for saving the study that `find` returns."""
        name = widgets.Text(value="my-study.toml", description="Study file", style={"description_width": "90px"})
        button = widgets.Button(description="Save the study", icon="save")

        button.on_click(lambda _: self.save_asked(find, name.value))
        return widgets.VBox([name, button])
