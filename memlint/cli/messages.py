"""What is said on standard error."""

from __future__ import annotations

import sys


def complain(text: str) -> None:
    """Say something, each line of it as ours."""
    for line in text.splitlines():
        print(f"memlint: {line}", file=sys.stderr)
