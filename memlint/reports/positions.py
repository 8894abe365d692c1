"""Where a span lies, as every output counts: lines and columns from 1, in code points."""

from __future__ import annotations

from collections.abc import Mapping

from memlint.text.source import SourceText, Span


def line_and_column(span: Span, sources: Mapping[str, SourceText]) -> tuple[int | None, int | None]:
    """Where a span starts; (None, None) where its text is not known."""
    source = sources.get(span.file)
    if source is None:
        return None, None
    at = source.position(span.start)
    return at.line, at.column
