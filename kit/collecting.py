"""Python's search for garbage rings, put off while a large plan is made.

A plan of some thousand patches makes hundreds of thousands of small objects and keeps them. Every few hundred new ones
Python looks through those it knows for rings of objects that nobody holds, which took a third of the time of the order.
The planners leave next to no such rings, so what is put off is little: it is done when the plan is made.
"""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def put_off_collecting() -> Iterator[None]:
    """Do what stands within it without looking for garbage rings; also a decorator.

    Notes
    -----
    Objects that nobody holds any longer are freed at once, as always. Within itself it does nothing more; where the
    caller has put the search off it stays so.

    Examples
    --------
    >>> import gc
    >>> with put_off_collecting():
    ...     gc.isenabled()
    False
    >>> gc.isenabled()
    True
    """
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()
