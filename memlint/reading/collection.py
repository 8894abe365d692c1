"""Reading without the garbage collector looking on."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def paused() -> Iterator[None]:
    """Collect no cycles for as long as one file is read.

    Tokens and nodes come by the hundred thousand and refer to nothing that refers back, so looking through
    them again and again finds nothing and takes a fifth of the time. Where collection is off already, by
    whoever's wish, it stays off; where two threads read at once, the first to end switches it on for both.
    """
    if not gc.isenabled():
        yield
        return
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
