"""Expressions in parentheses, while what they stand in is being read."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from memlint.text.source import Span


@dataclass(frozen=True, slots=True)
class Enclosed:
    """An expression that keeps its own span, and the `span` with its parentheses.

    What it becomes a part of reaches over the parentheses; no facts ever hold this.
    """

    held: Any
    span: Span


def bare(found: Any) -> Any:
    """An expression without the note of its parentheses."""
    return found.held if type(found) is Enclosed else found
