"""Text of users as Markdown takes it: nothing in it formats, links, mentions anyone or ends a table cell."""

from __future__ import annotations

import re
from collections.abc import Iterator

from memlint.reports.page import clean

_CODE = re.compile(r"`([^`]+)`")
_SPECIAL = re.compile(r"([\\*_\[\]<>|~$!{}])")
_NAMES = re.compile(r"([@#%])(?=\w)")
"""What forges take for a name of someone or something: @name, unit#12, %milestone."""


def code(text: str) -> str:
    """A code span that holds the text as it is, whatever backticks it has."""
    text = clean(text)
    if "\\|" in text:
        # No span can hold a bar behind a backslash in a table, which is cut at bars first (GitHub Flavored
        # Markdown, 4.10).
        return f"<code>{''.join(one if one.isalnum() else f'&#{ord(one)};' for one in text)}</code>"
    longest = max((len(run) for run in re.findall(r"`+", text)), default=0)
    fence = "`" * (longest + 1)
    space = " " if text.startswith("`") or text.endswith("`") else ""
    return f"{fence}{space}{text}{space}{fence}".replace("|", "\\|")


def sentence(text: str) -> str:
    """A sentence of ours, with names between backticks; all else in it is taken as plain words."""
    text = clean(text)
    parts: list[str] = []
    at = 0
    for match in _CODE.finditer(text):
        parts += [_plain(text[at : match.start()]), code(match[1])]
        at = match.end()
    return "".join([*parts, _plain(text[at:])])


def row(*cells: str) -> Iterator[str]:
    """One line of a table, of cells that are Markdown."""
    yield f"| {' | '.join(cells)} |"


def _plain(text: str) -> str:
    text = _SPECIAL.sub(r"\\\1", text.replace("&", "&amp;")).replace("`", "\\`")
    # An empty comment parts the sign from the name, which is no mention then.
    return _NAMES.sub(r"\1<!-- -->", text)
