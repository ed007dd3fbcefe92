"""The process behind one page: the usual notebook kernel, inside the fence of its visitor's folder.

Started as `python -m kit.serving.page_kernel -f CONNECTION`, with the folder in `SEAMPROOF_OWN`.
"""

import os
import sys
from contextlib import suppress
from pathlib import Path

from ipykernel.kernelapp import IPKernelApp

import kit
from kit.serving.fence import Fence
from kit.shipped import find_shipped

OWN = "SEAMPROOF_OWN"
"""The variable of the environment that names the visitor's folder."""
LARGEST_FILE = 64 * 2**20
LARGEST_MEMORY = 2 * 2**30
"""Bytes that one page may put into a file, and take for itself."""


def run_kernel() -> None:
    """Run a kernel that keeps to one folder."""
    app = IPKernelApp.instance()
    app.initialize([*sys.argv[1:], "--HistoryManager.enabled=False"])
    limit_resources()
    shipped = [find_shipped(name) for name in ("data", "notebooks")]
    Fence(os.environ[OWN], [Path(kit.__file__).parent, *shipped]).raise_it()
    app.start()


def limit_resources() -> None:
    """Bound the files and the memory of this process, and let the page server go first; where the system can."""
    with suppress(ImportError, ValueError, OSError):
        import resource  # noqa: PLC0415  not on every system

        resource.setrlimit(resource.RLIMIT_FSIZE, (LARGEST_FILE, LARGEST_FILE))
        resource.setrlimit(resource.RLIMIT_DATA, (LARGEST_MEMORY, LARGEST_MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    with suppress(AttributeError, OSError):
        os.nice(5)


if __name__ == "__main__":
    run_kernel()
