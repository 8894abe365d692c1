"""The one thread that analyses. Engines, views and placements are touched nowhere else."""

from __future__ import annotations

import asyncio
import queue
import threading
from collections.abc import Callable
from typing import Any, TypeVar

Result = TypeVar("Result")

_STACK = 64 * 1024 * 1024
"""Bytes of stack: expressions nest, and some systems give a new thread half a megabyte."""


class Worker:
    """Runs jobs one after the other in a daemon thread: nothing waits for it when the process ends.

    (An executor of the standard library is waited for at exit, however long its job takes.)
    """

    def __init__(self) -> None:
        self._jobs: queue.SimpleQueue[tuple[Callable[[], Any], asyncio.Future[Any]]] = queue.SimpleQueue()
        before = threading.stack_size(_STACK)
        try:
            threading.Thread(target=self._run, name="memlint-worker", daemon=True).start()
        finally:
            threading.stack_size(before)

    def submit(self, job: Callable[[], Result]) -> asyncio.Future[Result]:
        """The job's result, in the running event loop. Cancelled before it began, a job is not run."""
        future: asyncio.Future[Result] = asyncio.get_running_loop().create_future()
        self._jobs.put((job, future))
        return future

    def _run(self) -> None:
        while True:
            job, future = self._jobs.get()
            if future.cancelled():
                continue
            try:
                result, error = job(), None
            except Exception as raised:
                result, error = None, raised
            try:
                future.get_loop().call_soon_threadsafe(_settle, future, result, error)
            except RuntimeError:
                return  # The loop is closed: the server is going down.
            # Nothing of a job outlives it here: a judgement may be large.
            del job, future, result, error


def _settle(future: asyncio.Future[Any], result: object, error: Exception | None) -> None:
    if future.done():
        return
    if error is not None:
        future.set_exception(error)
    else:
        future.set_result(result)
