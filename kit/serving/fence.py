"""A fence round the files of one visitor: the process opens, lists and changes nothing outside of that folder.

Python tells an audit hook (PEP 578) of every file before it is opened, of every folder before it is listed and of every
command before it is started. The hook refuses what is not on the short list of what a page needs to read. A visitor
cannot send code, only turn the controls of a page; so no code of theirs can get round the hook, and a path
typed into a field ends here.
"""

import os
import socket
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

READ_BY_PYTHON = (
    "/usr/share/zoneinfo", "/usr/share/fonts", "/usr/share/mime", "/usr/local/share/fonts", "/etc/localtime",
    "/etc/mime.types", "/etc/fonts", "/etc/ssl/openssl.cnf", "/dev/null", "/dev/urandom", "/proc/meminfo",
    "/proc/cpuinfo", "/proc/stat", "/proc/uptime", "/sys/devices/system/cpu",
)  # fmt: skip
"""What libraries look up on a machine; no file of anybody is among it."""
OWN_FIGURES = ("stat", "statm", "status", "cgroup", "mountinfo")
"""Files below /proc of this process itself: its memory and its time."""
STARTS = ("subprocess.Popen", "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.startfile", "pty.spawn")
CHANGES = (
    "os.remove", "os.rename", "os.mkdir", "os.rmdir", "os.chmod", "os.chown", "os.truncate", "os.utime", "os.setxattr",
    "os.removexattr", "os.chflags", "os.lchflags", "os.lchmod",
)  # fmt: skip
LINKS = ("os.link", "os.symlink")
LISTS = ("os.listdir", "os.scandir", "os.chdir", "os.fwalk", "glob.glob")
WRITING = os.O_WRONLY | os.O_RDWR | os.O_APPEND | os.O_CREAT | os.O_TRUNC


class Fence:
    """What may be read and what may be written.

    Parameters
    ----------
    own
        The one folder that may be written to.
    readable
        Further folders and files that may be read.
    """

    def __init__(self, own: str | Path, readable: Iterable[str | Path] = ()) -> None:
        self.own = os.path.realpath(own)
        figures = [f"/proc/{who}/{name}" for who in ("self", os.getpid()) for name in OWN_FIGURES]
        wanted = [self.own, sys.prefix, sys.base_prefix, sys.exec_prefix, *readable, *READ_BY_PYTHON, *figures]
        self.readable = tuple({os.path.realpath(place) for place in wanted})
        self._looks: dict[str, Callable[[tuple[Any, ...]], None]] = {
            "open": self._look_at_opening,
            "os.rename": self._look_at_renaming,
            "socket.connect": self._look_at_connecting,
            "sqlite3.connect": self._look_at_changing,
            **dict.fromkeys(LISTS, self._look_at_listing),
            **{name: self._look_at_changing for name in CHANGES if name != "os.rename"},
            **dict.fromkeys((*STARTS, *LINKS), self._refuse_always),
        }

    def raise_it(self) -> None:
        """Put up the fence; it stays for the life of the process."""
        looks = self._looks

        def look(event: str, given: tuple[Any, ...]) -> None:
            if event in looks:
                looks[event](given)

        sys.addaudithook(look)

    def may_read(self, place: Any, folder: int = -1) -> bool:
        """Return True if a path, whatever links are in it, ends at something that may be read."""
        found = _find_place(place, folder)
        return any(_is_inside(found, allowed) for allowed in self.readable)

    def may_write(self, place: Any, folder: int = -1) -> bool:
        """Return True if a path, whatever links are in it, ends inside the own folder."""
        found = _find_place(place, folder)
        return _is_inside(found, self.own) or found == os.devnull

    def _look_at_opening(self, given: tuple[Any, ...]) -> None:
        place, mode, flags = given
        if isinstance(place, int):
            return
        writing = bool((flags or 0) & WRITING) or (isinstance(mode, str) and any(sign in mode for sign in "wax+"))
        if not (self.may_write(place) if writing else self.may_read(place)):
            _refuse(place)

    def _look_at_listing(self, given: tuple[Any, ...]) -> None:
        place = given[0] if given else None
        if not isinstance(place, int) and not self.may_read("." if place is None else place):
            _refuse(place)

    def _look_at_changing(self, given: tuple[Any, ...]) -> None:
        place = given[0]
        folder = given[-1] if len(given) > 1 and isinstance(given[-1], int) else -1
        if not isinstance(place, int) and not self.may_write(place, folder if folder >= 0 else -1):
            _refuse(place)

    def _look_at_renaming(self, given: tuple[Any, ...]) -> None:
        old, new, *folders = given
        for place, folder in zip((old, new), (*folders, -1, -1), strict=False):
            if not self.may_write(place, folder):
                _refuse(place)

    def _look_at_connecting(self, given: tuple[Any, ...]) -> None:
        one, address = given
        if getattr(one, "family", None) in (socket.AF_INET, socket.AF_INET6):
            host = address[0] if isinstance(address, tuple) else str(address)
            if host not in ("127.0.0.1", "::1", "localhost"):
                raise PermissionError(f"A page speaks to no other machine: {host}")

    def _refuse_always(self, given: tuple[Any, ...]) -> None:
        raise PermissionError(f"A page starts no command and makes no link: {given[0]}")


def _find_place(place: Any, folder: int) -> str:
    """Return the path at which a path ends, after every link and every step up."""
    text = os.fsdecode(place)
    if folder >= 0:
        text = os.path.join(os.path.realpath(f"/proc/self/fd/{folder}"), text)  # noqa: PTH118  an absolute one stays
    return os.path.realpath(text)


def _is_inside(place: str, allowed: str) -> bool:
    return place == allowed or place.startswith(allowed.rstrip(os.sep) + os.sep)


def _refuse(place: Any) -> None:
    raise PermissionError(13, "Outside of the visitor's own folder", os.fsdecode(place) if place is not None else ".")
