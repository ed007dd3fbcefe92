"""The front door: the maker's quilts as tiles, new ones, demonstrations apart; the chosen one opens in place."""

from collections.abc import Callable
from datetime import datetime
from html import escape
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.beginning.going_on import STAGES, GoingOn
from kit.explore.beginning.kept_bar import KeptBar
from kit.explore.beginning.new_quilt import NewQuilt
from kit.explore.beginning.picture_tiles import PictureTiles, QuiltTile, write_small_picture
from kit.explore.beginning.starting_keys import CHOSEN, SAID, change_family
from kit.explore.composing.library import DrawingLibrary
from kit.explore.fit_screen import SizeChooser
from kit.explore.screen import Screen
from kit.lengths import write_nearest
from kit.pipeline import make_sketch
from kit.study import Study, open_study, save_study
from kit.study.quilt_folder import (
    find_folder,
    is_demonstration,
    list_demonstrations,
    list_quilts,
    make_folder,
    name_new,
    read_working,
    set_working,
)

HEADING = "font-size:{}px;font-weight:600;margin:10px 0 4px"


def begin() -> "FrontDoor":
    """Return the front door: your quilts, a new quilt, the demonstrations; the chosen one opens in place.

    Notes
    -----
    Quilts are kept in the folder `quilts` beside the notebooks (or in the one that the variable `SEAMPROOF_QUILTS`
    names); which of them is being worked on is kept there in `working-on.txt`, and every notebook opens that one.
    """
    return FrontDoor()


class FrontDoor(Screen):
    """Tiles of quilts, and the chosen quilt on the screens of its stages.

    Attributes
    ----------
    tiles, demonstrations
        The maker's quilts, and the quilts that come with the kit.
    new
        The ways to begin a quilt.
    stages
        The stages of the quilt that is open.
    bar
        Where the quilt that is open is kept; None while the tiles are shown.
    screen
        The screen of its stage; None while the tiles are shown.
    """

    shown = ""

    def __init__(self) -> None:
        super().__init__("seamproof-begin", 1320)
        self.message.layout.height = "auto"  # the screens of the stages have a message of their own
        self.bar: KeptBar | None = None
        self.screen: Any = None
        self._now: Study | None = None
        self.tiles = PictureTiles(lambda key: self._try(lambda: self.open_quilt(Path(key))))
        self.demonstrations = PictureTiles(lambda key: self._try(lambda: self.open_quilt(Path(key))), 120)
        self.new = NewQuilt(self._begin_new, lambda text: self.say(text, "refused"))
        self._place = widgets.HTML()
        self._below = widgets.Accordion(children=[self.new, self.demonstrations], selected_index=None)
        self._below.set_title(0, "A new quilt")
        self._below.set_title(1, "Demonstrations")
        self._below.observe(lambda _: self._show_demonstrations(), names="selected_index")
        self._back = widgets.Button(description="All quilts", icon="th", layout=widgets.Layout(width="120px"))
        self._back.on_click(lambda _: self._try(self.show_tiles))
        self._other = widgets.Button(description="Change the family", tooltip="Piece this quilt in another way",
                                     layout=widgets.Layout(width="150px"))  # fmt: skip
        self._other.on_click(lambda _: self._try(self._offer_families))
        self._families = PictureTiles(lambda key: self._try(lambda: self._change_family(key)), 90)
        self.stages = GoingOn(lambda number: self._try(lambda: self.go(number)))
        self._stage = widgets.VBox()
        self._library = DrawingLibrary(lambda: None)  # brought while the tiles are looked through
        self.show_tiles()

    # ---- the tiles ---------------------------------------------------------------------------------------------

    def show_tiles(self) -> None:
        """Show all quilts, the one last worked on first."""
        if self.bar is not None:
            self.bar.finish()
        self.bar = self.screen = None
        folder, found = find_folder(), [quilt.path for quilt in list_quilts(find_folder())]
        working = read_working()
        if working in found:
            found = [working, *(path for path in found if path != working)]
        self.tiles.show([_make_tile(path, self.tiles.pixels, now=path == working) for path in found])
        said = "" if found else " There are none yet: begin a new one, or open a demonstration."
        shown = f'<span title="{escape(str(folder))}">{escape(folder.parent.name)}/{escape(folder.name)}</span>'
        self._place.value = (
            f'<div style="{HEADING.format(20)}">Your quilts</div><div>They are kept in the folder {shown}.{said}</div>'
        )
        self.message.value = ""
        if not found and self._below.selected_index is None:
            self._below.selected_index = 0
        self._show_demonstrations()
        self.children = (self._place, self.message, self.tiles, self._below, self._library)

    def _show_demonstrations(self) -> None:
        """Draw the demonstrations once their section is open."""
        if self._below.selected_index == 1 and not self.demonstrations.buttons:
            self.demonstrations.show([_make_tile(path, self.demonstrations.pixels) for path in list_demonstrations()])

    # ---- the quilt that is open --------------------------------------------------------------------------------

    def open_quilt(self, path: Path, stage: int = 0) -> None:
        """Open a quilt in place, and remember that it is being worked on.

        Raises
        ------
        StudyError
            A file that is not a study.
        """
        study = open_study(path)
        bar = KeptBar(path)
        set_working(path)
        self.bar, self._now = bar, study
        head = widgets.HBox([self._back, self._other], layout=widgets.Layout(flex_flow="row wrap"))
        self.go(stage)
        self.children = (head, self.stages, bar, self.message, self._stage, self._library)

    def _begin_new(self, study: Study, bed: str) -> None:
        """Keep a new quilt in the folder, and open it: to fit a bed, on the screen of its size."""
        study.make_patchwork()
        path = name_new(study.title, make_folder())
        save_study(study, path)
        self.open_quilt(path, 1 if bed else 0)
        if bed and isinstance(self.screen, SizeChooser):
            self.screen.bed.value = bed

    @property
    def study(self) -> Study | None:
        """The quilt that is open, as it is now; None while the tiles are shown."""
        return self._now if self.bar is not None else None

    def go(self, number: int) -> None:
        """Show a stage of the quilt that is open.

        Raises
        ------
        KitError
            A quilt for which the plans of this stage cannot be made.
        """
        if self.bar is None or self._now is None:
            return
        self.bar.finish()
        self.say(f"Working: {STAGES[number].name.lower()} of {self._now.title}.", "busy")
        screen = STAGES[number].make(self._now)
        self.message.value = ""
        self.screen = screen
        if hasattr(screen, "followers"):
            screen.followers.append(self._follow)
            self.bar.serve(screen)
        self.stages.mark(number)
        self._stage.children = (screen,)

    def _follow(self, study: Study) -> None:
        self._now = study

    def _offer_families(self) -> None:
        """Offer the families, or put them away again."""
        if self._now is None or self._families in self._stage.children:
            self._stage.children = (self.screen,)
            return
        tiles, now = [], self._now
        for family in CHOSEN:
            try:
                picture = write_small_picture(make_sketch(change_family(now, family)), self._families.pixels)
            except KitError:
                continue
            tiles.append(
                QuiltTile(family, picture, (SAID.get(family, family.capitalize()),), f"Piece this quilt as {family}")
            )
        self._families.show(tiles)
        self._stage.children = (self._families, self.screen)

    def _change_family(self, family: str) -> None:
        """Piece the open quilt in another way; what it was is kept as a version, and can be undone."""
        if self._now is None or self.bar is None:
            return
        study = change_family(self._now, family)
        self.bar.finish()
        self.bar.copy.keep_version(self._now, f"before {family}")
        if self.stages.stage:
            self.go(0)
        self._stage.children = (self.screen,)
        self.screen.take_study(study)

    def _try(self, act: Callable[[], None]) -> None:
        """Do something, and say so in words if it cannot be done."""
        if not self.attempt(act) and self.screen is None:
            self.children = (self._place, self.message, self.tiles, self._below, self._library)


def _make_tile(path: Path, pixels: float, *, now: bool = False) -> QuiltTile:
    """Return the tile of a quilt: picture, title, size, when it was changed, file; a broken file says so."""
    try:
        study = open_study(path)
        sketch = make_sketch(study)
    except KitError as error:
        return QuiltTile(str(path), "", (path.name, "cannot be opened", str(error)[:90]), str(error))
    size = " × ".join(write_nearest(side, study.measures.system) for side in sketch.patchwork.finished)
    changed = datetime.fromtimestamp(path.stat().st_mtime).astimezone()
    kept = f"{changed:%d %b %Y, %H:%M}".lstrip("0")
    lines = [study.title, size, *([] if is_demonstration(path) else [f"changed {kept}"]), path.name]
    if now:
        lines.append("last worked on")
    return QuiltTile(str(path), write_small_picture(sketch, pixels), tuple(lines), f"Open {study.title}")
