"""The order in which paths are listed."""

from __future__ import annotations

import re

_NUMBER = re.compile(r"\[(-?\d+)\]")


def by_number(path: str) -> tuple[tuple[str, int], ...]:
    """A sort key: as text, but an index in brackets counts as a number, so that `g[9]` is before `g[10]`.

    Two paths have one key only if they differ in nothing but leading zeros.
    """
    parts = _NUMBER.split(path)
    numbers = [*map(int, parts[1::2]), 0]
    return tuple(zip(parts[::2], numbers, strict=True))
