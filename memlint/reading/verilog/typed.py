"""What one declared name is given by: its type, dimensions and initial value."""

from __future__ import annotations

from memlint.reading.facts.expressions import DataType, Dimension, Expr
from memlint.text.nodes import node
from memlint.text.source import Span

# Built-in types that are signed where nothing is said (IEEE Std 1800-2017, table 6-8).
SIGNED = frozenset(("integer", "int", "byte", "shortint", "longint"))


@node(frozen=True, slots=True)
class Typed:
    """A declaration's type (None when only implied by what stands before) and its first name."""

    type: DataType | None
    name: str
    span: Span
    dimensions: tuple[Dimension, ...]
    initial: Expr | None
