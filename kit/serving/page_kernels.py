"""The kernels behind served pages: how many there may be, for whom, and when each ends."""

from dataclasses import dataclass
from time import monotonic
from typing import Any

from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager
from tornado import web
from traitlets import Integer, Unicode

from kit.serving.free_memory import give_back
from kit.serving.visitors import VisitorFolders, asking, list_surroundings

KERNEL = "seamproof-page"
"""The kernel specification of served pages; it lies beside their templates."""


@dataclass(slots=True)
class Page:
    """A page that is open: whose it is, when it was asked for, whether it was seen, and since when it is left."""

    owner: str
    asked: float
    seen: bool = False
    left: float | None = None


class PageKernels(AsyncMappingKernelManager):
    """One kernel per open page, in the visitor's own folder; it ends when its page is left or lies idle.

    The library ends kernels that are idle for one time; pages that are left want a shorter one, so the time and whether
    a page is connected are set for each kernel before the library looks at it.
    """

    most_visitors = Integer(12, config=True, help="visitors who may have pages open at the same time")
    most_pages = Integer(4, config=True, help="pages that one visitor may have open; the oldest then ends")
    left_after = Integer(25, config=True, help="seconds after which a page that was left ends")
    unseen_after = Integer(40, config=True, help="seconds for a page that was made to be looked at")
    idle_after = Integer(3600, config=True, help="seconds without a touch after which a page ends")
    keep_files = Integer(7200, config=True, help="seconds that files are kept after a visitor's last page")
    folders_root = Unicode(config=True, help="the folder that holds the visitors' folders")

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(**kwargs)
        self.pages: dict[str, Page] = {}
        self.folders = VisitorFolders(self.folders_root)
        self._starting: list[str] = []
        self._gone: dict[str, float] = {}
        self._served = False
        self.cull_idle_timeout = self.idle_after

    def find_owner(self, kernel_id: str) -> str | None:
        """Return the visitor for whom a kernel was started; None if there is no such kernel."""
        page = self.pages.get(kernel_id)
        return page.owner if page else None

    def count_visitors(self) -> int:
        """Return how many visitors have a page open, or about to open."""
        return len({page.owner for page in self.pages.values()} | set(self._starting))

    async def start_kernel(self, **given: Any) -> str:  # type: ignore[override]
        """Start the kernel of a page in the folder of the visitor who asks.

        Raises
        ------
        HTTPError
            503: as many visitors are there as may be.
        """
        visitor = asking.get()
        here = {page.owner for page in self.pages.values()} | set(self._starting)
        if visitor not in here and len(here) >= self.most_visitors:
            raise web.HTTPError(503, f"{len(here)} visitors are there", reason="Every place is taken")
        self._starting.append(visitor)
        try:
            await self._make_room(visitor)
            own = self.folders.find(visitor)
            self._gone.pop(visitor, None)
            given.pop("path", None)
            given |= {"kernel_name": KERNEL, "cwd": str(own / "notebooks")}
            given["env"] = list_surroundings(own, given.get("env") or {})
            kernel_id = await super().start_kernel(**given)
            self.pages[kernel_id] = Page(visitor, monotonic())
            self._served = True
        finally:
            self._starting.remove(visitor)
        return str(kernel_id)

    async def _make_room(self, visitor: str) -> None:
        """End the oldest pages of a visitor who has as many as allowed: first those that were left."""
        own = [(page.left is None, page.asked, kernel) for kernel, page in self.pages.items() if page.owner == visitor]
        for _, _, kernel in sorted(own)[: max(0, len(own) + 1 - self.most_pages)]:
            await self.end(kernel)

    async def end(self, kernel_id: str) -> None:
        """End a kernel at once: its page keeps nothing that is not in a file already."""
        if kernel_id in self:
            await self.shutdown_kernel(kernel_id)

    async def shutdown_kernel(  # type: ignore[override]  # the declared one waits or does not
        self,
        kernel_id: str,
        now: bool = True,  # noqa: ARG002  the server says so or not: never waited for
        restart: bool = False,
    ) -> None:
        """End a kernel without waiting for it to tidy up: its folder is tidied up by the server."""
        await super().shutdown_kernel(kernel_id, now=True, restart=restart)

    def remove_kernel(self, kernel_id: str) -> Any:
        """Forget a kernel and its page; the time of the visitor's last page is kept."""
        page = self.pages.pop(kernel_id, None)
        if page is not None and self.find_pages(page.owner) == 0:
            self._gone[page.owner] = monotonic()
        return super().remove_kernel(kernel_id)

    def find_pages(self, visitor: str) -> int:
        """Return how many pages a visitor has open."""
        return sum(page.owner == visitor for page in self.pages.values())

    def notify_connect(self, kernel_id: str) -> None:
        """Note that somebody sees a page."""
        super().notify_connect(kernel_id)
        if page := self.pages.get(kernel_id):
            page.seen, page.left = True, None

    def notify_disconnect(self, kernel_id: str) -> None:
        """Note that a page is looked at no more, unless it still has another connection."""
        super().notify_disconnect(kernel_id)
        page = self.pages.get(kernel_id)
        if page and not self._kernel_connections.get(kernel_id):
            page.left = monotonic()

    async def cull_kernels(self) -> None:
        """End what was left or is idle, and delete the files of those who are gone."""
        await super().cull_kernels()
        if self._served and not self.pages:
            self._served = False
            give_back()
        for visitor, when in list(self._gone.items()):
            if monotonic() - when > self.keep_files:
                self.folders.forget(visitor)
                del self._gone[visitor]

    async def cull_kernel_if_idle(self, kernel_id: str) -> None:
        """End a kernel whose page was left, busy or not; else leave it to the library, with the time that fits."""
        page = self.pages.get(kernel_id)
        if page and page.left is not None and monotonic() - page.left > self.left_after:
            self.log.info("A page was left: its kernel %s ends", kernel_id)
            await self.end(kernel_id)
            return
        self.cull_connected = True
        self.cull_idle_timeout = self.idle_after if page is None or page.seen else self.unseen_after
        await super().cull_kernel_if_idle(kernel_id)
