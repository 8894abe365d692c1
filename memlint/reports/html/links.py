"""Addresses of source lines, where the reader of the page has a place to open them at."""

from __future__ import annotations

import re
from urllib.parse import quote

FILE, LINE = "{file}", "{line}"

_SCHEME = re.compile(r"([a-z][a-z0-9+.-]*):", re.IGNORECASE)
_RUNS_OR_SHOWS_TEXT = frozenset(("javascript", "data", "vbscript", "blob"))
"""Schemes whose address is a document of its own: it could be a script."""


def mistake_of(pattern: str) -> str | None:
    """What is wrong with a pattern of addresses, and what to do; None if it can be used."""
    if FILE not in pattern:
        return f"it has no {FILE}. Write such as https://example.invalid/tree/main/{FILE}#L{LINE}."
    scheme = _SCHEME.match(pattern)
    if scheme is not None and scheme[1].lower() in _RUNS_OR_SHOWS_TEXT:
        return f"`{scheme[1]}:` is no address of a source. Give one that opens a file."
    if scheme is None and pattern.startswith(FILE):
        return f"an address may not begin with {FILE}, which could be read as a scheme. Write ./{FILE}."
    return None


def address(pattern: str, file: str, line: int | None) -> str | None:
    """Where a line of a file is opened; None without a pattern."""
    if not pattern:
        return None
    return pattern.replace(LINE, str(line or 1)).replace(FILE, quote(file, safe="/"))
