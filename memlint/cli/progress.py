"""What a user sees while waiting: only on a terminal, only for work over a second, and gone at its end."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TextIO


@contextmanager
def progress(what: str, stream: TextIO | None = None, after: float = 1.0) -> Iterator[None]:
    """Say on standard error what is being done, and for how many seconds, once it takes over `after`."""
    out = sys.stderr if stream is None else stream
    if not (out and out.isatty()) or os.environ.get("TERM") == "dumb":
        yield
        return
    done = threading.Event()
    shown = ""

    def show() -> None:
        nonlocal shown
        seconds = after
        while not done.wait(after):
            shown = f"memlint: {what}, {seconds:.0f} s"
            out.write(f"\r{shown}")
            out.flush()
            seconds += after

    # A daemon: an interrupt must not wait for it.
    thread = threading.Thread(target=show, daemon=True)
    thread.start()
    try:
        yield
    finally:
        done.set()
        thread.join()
        if shown:
            out.write(f"\r{' ' * len(shown)}\r")
            out.flush()
