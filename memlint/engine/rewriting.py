"""Write a changed source back: whole or not at all, in the encoding and with the line ends it had."""

from __future__ import annotations

import os
import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from memlint.engine.settings import ProjectError
from memlint.text.source import decode

_BOM = b"\xef\xbb\xbf"


def rewrite(path: Path, before: str, after: str) -> None:
    """Replace a file whose text is `before` by one whose text is `after`.

    Raises ProjectError when the file has changed since it was read, when its encoding lacks a character,
    or when it cannot be written; it is then as it was.
    """
    real = Path(os.path.realpath(path))
    try:
        data = real.read_bytes()
        if decode(data) != before:
            raise ProjectError(f"{path}: the file has changed since it was read. Run the command again.")
        _replace(real, encoded(after, data))
    except UnicodeEncodeError:
        raise ProjectError(f"{path}: its encoding lacks a character of the fix. Save it as UTF-8.") from None
    except OSError as failed:
        message = f"{path}: the file cannot be written: {failed.strerror or failed}."
        raise ProjectError(f"{message} Make it and its folder writable.") from failed


def encoded(text: str, like: bytes) -> bytes:
    """A text in the encoding of a file's bytes, byte order mark included: what `decode` reads back.

    Raises UnicodeEncodeError when that encoding lacks one of its characters.
    """
    if like.startswith(_BOM):
        return _BOM + text.encode("utf-8")
    try:
        like.decode("utf-8")
    except UnicodeDecodeError:
        data = text.encode("latin-1")
        # Without the byte that made it Latin-1 it could be taken for UTF-8 from now on.
        return data if decode(data) == text else text.encode("utf-8")
    return text.encode("utf-8")


def _replace(path: Path, data: bytes) -> None:
    """In one step for whoever reads it, its permissions kept."""
    handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as out:
            out.write(data)
            out.flush()
            os.fsync(out.fileno())
        shutil.copymode(path, temporary)
        os.replace(temporary, path)
    except BaseException:
        with suppress(OSError):
            os.unlink(temporary)
        raise
