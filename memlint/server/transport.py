"""Bytes in and out: the framing of the Language Server Protocol's base protocol over two descriptors."""

from __future__ import annotations

import io
import os
import re
import sys
import threading
from collections.abc import Callable, Iterator

_LENGTH = re.compile(rb"content-length[ \t]*:[ \t]*(\d{1,10})[ \t]*\Z", re.IGNORECASE)
_CHUNK = 65536


def messages(read: Callable[[int], bytes | None]) -> Iterator[bytes]:
    """The content of each message, until the stream ends; one that the end cuts short is left out.

    Header names are taken in any case, as IETF RFC 9110, section 5.1, has it for the header fields that
    the base protocol imitates. Without a length, a header block is skipped: the next one may have it.
    """
    buffer = bytearray()

    def fill() -> bool:
        """Reads some more; False at the end of the stream."""
        data = read(_CHUNK)
        buffer.extend(data or b"")
        return bool(data)

    def take(length: int) -> bytes:
        taken = bytes(buffer[:length])
        del buffer[:length]
        return taken

    length = -1
    while True:
        while b"\n" not in buffer:
            if not fill():
                return
        line = take(buffer.index(b"\n") + 1)
        if found := _LENGTH.match(line.rstrip(b"\r\n")):
            length = int(found[1])
        elif not line.strip() and length >= 0:
            while len(buffer) < length:
                if not fill():
                    return
            yield take(length)
            length = -1


class Writer:
    """Writes whole messages; once the other side is gone it says so, once, and drops the rest."""

    def __init__(self, stream: io.RawIOBase, on_lost: Callable[[], None]) -> None:
        self._stream = stream
        self._on_lost = on_lost
        self._lost = False

    def write(self, data: bytes) -> None:
        """Writes all of it, or calls `on_lost`. Never raises for a broken pipe."""
        if self._lost:
            return
        left = memoryview(data)
        try:
            while left:
                left = left[self._stream.write(left) or 0 :]
        except (OSError, ValueError):
            self._lost = True
            self._on_lost()

    def close(self) -> None:
        """Nothing to do: the descriptor goes with the process."""


def take_standard_streams() -> tuple[io.RawIOBase, io.RawIOBase]:
    """Standard input and output for the protocol alone.

    The output's own descriptor is kept and the number 1 handed to standard error, so that a stray
    `print` can never end up between two messages. Unbuffered, since a thread that is blocked in a
    buffered stream keeps the interpreter from ending.
    """
    stdin = open(os.dup(sys.stdin.fileno()), "rb", buffering=0)  # noqa: SIM115 (lives as long as we do)
    stdout = open(os.dup(sys.stdout.fileno()), "wb", buffering=0)  # noqa: SIM115
    sys.stdout.flush()
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    return stdin, stdout


def start_reader(
    stream: io.RawIOBase, on_message: Callable[[bytes], object], on_end: Callable[[], object]
) -> threading.Thread:
    """Reads messages in a thread of its own, so that no work ever keeps a message waiting unread."""

    def read() -> None:
        try:
            for body in messages(stream.read):
                on_message(body)
        except OSError:
            pass
        on_end()

    thread = threading.Thread(target=read, name="memlint-reader", daemon=True)
    thread.start()
    return thread
