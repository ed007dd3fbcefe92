"""Visitors of served pages: who is asking, the temporary folder of each, and whose page is whose."""

import hashlib
import os
import shutil
from collections.abc import Mapping
from contextvars import ContextVar
from pathlib import Path
from typing import Any

from jupyter_server.auth.authorizer import Authorizer
from jupyter_server.auth.identity import User

from kit.shipped import find_shipped

asking: ContextVar[str] = ContextVar("asking", default="")
"""The visitor who asks for a page, while the page is being made for them."""
KEPT = ("PATH", "LANG", "LANGUAGE", "TZ", "SYSTEMROOT", "PYTHONPATH", "PYTHONHASHSEED", "VIRTUAL_ENV", "COLUMNS")
"""What a page gets of the server's environment besides what the page server tells it; no secret is among it."""
TOLD = ("LC_", "VOILA_", "SERVER_", "PATH_INFO", "QUERY_STRING", "SCRIPT_NAME", "JPY_")


def note_visitor(handler: Any, notebook: Any = None, cwd: Any = None) -> None:  # noqa: ARG001  the page server's names
    """Remember who asks, and light or dark: the page server calls this before it starts a kernel."""
    asking.set(handler.current_user.username)
    if notebook is not None:
        theme = handler.get_cookie("seamproof_theme", "light")
        notebook.metadata["voila"] = {"theme": "dark" if theme == "dark" else "light"}


PROJECT = "seamproof"
"""The name of the folder within a visitor's as told to them."""


class VisitorFolders:
    """A temporary folder for each visitor, laid out like the project: data, notebooks, and the quilts to come.

    Parameters
    ----------
    root
        The folder that holds them; it goes with the server.
    """

    def __init__(self, root: str | os.PathLike[str]) -> None:
        self.root = Path(root)

    def find(self, visitor: str) -> Path:
        """Return the folder of a visitor, laid out if it is not there yet."""
        own = self.root / hashlib.sha256(visitor.encode()).hexdigest()[:20]
        if not own.is_dir():
            made = own.with_suffix(".new")
            shutil.rmtree(made, ignore_errors=True)
            shutil.copytree(find_shipped("data"), made / PROJECT / "data")
            for name in ("notebooks", "quilts", "tmp", "home"):
                (made / PROJECT / name).mkdir(mode=0o700)
            made.rename(own)
        return own / PROJECT

    def forget(self, visitor: str) -> None:
        """Delete the folder of a visitor with everything in it."""
        shutil.rmtree(self.root / hashlib.sha256(visitor.encode()).hexdigest()[:20], ignore_errors=True)


def list_surroundings(own: Path, given: Mapping[str, str]) -> dict[str, str]:
    """Return the environment of a page: a short list of the server's, with every folder inside the visitor's."""
    kept = {name: value for name, value in given.items() if name in KEPT or name.startswith(TOLD)}
    home, temporary = str(own / "home"), str(own / "tmp")
    return kept | {
        "SEAMPROOF_OWN": str(own),
        "SEAMPROOF_QUILTS": str(own / "quilts"),
        "HOME": home,
        "USERPROFILE": home,
        "IPYTHONDIR": str(own / "home/ipython"),
        "MPLCONFIGDIR": temporary,
        **dict.fromkeys(("TMPDIR", "TEMP", "TMP"), temporary),
        **{f"JUPYTER_{place}_DIR": str(own / "home/jupyter") for place in ("CONFIG", "DATA", "RUNTIME")},
        "OPENBLAS_NUM_THREADS": "1",  # each thread of it takes memory, and twelve pages share the cores
        "MALLOC_ARENA_MAX": "2",
    }


class OwnPagesOnly(Authorizer):
    """Lets a visitor speak to the kernels of their own pages only, even knowing the address of another."""

    def is_authorized(self, handler: Any, user: User, action: str, resource: str) -> bool:  # noqa: ARG002  the server gives all four
        """Return True unless the request names a kernel that was started for somebody else."""
        kernel = (handler.path_kwargs or {}).get("kernel_id") or next(iter(handler.path_args or ()), None)
        if resource != "kernels":
            return False
        return kernel is not None and handler.kernel_manager.find_owner(kernel) == user.username
