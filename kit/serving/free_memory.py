"""Memory that the page server no longer uses, given back to the machine."""

import ctypes
import gc
from contextlib import suppress


def give_back() -> None:
    """Give back what was freed, where the C library can: glibc keeps it, so that a server stays as large as it was.

    Notes
    -----
    Some tenths of a second after many pages; nothing happens where the C library has no `malloc_trim`.
    """
    gc.collect()
    with suppress(OSError, AttributeError):
        ctypes.CDLL(None).malloc_trim(0)
