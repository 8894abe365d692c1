"""What a run read, and whether all of it is still the same."""

from __future__ import annotations

import os
import stat
from hashlib import blake2b

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

Input = tuple[bytes, bytes, bytes]
"""What was asked (`bytes`, `kind`, `folder`, `real`, `variable`), of what, and the answer or its digest."""

_CHUNK = 1 << 20


class Witness:
    """Notes every answer that the file system and the environment gave.

    `is_steady` turns false when one question got two answers: something changed under the run.
    """

    def __init__(self) -> None:
        self.is_steady = True
        self._seen: dict[tuple[bytes, bytes], bytes] = {}

    def note(self, what: bytes, of: bytes, answer: bytes) -> None:
        """Note an answer."""
        if self._seen.setdefault((what, of), answer) != answer:
            self.is_steady = False

    def inputs(self) -> Iterator[Input]:
        """Everything noted, in the order it was first asked."""
        return ((what, of, answer) for (what, of), answer in self._seen.items())

    def bytes_of(self, path: str | Path, data: bytes) -> None:
        """Note the bytes that a file was found to have."""
        self.note(b"bytes", _name(path), digest(data))

    def kind(self, path: str | Path) -> None:
        """Note whether a path is a file, a folder, something else or nothing."""
        self.note(b"kind", _name(path), kind_of(_name(path)))

    def folder(self, path: str | Path) -> None:
        """Note what lies in a folder."""
        self.note(b"folder", _name(path), listing(_name(path)))

    def variable(self, name: str) -> None:
        """Note the value of an environment variable."""
        self.note(b"variable", os.fsencode(name), variable(os.fsencode(name)))

    def real(self, path: str | Path) -> None:
        """Note where a path leads to when links are followed."""
        self.note(b"real", _name(path), os.path.realpath(_name(path)))


def is_unchanged(inputs: list[Input]) -> bool:
    """Whether every question gets the same answer again. Cheap ones come first."""
    contents: list[Input] = []
    for one in inputs:
        what, of, answer = one
        if what == b"bytes":
            contents.append(one)
        elif _ASK[what](of) != answer:
            return False
    return all(digest_of_file(of) == answer for _, of, answer in contents)


def digest(data: bytes) -> bytes:
    """Of a file's bytes."""
    return blake2b(data, digest_size=20).digest()


def digest_of_file(path: bytes) -> bytes:
    """The same of a file as it is now; empty where it cannot be read."""
    try:
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0))
    except (OSError, ValueError):
        return b""
    made = blake2b(digest_size=20)
    try:
        if not stat.S_ISREG(os.fstat(handle).st_mode):
            return b""
        while chunk := os.read(handle, _CHUNK):
            made.update(chunk)
    except OSError:
        return b""
    finally:
        os.close(handle)
    return made.digest()


def kind_of(path: bytes) -> bytes:
    """`file`, `folder`, `other`, or empty where nothing has that name."""
    try:
        mode = os.stat(path).st_mode
    except (OSError, ValueError):
        return b""
    return b"file" if stat.S_ISREG(mode) else b"folder" if stat.S_ISDIR(mode) else b"other"


def listing(path: bytes) -> bytes:
    """A digest of the names in a folder, and of which of them are folders and no links."""
    try:
        with os.scandir(path) as entries:
            names = sorted(entry.name + b"/" * entry.is_dir(follow_symlinks=False) for entry in entries)
    except (OSError, ValueError):
        return b""
    return digest(b"\0".join(names))


def variable(name: bytes) -> bytes:
    """The value of an environment variable, with a mark that tells an empty one from none."""
    value = os.environ.get(os.fsdecode(name))
    return b"" if value is None else b"=" + os.fsencode(value)


def _name(path: str | Path) -> bytes:
    return os.fsencode(path)


_ASK: dict[bytes, Callable[[bytes], bytes]] = {
    b"kind": kind_of,
    b"folder": listing,
    b"real": os.path.realpath,
    b"variable": variable,
}
