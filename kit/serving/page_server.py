"""`kit serve`: the notebooks as pages, by the page server that the extra `pages` brings, with the settings for a room.

Whatever a setting of the page server does is a setting here (`list_settings`). What it has no setting for is small: its
routes that list or hand out files are taken away, and a page is ended only by its own visitor.
"""

import asyncio
import os
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from urllib.parse import urlsplit

import jinja2
import tornado.web
from jupyter_server import DEFAULT_TEMPLATE_PATH_LIST
from jupyter_server.auth.security import passwd
from jupyter_server.utils import url_path_join
from traitlets.config import Config
from voila.app import Voila
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler

from kit.errors import KitError
from kit.serving.front_page import list_pages
from kit.serving.page_kernels import PageKernels
from kit.serving.visitors import OwnPagesOnly, note_visitor
from kit.shipped import find_shipped

SHARE = Path(__file__).parent / "share" / "jupyter"
"""The templates of the pages and the specification of their kernels, where the page server looks for such things."""
TAKEN_AWAY = ("/voila/files/", "/voila/tree", "/voila/api/contents")
"""Routes that would list or hand out files; no page needs one."""
LAST_WORD = 0.8
"""Seconds that a page which is closed has for saving its last change."""
PATIENT = 600
"""Seconds for a kernel to start or to answer, when twelve start together."""


@dataclass(frozen=True, slots=True)
class ClassRoom:
    """How a room of visitors is served; the fields are the words of `kit serve`."""

    port: int = 8866
    address: str = "127.0.0.1"
    base: str = "/"
    visitors: int = 12
    pages: int = 4
    idle_minutes: float = 60.0
    password: str = ""
    browser: bool = True
    hub: bool = False


class EndOwnPage(VoilaShutdownKernelHandler):  # type: ignore[misc]  # carries no types
    """Ends the kernel of a page that is closed, if it is the visitor's own."""

    @tornado.web.authenticated
    async def post(self, kernel_id: str) -> None:
        """End it; a kernel of somebody else is refused, one that is gone is well."""
        owner = self.kernel_manager.find_owner(kernel_id)
        if owner is not None and owner != self.current_user.username:
            raise tornado.web.HTTPError(403)
        await asyncio.sleep(LAST_WORD)
        await self.kernel_manager.end(kernel_id)
        self.set_status(204)
        self.finish()


class PageServer(Voila):  # type: ignore[misc]  # carries no types
    """The page server without its routes to files, and with the kit's words where a visitor signs in."""

    def init_settings(self) -> dict[str, Any]:
        """Return the settings of its web application: our templates first, and nobody is left hanging."""
        settings: dict[str, Any] = super().init_settings()
        ours = str(SHARE / "voila/templates/seamproof")
        settings["jinja2_env"].loader = jinja2.FileSystemLoader([ours, *DEFAULT_TEMPLATE_PATH_LIST])
        return settings

    def init_handlers(self) -> list[Any]:
        """Return its routes, without those to files."""
        kept = []
        for route in super().init_handlers():
            address = route[0].removeprefix(self.server_url.rstrip("/"))
            if address.startswith(TAKEN_AWAY):
                continue
            if address.startswith("/voila/api/shutdown/"):
                route = (route[0], EndOwnPage)  # noqa: PLW2901  the same route with another reader
            if not route[0].startswith(self.server_url):  # those to sign in, which know no path before them
                route = (url_path_join(self.server_url, route[0]), *route[1:])  # noqa: PLW2901  as above
            kept.append(route)
        return kept


def list_settings(room: ClassRoom, folders: str) -> Config:
    """Return the settings of the page server for a room.

    Parameters
    ----------
    room
        Who may come, and where.
    folders
        The folder that is to hold the visitors' folders.
    """
    told = Config()
    told.Voila.ip, told.Voila.port, told.Voila.port_retries = room.address, room.port, 0
    told.Voila.base_url = room.base
    if room.hub:
        where = urlsplit(os.environ["JUPYTERHUB_SERVICE_URL"])
        told.Voila.ip, told.Voila.port = where.hostname, where.port
        told.Voila.base_url = os.environ["JUPYTERHUB_SERVICE_PREFIX"]
        told.Voila.identity_provider_class = "jupyterhub.singleuser.extension.JupyterHubIdentityProvider"
    told.Voila.root_dir = str(find_shipped("notebooks"))
    told.Voila.connection_dir_root = folders
    told.Voila.open_browser = room.browser
    told.Voila.authorizer_class = OwnPagesOnly
    told.Voila.tornado_settings = {
        "compress_response": True,
        "ws_ping_interval": 8000,  # ms: a visitor who is lost without a word is missed after two of these
        "ws_ping_timeout": 20000,  # well above: the last answer is as old as one interval when the next is asked for
        "websocket_max_message_size": 32 * 2**20,
    }
    pages = told.VoilaConfiguration
    pages.template, pages.theme = "seamproof", "light"
    pages.allow_template_override, pages.allow_theme_override = "NO", "NOTEBOOK"
    pages.classic_tree = True
    pages.file_allowlist = []
    pages.multi_kernel_manager_class = PageKernels
    pages.prelaunch_hook = note_visitor

    def add_pages(config: dict[str, Any], notebook_path: str = "", **_: Any) -> dict[str, Any]:
        if not notebook_path:  # the front page
            config["frontPage"], config["keptHours"] = list_pages(), "two hours"
        return config

    pages.page_config_hook = add_pages
    told.VoilaExecutor.startup_timeout = told.VoilaExecutor.iopub_timeout = PATIENT
    kernels = told.PageKernels
    kernels.kernel_info_timeout = PATIENT
    kernels.most_visitors, kernels.most_pages = room.visitors, room.pages
    kernels.idle_after = round(60 * room.idle_minutes)
    kernels.cull_interval = 5
    kernels.folders_root = folders
    kernels.allow_tracebacks = False
    kernels.buffer_offline_messages = False
    if room.password:
        told.PasswordIdentityProvider.hashed_password = passwd(room.password)
        told.PasswordIdentityProvider.allow_password_change = False
    return told


def serve_pages(room: ClassRoom, further: Sequence[str] = ()) -> int:
    """Serve the notebooks as pages until it is stopped.

    Parameters
    ----------
    room
        Who may come, and where.
    further
        Further settings of the page server, as it takes them on a command line.

    Raises
    ------
    KitError
        A port that is in use, or a number of visitors or pages below one.
    """
    if room.visitors < 1 or room.pages < 1 or room.idle_minutes <= 0:
        raise KitError(
            f"{room.visitors} visitors, {room.pages} pages, {room.idle_minutes:g} minutes",
            needed="each above zero", do="choose larger numbers",
        )  # fmt: skip
    if room.hub and (find_spec("jupyterhub") is None or "JUPYTERHUB_SERVICE_URL" not in os.environ):
        raise KitError(
            "No JupyterHub has started this", needed="jupyterhub installed beside the kit, and the hub's own start",
            do="name `kit serve --hub` in the hub's settings, as DEVELOPERS.md shows",
        )  # fmt: skip
    before = os.environ.get("JUPYTER_PATH")
    os.environ["JUPYTER_PATH"] = os.pathsep.join([str(SHARE), *([before] if before else [])])
    with TemporaryDirectory(prefix="seamproof-") as folders:
        server = PageServer(config=list_settings(room, folders))
        try:
            server.initialize([*further])
            server.start()
        except SystemExit as ended:
            return int(ended.code or 0) if isinstance(ended.code, int | None) else 1
    return 0
