"""How far a long reading is, for an editor that shows it, and the wish not to wait for it."""

from __future__ import annotations

import asyncio
import time
from typing import Protocol

PATIENCE_SECONDS = 0.3
"""Nothing is shown before this: most projects are read by then, and a bar that flashes up is a nuisance."""

EVERY_SECONDS = 0.1


class Stopped(Exception):
    """The user gave up waiting."""


class ProgressBar(Protocol):
    """What shows it."""

    def begin_progress(self, token: str, title: str) -> None:
        """Shows a bar that can be cancelled."""

    def report_progress(self, token: str, message: str, percentage: int) -> None:
        """Moves it."""

    def end_progress(self, token: str) -> None:
        """Takes it away."""


class Progress:
    """One reading. `notice` is called in the worker, everything else in the event loop's thread."""

    def __init__(self, token: str, bar: ProgressBar | None) -> None:
        self.token = token
        self.ended = False
        self._bar = bar
        self._loop = asyncio.get_running_loop()
        self._next = time.monotonic() + PATIENCE_SECONDS
        self._begun = False
        self._is_stopped = False

    def notice(self, number: int, of: int) -> None:
        """The file with this number is read next; raises Stopped once nobody waits."""
        if self._is_stopped:
            raise Stopped
        now = time.monotonic()
        if self._bar is not None and now >= self._next:
            self._next = now + EVERY_SECONDS
            self._loop.call_soon_threadsafe(self._show, number, of)

    def stop(self) -> None:
        """Ends the reading before its next file."""
        self._is_stopped = True

    def end(self) -> None:
        """The reading is over, in whatever way."""
        self.ended = True
        if self._begun and self._bar is not None:
            self._bar.end_progress(self.token)

    def _show(self, number: int, of: int) -> None:
        if self._bar is None or self.ended:
            return
        if not self._begun:
            self._begun = True
            self._bar.begin_progress(self.token, "memlint")
        message = f"reading file {number:,} of {of:,}"
        self._bar.report_progress(self.token, message, 100 * (number - 1) // max(1, of))
