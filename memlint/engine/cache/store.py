"""Entries on disk: one file each, named by its key, checked when read, written whole or not at all."""

from __future__ import annotations

import os
import sys
import time
from hashlib import blake2b

MOST_BYTES = 64 << 20
"""All entries together. Beyond it the ones longest unused go, until a quarter is free."""

_MAGIC = b"memlint cache 1\n"
_DIGEST = 32
_LARGEST_ENTRY = 16 << 20
_STALE = 3600.0
"""Seconds after which a temporary file was left behind by a run that was killed."""


class Store:
    """A folder of entries. Whatever is wrong with the folder or an entry, the entry is just not there."""

    def __init__(self, folder: str, most_bytes: int = MOST_BYTES) -> None:
        self.folder = folder
        self.most_bytes = most_bytes

    def get(self, key: bytes) -> bytes | None:
        """The data kept under a key; None where there is none, or it is damaged, or somebody else's."""
        path = self._path(key)
        try:
            with open(path, "rb") as file:
                status = os.fstat(file.fileno())
                if hasattr(os, "getuid") and status.st_uid != os.getuid():
                    return None
                raw = file.read(_LARGEST_ENTRY + 1)
        except OSError:
            return None
        head = len(_MAGIC) + _DIGEST
        data = raw[head:]
        if raw[: len(_MAGIC)] != _MAGIC or raw[len(_MAGIC) : head] != _digest(key, data):
            return None
        _touch(path)
        return data

    def put(self, key: bytes, data: bytes) -> bool:
        """Keep data under a key. Whether it is kept now: a full or read-only disk is no error."""
        if len(data) > _LARGEST_ENTRY:
            return False
        path = self._path(key)
        temporary = f"{path}.{os.getpid()}-{time.monotonic_ns()}.tmp"
        try:
            os.makedirs(self.folder, mode=0o700, exist_ok=True)
            try:
                with open(temporary, "xb") as file:
                    file.write(_MAGIC + _digest(key, data) + data)
                # On every system this puts the whole file in place or leaves the old one.
                os.replace(temporary, path)
            except BaseException:
                _remove(temporary)
                raise
        except OSError:
            return False
        self._bound()
        return True

    def _path(self, key: bytes) -> str:
        return os.path.join(self.folder, f"{blake2b(key, digest_size=20).hexdigest()}.entry")

    def _bound(self) -> None:
        """Remove what killed runs left, and the entries longest unused while there are too many bytes."""
        found: list[tuple[float, int, str]] = []
        now = time.time()
        try:
            with os.scandir(self.folder) as entries:
                for entry in entries:
                    status = entry.stat()
                    if entry.name.endswith(".entry"):
                        found.append((status.st_mtime, status.st_size, entry.path))
                    elif entry.name.endswith(".tmp") and now - status.st_mtime > _STALE:
                        _remove(entry.path)
        except OSError:
            # Another run may remove entries at the same time; the next one counts again.
            return
        total = sum(size for _, size, _ in found)
        if total <= self.most_bytes:
            return
        for _, size, path in sorted(found):
            if total <= self.most_bytes * 3 // 4:
                return
            _remove(path)
            total -= size


def user_folder() -> str | None:
    """The folder for caches of this user; None where the system names none."""
    home = os.path.expanduser("~")
    if sys.platform == "win32":
        base = os.environ.get("LOCALAPPDATA", "")
    elif sys.platform == "darwin":
        base = os.path.join(home, "Library", "Caches") if home != "~" else ""
    else:
        # The base directory specification of freedesktop.org: a relative path counts as none.
        given = os.environ.get("XDG_CACHE_HOME", "")
        base = given if os.path.isabs(given) else os.path.join(home, ".cache") if home != "~" else ""
    return os.path.join(base, "memlint") if base else None


def _digest(key: bytes, data: bytes) -> bytes:
    """Of key and data: an entry put in another's place is no entry."""
    made = blake2b(key, digest_size=_DIGEST)
    made.update(b"\0")
    made.update(data)
    return made.digest()


def _touch(path: str) -> None:
    try:
        os.utime(path)
    except OSError:
        return


def _remove(path: str) -> None:
    try:
        os.unlink(path)
    except OSError:
        return
