"""Between the places of editors (URIs, positions, ranges) and ours (paths, spans)."""

from __future__ import annotations

import os
from pathlib import Path
from urllib.parse import unquote, urlsplit

from lsprotocol import types

from memlint.text.encodings import Encoding, protocol_position
from memlint.text.source import SourceText, Span

_WINDOWS = os.name == "nt"


def path_of(uri: str) -> Path | None:
    """The path of a `file` URI, None for every other scheme and for what is no URI."""
    try:
        parts = urlsplit(uri, allow_fragments=False)
    except ValueError:
        return None
    if parts.scheme.lower() != "file":
        return None
    # Bytes that are no UTF-8 stand for themselves, as file names may hold any.
    path = unquote(parts.path, errors="surrogateescape")
    if parts.query:
        # A `?` that the editor did not encode belongs to the name.
        path += "?" + unquote(parts.query, errors="surrogateescape")
    host = unquote(parts.netloc)
    if _WINDOWS:
        if host and host.lower() != "localhost":
            path = f"//{host}{path}"
        elif len(path) > 2 and path[0] == "/" and path[2] == ":":
            path = path[1].upper() + path[2:]
    if not path or "\0" in path:
        return None
    return Path(os.path.normpath(path))


def uri_of(path: Path) -> str:
    """The URI of an absolute path, for files that no editor has named."""
    return path.as_uri()


def lsp_position(source: SourceText, offset: int, encoding: Encoding) -> types.Position:
    """An offset as the editor counts."""
    line, character = protocol_position(source, offset, encoding)
    return types.Position(line, character)


def lsp_range(source: SourceText | None, span: Span, encoding: Encoding) -> types.Range:
    """A span as the editor counts; the start of the file when its text is not known."""
    if source is None:
        return types.Range(types.Position(0, 0), types.Position(0, 0))
    return types.Range(lsp_position(source, span.start, encoding), lsp_position(source, span.end, encoding))


def line_range(source: SourceText, line: int, encoding: Encoding) -> types.Range:
    """A whole line (from 1) from its first character that is no blank; lines past the end are the last."""
    line = max(1, min(line, len(source.line_starts)))
    text = source.line_text(line)
    start = source.line_starts[line - 1]
    first = start + len(text) - len(text.lstrip())
    return types.Range(
        lsp_position(source, first, encoding), lsp_position(source, start + len(text), encoding)
    )
