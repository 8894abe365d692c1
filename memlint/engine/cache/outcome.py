"""What a run said and returned, with what it read: an entry of the cache."""

from __future__ import annotations

import os

from memlint.engine.cache.packing import pack, unpack
from memlint.engine.cache.store import Store
from memlint.engine.cache.witness import Input, Witness, is_unchanged

Said = tuple[str, str]
"""Where to (`` is standard output, `!` standard error, else a file as the arguments name it), the text."""


def keep(store: Store, key: bytes, witness: Witness, code: int, said: list[Said]) -> bool:
    """Keep the outcome of a run; whether it could be kept."""
    if not witness.is_steady:
        return False
    inputs = pack(part for one in witness.inputs() for part in one)
    texts = pack(part.encode("utf-8", "surrogatepass") for one in said for part in one)
    return store.put(key, pack([b"%d" % code, inputs, texts]))


def recall(store: Store, key: bytes) -> tuple[int, list[Said]] | None:
    """The outcome of the same run, if all it read is unchanged."""
    data = store.get(key)
    if data is None:
        return None
    try:
        code, inputs, texts = unpack(data)
        if not is_unchanged(_inputs(unpack(inputs))):
            return None
        parts = [part.decode("utf-8", "surrogatepass") for part in unpack(texts)]
        return int(code), list(zip(parts[::2], parts[1::2], strict=True))
    except (ValueError, KeyError):
        # An entry that another version wrote, its digest being right.
        return None


def fingerprint(*roots: str) -> bytes:
    """Of the files that make up memlint: names, sizes and times of change."""
    found: list[bytes] = []
    waiting = list(roots)
    while waiting:
        folder = waiting.pop()
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    if entry.is_dir():
                        if entry.name != "__pycache__":
                            waiting.append(entry.path)
                    else:
                        status = entry.stat()
                        name = os.fsencode(entry.path)
                        found.append(b"%s %d %d" % (name, status.st_size, status.st_mtime_ns))
        except OSError:
            continue
    return b"\n".join(sorted(found))


def _inputs(parts: list[bytes]) -> list[Input]:
    return list(zip(parts[::3], parts[1::3], parts[2::3], strict=True))
