"""Where each key of a TOML text stands: the standard parser does not tell.

The text must be valid TOML (it has been parsed before); the scanner only walks over it.
"""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass, field

from memlint.device.errors import Path

_BLANK = re.compile(r"(?:[ \t\r\n]+|#[^\n]*)+")
_SPACE = re.compile(r"[ \t]*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:\\.|[^\\])*?"""(?!")'
    r"|'''.*?'''(?!')"
    r'|"(?:\\.|[^"\\\n])*"'
    r"|'[^'\n]*'",
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}#\n]+")


@dataclass(slots=True)
class _Scan:
    text: str
    starts: list[int]
    lines: dict[Path, int] = field(default_factory=dict)
    tables: dict[Path, int] = field(default_factory=dict)
    """How many `[[…]]` headers each array of tables has had."""

    def note(self, path: Path, at: int) -> None:
        self.lines.setdefault(path, bisect_right(self.starts, at))

    def skip(self, pattern: re.Pattern[str], at: int) -> int:
        found = pattern.match(self.text, at)
        return found.end() if found else at


def line_map(text: str) -> dict[Path, int]:
    """The line (from 1) of every table header, key and array element, by its path with indices."""
    starts = [0] + [found.end() for found in re.finditer("\n", text)]
    scan = _Scan(text, starts)
    table: Path = ()
    at = scan.skip(_BLANK, 0)
    while at < len(text):
        if text[at] == "[":
            table, at = _header(scan, at)
        else:
            at = _pair(scan, at, table)
        at = scan.skip(_BLANK, at)
    return scan.lines


def line_of(lines: dict[Path, int], path: Path) -> tuple[int, int | None]:
    """How many steps of the path were found, and the line of the last of them."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return length, lines[path[:length]]
    return 0, None


def _header(scan: _Scan, start: int) -> tuple[Path, int]:
    is_array = scan.text.startswith("[[", start)
    keys, at = _key(scan, start + (2 if is_array else 1))
    path: Path = ()
    for key in keys[:-1]:
        path = (*path, key)
        scan.note(path, start)
        if path in scan.tables:
            path = (*path, scan.tables[path] - 1)
    path = (*path, keys[-1])
    scan.note(path, start)
    if is_array:
        index = scan.tables.get(path, 0)
        scan.tables[path] = index + 1
        path = (*path, index)
        scan.note(path, start)
    return path, at + (2 if is_array else 1)


def _pair(scan: _Scan, start: int, table: Path) -> int:
    keys, at = _key(scan, start)
    path = table
    for key in keys:
        path = (*path, key)
        scan.note(path, start)
    return _value(scan, scan.skip(_SPACE, at + 1), path)


def _key(scan: _Scan, at: int) -> tuple[list[str], int]:
    """A dotted key, and the place of the `=` or `]` behind it."""
    keys: list[str] = []
    while True:
        at = scan.skip(_SPACE, at)
        if quoted := _STRING.match(scan.text, at):
            keys.append(tomllib.loads(f"key = {quoted[0]}")["key"])
            at = quoted.end()
        else:
            end = scan.skip(_BARE_KEY, at)
            keys.append(scan.text[at:end])
            at = end
        at = scan.skip(_SPACE, at)
        if scan.text[at : at + 1] != ".":
            return keys, at
        at += 1


def _value(scan: _Scan, at: int, path: Path) -> int:
    opener = scan.text[at : at + 1]
    if opener == "[":
        return _array(scan, at + 1, path)
    if opener == "{":
        return _inline_table(scan, at + 1, path)
    if string := _STRING.match(scan.text, at):
        return string.end()
    return scan.skip(_SCALAR, at)


def _array(scan: _Scan, at: int, path: Path) -> int:
    index = 0
    while True:
        at = scan.skip(_BLANK, at)
        match scan.text[at]:
            case "]":
                return at + 1
            case ",":
                at += 1
            case _:
                scan.note((*path, index), at)
                at = _value(scan, at, (*path, index))
                index += 1


def _inline_table(scan: _Scan, at: int, path: Path) -> int:
    while True:
        at = scan.skip(_BLANK, at)
        match scan.text[at]:
            case "}":
                return at + 1
            case ",":
                at += 1
            case _:
                at = _pair(scan, at, path)
