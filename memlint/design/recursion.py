"""Room on Python's stack for deep expressions and calls of the user's functions."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

from memlint.design.limits import RECURSION


@contextmanager
def deep_recursion() -> Iterator[None]:
    """Raise Python's limit inside the block and restore it afterwards."""
    limit = sys.getrecursionlimit()
    sys.setrecursionlimit(max(limit, RECURSION))
    try:
        yield
    finally:
        sys.setrecursionlimit(limit)
