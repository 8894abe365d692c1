"""Changed texts as one unified diff, as `patch -p1` takes it in the project's folder."""

from __future__ import annotations

from collections.abc import Iterator
from difflib import unified_diff


def file_diff(file: str, before: str, after: str) -> str:
    """The diff of one file, named from the project's root; empty where nothing changed."""
    lines = unified_diff(_lines(before), _lines(after), f"a/{file}", f"b/{file}", lineterm="\n")
    return "".join(_with_end(line) for line in lines)


def _lines(text: str) -> list[str]:
    """Lines as diff tools know them: a line feed ends one, a carriage return before it belongs to it."""
    return [*(f"{line}\n" for line in text.split("\n")[:-1]), *_last(text)]


def _last(text: str) -> Iterator[str]:
    rest = text.rpartition("\n")[2]
    if rest:
        yield rest


def _with_end(line: str) -> str:
    return line if line.endswith("\n") else f"{line}\n\\ No newline at end of file\n"
