"""What screens share whose quilt is kept: who follows them, and the file in which every change is saved."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from kit.explore.beginning.kept_bar import KeptBar
from kit.explore.beginning.return_note import show_with_note
from kit.study import Study


class FollowedScreen:
    """A part of a screen: its followers, and where its quilt is kept.

    Attributes
    ----------
    study
        The quilt as it is on this screen.
    followers
        Called with the quilt after each change that could be built.
    bars
        Where the quilt is kept, as the first of the screen's parts; none for a quilt without a file.
    """

    study: Any
    children: tuple[widgets.Widget, ...]

    def start_following(self) -> None:
        """Begin with no follower and no file."""
        self.followers: list[Callable[[Any], None]] = []
        self.bars: tuple[KeptBar, ...] = ()
        self._written: set[Path] = set()
        self._asked_for: Path | None = None

    def keep_in(self, path: str | Path) -> None:
        """Keep the quilt of this screen in a file: every change is saved; what is not the maker's own is copied first.

        Raises
        ------
        StudyError
            A file that is not a study.
        """
        bar = KeptBar(Path(path))
        bar.serve(self)
        self.bars = (bar,)
        self.children = (bar, *self.children)

    def ask_before(self, name: str | Path) -> str:
        """Return the question to ask before a file is replaced, empty where it may be written.

        A new file may, one that this screen has written or opened, and one that was asked about the last time.
        """
        path = Path(name).absolute()
        own = self._written | {bar.copy.path for bar in self.bars}
        if not path.is_file() or path in own or path == self._asked_for:
            self._asked_for = None
            self._written.add(path)
            return ""
        self._asked_for = path
        return f"{path.name} is there already. Press Save once more to replace it, or write another name."

    def own_file(self, name: str | Path) -> None:
        """Take a file for one that this screen may write: it was opened here."""
        self._written.add(Path(name).absolute())

    def tell_followers(self) -> None:
        """Tell who follows this screen that the quilt has changed."""
        for follow in self.followers:
            follow(self.find_kept())

    def find_kept(self) -> Study:
        """Return the quilt that is to be kept."""
        study: Study = self.study
        return study

    def take_study(self, study: Study) -> None:
        """Take over another quilt; a screen that cannot says so."""
        raise NotImplementedError(f"{type(self).__name__} takes no other quilt than {study.title}")

    def _ipython_display_(self) -> None:
        """Show the screen, and beside it what to press where a page was opened or loaded again without it."""
        show_with_note(self)
