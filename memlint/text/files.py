"""Reading what a user's project names: regular files only, and none so large that it cannot be source."""

from __future__ import annotations

import errno
import os
import stat
from pathlib import Path
from typing import Final

LARGEST_FILE: Final = 32 << 20
"""Bytes. Generated sources of 10 MB occur; beyond this it is a dump or a device."""


class FileTooLargeError(OSError):
    """The file is there, and has more than LARGEST_FILE bytes."""


def read_file(path: str | Path) -> bytes:
    """The bytes of a regular file; links are followed.

    Raises OSError for anything else: opening a pipe would wait for ever, a device may never end.
    """
    # Without O_NONBLOCK the open itself waits for a pipe's other end.
    handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    with open(handle, "rb") as file:
        status = os.fstat(handle)
        if not stat.S_ISREG(status.st_mode):
            raise OSError(errno.EINVAL, "it is no regular file", str(path))
        if status.st_size > LARGEST_FILE:
            reason = f"it has {status.st_size:,} bytes, the most is {LARGEST_FILE:,}"
            raise FileTooLargeError(errno.EFBIG, reason, str(path))
        # A file that grows while it is read must not get past the limit either.
        return file.read(LARGEST_FILE)
