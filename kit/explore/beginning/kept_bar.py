"""Where the quilt on a screen is kept: its file, when it was saved, its versions, and another design beside it."""

import asyncio
from collections.abc import Callable
from html import escape
from pathlib import Path
from typing import Any, Protocol

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.beginning.beside import write_beside
from kit.sharing import pack_study
from kit.study import Study, open_study
from kit.study.quilt_folder import find_folder, is_demonstration, list_quilts, make_folder
from kit.study.working_copy import ChangedElsewhereError, WorkingCopy
from kit.taking_home import make_link, write_download

WAIT = 0.3
"""Seconds without a change after which the quilt is saved."""
NOTHING = "nothing"
ASK = "color:#26221f;background:#fdf6e3;border-left:4px solid #a8781a;padding:6px 10px;line-height:1.45"
WRAP = widgets.Layout(flex_flow="row wrap", align_items="center")


class KeptScreen(Protocol):
    """A screen whose quilt is kept: it tells its followers of every change, and takes over another quilt."""

    followers: list[Callable[[Any], None]]

    def find_kept(self) -> Study:
        """Return the quilt that is to be kept."""

    def take_study(self, study: Study) -> None:
        """Take over another quilt."""


class KeptBar(widgets.VBox):
    """The line that says where a quilt is kept, the question when two pages have one quilt, and the versions.

    Parameters
    ----------
    path
        The file of the quilt.

    Attributes
    ----------
    copy
        The quilt with its file.
    waiting
        The quilt that could not be saved because its file was changed elsewhere; None while all is well.

    Raises
    ------
    StudyError
        A file that is not a study.
    """

    def __init__(self, path: Path) -> None:
        super().__init__(layout=widgets.Layout(max_width="1280px"))
        self.add_class("seamproof-kept")
        self.copy = WorkingCopy(path)
        self.waiting: Study | None = None
        self._screen: KeptScreen | None = None
        self._timer: asyncio.TimerHandle | None = None
        self._line, self._asked = widgets.HTML(), widgets.HTML()
        self._shown_beside = widgets.HTML()
        self.answers = {
            name: _make_button(name, tip, act)
            for name, tip, act in (
                ("Take the other", "Show what the other page has saved", self._take_other),
                ("Keep this one", "Save what you see here; the other stays among the versions", self._keep_this),
                ("Keep both", "Save what you see here as a new quilt beside the other", self._keep_both),
            )
        }
        self._question = widgets.VBox([self._asked, widgets.HBox(list(self.answers.values()), layout=WRAP)])
        self._question.layout.display = "none"
        self.name = widgets.Text(description="Name", placeholder="for instance: wider strips",
                                 style={"description_width": "50px"}, layout=widgets.Layout(width="300px"))  # fmt: skip
        self.keep = _make_button(
            "Keep this version", "Keep the quilt as it is now, under this name", self._keep_version
        )
        self.versions = widgets.Dropdown(description="Kept", style={"description_width": "50px"},
                                         layout=widgets.Layout(width="420px"))  # fmt: skip
        self.back = _make_button("Go back to it", "The quilt as it was kept; undo brings back this one", self._go_back)
        self.pack = _make_button("Pack the quilt", "One zip: study, pictures, result, tables, versions", self._pack)
        self._packed = widgets.HTML()
        self.beside = widgets.Dropdown(description="Beside this one", style={"description_width": "110px"},
                                       layout=widgets.Layout(width="420px"))  # fmt: skip
        self.beside.observe(lambda _: self._show_beside(), names="value")
        self.message = widgets.HTML()
        inside = widgets.VBox([
            widgets.HBox([self.name, self.keep], layout=WRAP), widgets.HBox([self.versions, self.back], layout=WRAP),
            self.beside, self.pack, self._packed, self.message, self._shown_beside,
        ])  # fmt: skip
        self.more = widgets.Accordion(children=[inside], selected_index=None)
        self.more.set_title(0, "Versions, and two designs side by side")
        self.more.observe(lambda _: self._list(), names="selected_index")
        self.children = (self._line, self._question, self.more)
        self._say_place()

    def serve(self, screen: KeptScreen) -> None:
        """Keep the quilt of this screen from now on."""
        self._screen = screen
        screen.followers.append(lambda study: self.follow(screen, study))

    # ---- saving ------------------------------------------------------------------------------------------------

    def follow(self, screen: KeptScreen, study: Study) -> None:
        """Save the quilt as soon as it has not changed for a moment; outside of a notebook at once."""
        if screen is not self._screen:
            return
        if self._timer is not None:
            self._timer.cancel()
        try:
            self._timer = asyncio.get_running_loop().call_later(WAIT, self.save, study)
        except RuntimeError:
            self.save(study)

    def save(self, study: Study) -> None:
        """Save the quilt; ask if its file was changed elsewhere, say so if it cannot be written."""
        self._timer = None
        try:
            self.copy.write(study)
        except ChangedElsewhereError as error:
            self.waiting = study
            self._asked.value = (
                f'<div role="alert" style="{ASK}">{escape(error.found)}, and differs from what you see here.'
                " Nothing was written over it. Which is to be kept?</div>"
            )
            self._question.layout.display = ""
            self._say_place()
            return
        except KitError as error:
            self._say_place(f"Not saved: {error}")
            return
        self._be_calm()

    def finish(self) -> None:
        """Save at once what waits for a quiet moment."""
        if self._timer is not None and self._screen is not None:
            self._timer.cancel()
            self.save(self._screen.find_kept())

    def change_file(self, path: Path) -> None:
        """Keep another quilt, from this file.

        Raises
        ------
        StudyError
            A file that is not a study.
        """
        self.finish()
        self.copy = WorkingCopy(path)
        self._be_calm()

    def _be_calm(self) -> None:
        self.waiting = None
        self._question.layout.display = "none"
        self._say_place()
        self._list()

    def _take_other(self) -> None:
        study = self.copy.read()
        self._be_calm()
        if self._screen is not None:
            self._screen.take_study(study)

    def _keep_this(self) -> None:
        if self.waiting is not None:
            self.copy.write(self.waiting, replace=True)
        self._be_calm()

    def _keep_both(self) -> None:
        if self.waiting is not None:
            self.copy.write_beside(self.waiting)
        self._be_calm()

    def _say_place(self, trouble: str = "") -> None:
        """Say which file holds the quilt, in which folder, and since when."""
        copy, folder = self.copy, find_folder()
        name, shown = escape(copy.path.name), f"{escape(folder.parent.name)}/{escape(folder.name)}"
        place = f'<b>{name}</b> in the folder <span title="{escape(str(folder))}">{shown}</span>'
        if trouble:
            said = f"{escape(trouble)}"
        elif self.waiting is not None:
            said = f"Not saved since {copy.saved:%H:%M:%S}: {place}." if copy.saved else f"Not saved: {place}."
        elif copy.is_copy:
            when = f"saved {copy.saved:%H:%M:%S}" if copy.saved else "every change is saved"
            said = f"Kept as {place}; {when}."
        else:
            what = "A demonstration" if is_demonstration(copy.path) else "This file"
            said = f"{what} ({name}) stays as it is: your first change makes a working copy in the folder {shown}."
        link = write_download(copy.path)
        self._line.value = f'<div role="status" style="padding:2px 0;line-height:1.45">{said}{link}</div>'

    # ---- versions ----------------------------------------------------------------------------------------------

    def _list(self) -> None:
        """Offer the versions and the other quilts, while they are in sight."""
        if self.more.selected_index is None:
            return
        self._kept = {str(one.path): one for one in self.copy.list_versions()}
        options = [(one.said, path) for path, one in self._kept.items()]
        _offer(self.versions, options or [("no version has been kept yet", NOTHING)])
        self.back.disabled = not options
        others = [(f"quilt {one.path.stem}", str(one.path)) for one in list_quilts(find_folder())
                  if one.path != self.copy.path]  # fmt: skip
        _offer(self.beside, [("nothing", NOTHING), *options, *others])
        self._show_beside()

    def _keep_version(self) -> None:
        if self._screen is None:
            return
        self.finish()
        kept = self.copy.keep_version(self._screen.find_kept(), self.name.value)
        self.name.value = ""
        self._be_calm()
        self.versions.value = str(kept.path)
        self._say(f"Kept: {kept.said}.")

    def _go_back(self) -> None:
        version = self._kept.get(self.versions.value)
        if version is None or self._screen is None:
            return
        study = self.copy.open_version(version)
        self.finish()
        self.copy.keep_version(self._screen.find_kept(), "before going back")
        self._screen.take_study(study)
        self._list()
        self._say(f"This is the quilt of {version.said}. What you had is kept as well.")

    def _pack(self) -> None:
        """Pack the quilt as it is saved into a zip of its name, beside it, and offer that as a download."""
        self.finish()
        path = self.copy.path
        self._packed.value = '<div role="status">Packing: every plan is made once more.</div>'
        try:
            packed = pack_study(path, make_folder() / f"{path.stem}.zip")
        except KitError as error:
            self._packed.value = f'<div role="status">{escape(str(error))}</div>'
            return
        self._packed.value = f'<div role="status">Packed as {escape(packed.name)}.{make_link(packed)}</div>'

    def _show_beside(self) -> None:
        """Show the quilt beside the one that is chosen."""
        chosen = self.beside.value
        if chosen in (None, NOTHING) or self._screen is None:
            self._shown_beside.value = ""
            return
        try:
            version = self._kept.get(chosen)
            other = self.copy.open_version(version) if version else open_study(chosen)
            label = version.name or version.said if version else Path(chosen).stem
            self._shown_beside.value = write_beside(self._screen.find_kept(), other, label)
        except KitError as error:
            self._shown_beside.value = f"<div>{escape(str(error))}</div>"

    def _say(self, text: str) -> None:
        self.message.value = f'<div role="status">{escape(text)}</div>'

    def attempt(self, act: Callable[[], None]) -> None:
        """Do something, and say so in words if it cannot be done."""
        try:
            act()
        except KitError as error:
            self._say_place(str(error))


def _make_button(name: str, tip: str, act: Callable[[], None]) -> widgets.Button:
    button = widgets.Button(description=name, tooltip=tip, layout=widgets.Layout(width="150px"))

    def press(_: Any) -> None:
        bar = getattr(act, "__self__")  # noqa: B009  the bar that the action belongs to
        bar.attempt(act)

    button.on_click(press)
    return button


def _offer(field: widgets.Dropdown, options: list[tuple[str, str]]) -> None:
    """Offer these choices; what is chosen stays if it is still among them."""
    if tuple(field.options) == tuple(options):
        return
    held = field.value
    field.options = options
    field.value = held if held in [path for _, path in options] else options[0][1]
