"""The life of the process: begins with its streams, ends with the first reason there is to end."""

from __future__ import annotations

import asyncio
import contextlib
import logging
import os
import signal
import threading
from collections.abc import Callable

from memlint.server.parent import watch_parent
from memlint.server.protocol import Stage
from memlint.server.requests import HANDLERS
from memlint.server.server import Server
from memlint.server.transport import Writer, start_reader, take_standard_streams

LEFT = 1
_BY_SIGNAL = 128
_PATIENCE_SECONDS = 5.0


def serve(client_process: int | None) -> int:
    """Serves on the standard streams and returns the exit code."""
    # The library logs each message it cannot use, with a traceback; we say so ourselves, and shorter.
    logging.getLogger("pygls").setLevel(logging.CRITICAL)
    try:
        return asyncio.run(_serve(client_process))
    except KeyboardInterrupt:
        return _BY_SIGNAL + signal.SIGINT


async def _serve(client_process: int | None) -> int:
    loop = asyncio.get_running_loop()
    ended: asyncio.Future[int] = loop.create_future()

    def end(code: int) -> None:
        if not ended.done():
            ended.set_result(code)

    def lost() -> None:
        """The editor cannot be reached any more: all right if it had said goodbye."""
        end(0 if server.protocol.stage is Stage.ENDING else LEFT)

    def orphaned() -> None:
        """Called in another thread. A loop stuck in writing to a full pipe would never hear of it."""
        _soon(loop, lost)
        last_resort = threading.Timer(_PATIENCE_SECONDS, os._exit, [LEFT])
        last_resort.daemon = True
        last_resort.start()

    server = Server(end, lambda process: watch_parent(process, orphaned))
    server.protocol.handlers = HANDLERS
    stdin, stdout = take_standard_streams()
    server.protocol.set_writer(Writer(stdout, lost))
    for number in (signal.SIGINT, signal.SIGTERM):
        try:
            loop.add_signal_handler(number, end, _BY_SIGNAL + number)
        except NotImplementedError:
            break  # Windows: an interrupt arrives as KeyboardInterrupt.
    if client_process is not None:
        server.watch(client_process)
    start_reader(
        stdin,
        lambda body: _soon(loop, lambda: server.protocol.receive(body)),
        lambda: _soon(loop, lost),
    )
    return await ended


def _soon(loop: asyncio.AbstractEventLoop, call: Callable[[], object]) -> None:
    """Calls something in the loop's thread, unless the loop is closed already."""
    with contextlib.suppress(RuntimeError):
        loop.call_soon_threadsafe(call)
