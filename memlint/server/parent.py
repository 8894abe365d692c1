"""Notice that the editor died: a server must not outlive the process that it was started for."""

from __future__ import annotations

import os
import select
import sys
import threading
import time
from collections.abc import Callable

_EVERY_SECONDS = 3.0


def watch_parent(pid: int, on_death: Callable[[], None]) -> None:
    """Calls `on_death`, from another thread, once the process has ended.

    A process that cannot be found to begin with is not watched: its number may come from another
    machine's or container's table. If it is really gone, standard input has ended too.
    """
    wait = _waiter(pid)
    if wait is None:
        return

    def watch() -> None:
        wait()
        on_death()

    threading.Thread(target=watch, name="memlint-parent", daemon=True).start()


def _waiter(pid: int) -> Callable[[], None] | None:
    """Something that blocks until the process ends; None when there is no such process."""
    if sys.platform == "win32":
        return _windows_waiter(pid)
    if hasattr(os, "pidfd_open"):
        try:
            descriptor = os.pidfd_open(pid)
        except ProcessLookupError:
            return None
        except (OSError, ValueError, OverflowError):
            pass  # Not permitted here (a filter on system calls): ask now and then instead.
        else:
            return lambda: _wait_for(descriptor)
    return (lambda: _poll(pid)) if _is_alive(pid) else None


def _wait_for(descriptor: int) -> None:
    poll = select.poll()
    poll.register(descriptor, select.POLLIN)
    poll.poll()


def _poll(pid: int) -> None:
    while _is_alive(pid):
        time.sleep(_EVERY_SECONDS)


def _is_alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


def _windows_waiter(pid: int) -> Callable[[], None] | None:
    # os.kill(pid, 0) would send Ctrl+C there.
    import ctypes

    kernel = ctypes.windll.kernel32  # type: ignore[attr-defined,unused-ignore]
    synchronize, infinite = 0x00100000, 0xFFFFFFFF
    handle = kernel.OpenProcess(synchronize, False, pid)
    if not handle:
        return None
    return lambda: kernel.WaitForSingleObject(handle, infinite)
