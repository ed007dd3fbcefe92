"""The words of `kit serve`."""

import argparse
import os
from collections.abc import Sequence
from getpass import getpass
from importlib.util import find_spec

from kit.errors import KitError


def serve_room(words: Sequence[str]) -> int:
    """Serve the notebooks as pages until it is stopped; return 0 when it was stopped in order.

    Raises
    ------
    KitError
        The page server is not installed, or an option that makes no sense.
    """
    asked = _make_words().parse_args(words)
    if find_spec("voila") is None:
        raise KitError(
            "The page server is not installed", needed="the extra `pages`",
            do="start with: python3 -m uv run --extra pages kit serve",
        )  # fmt: skip
    from kit.serving.page_server import ClassRoom, serve_pages  # noqa: PLC0415  seconds that --help does without

    password = os.environ.get("KIT_PASSWORD", "") or (getpass("Password for visitors: ") if asked.password else "")
    room = ClassRoom(
        port=asked.port, address=asked.address, base=asked.base, visitors=asked.visitors, pages=asked.pages,
        idle_minutes=asked.idle, password=password, browser=not asked.no_browser, hub=asked.hub,
    )  # fmt: skip
    return serve_pages(room)


def _make_words() -> argparse.ArgumentParser:
    words = argparse.ArgumentParser(
        prog="kit serve", description="Serve the notebooks as pages without code, to a room of visitors."
    )
    words.add_argument("--port", type=int, default=8866, help="the port (8866)")
    words.add_argument("--address", default="127.0.0.1", help="where to listen (127.0.0.1: this machine only)")
    words.add_argument("--visitors", type=int, default=12, help="how many may be there at the same time (12)")
    words.add_argument("--pages", type=int, default=4, help="pages that one visitor may have open (4)")
    words.add_argument("--idle", type=float, default=60, metavar="MINUTES", help="an untouched page ends after (60)")
    words.add_argument("--password", action="store_true", help="ask for a password, typed here or in KIT_PASSWORD")
    words.add_argument("--base", default="/", help="the path that a proxy puts before every address (/)")
    words.add_argument("--hub", action="store_true", help="started by a JupyterHub, which says where and asks who")
    words.add_argument("--no-browser", action="store_true", help="start the page server alone")
    return words
