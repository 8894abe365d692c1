"""What a rule wants to edit, worked out on the text: exact spans, whole clauses, whole comments, lines."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from memlint.reading.intent.comments import Comment, Piece, piece_of
from memlint.rules.finding import Edit, Finding, Fix, Reach
from memlint.text.source import SourceText, Span

_MARKED = re.compile(r"(?:/\*|//|--)[ \t]*@mem(?!\w)")
_LINE_END = re.compile(r"\r\n|\r|\n")


def exact_edits(finding: Finding, sources: Mapping[str, SourceText]) -> Finding:
    """The finding with every edit reduced to a span and its new text.

    A fix with an edit that cannot be made there (a line above a statement that starts in the middle of
    one, a clause that no comment holds) is left out.
    """
    if all(edit.reach is Reach.SPAN for fix in finding.fixes for edit in fix.edits):
        return finding
    fixes = (_exact(fix, sources) for fix in finding.fixes)
    return replace(finding, fixes=tuple(fix for fix in fixes if fix is not None))


def _exact(fix: Fix, sources: Mapping[str, SourceText]) -> Fix | None:
    edits: list[Edit] = []
    for edit in fix.edits:
        source = sources.get(edit.span.file)
        made = None if source is None else _made(edit, source)
        if made is None:
            return None
        edits.append(made)
    return replace(fix, edits=tuple(edits))


def _made(edit: Edit, source: SourceText) -> Edit | None:
    match edit.reach:
        case Reach.SPAN:
            return edit
        case Reach.LINE:
            return line_above(source, edit.span.start, edit.text)
        case Reach.CLAUSE:
            return _without_clause(source, edit.span)


def line_above(source: SourceText, offset: int, text: str) -> Edit | None:
    """The edit that puts a line above the one that code at `offset` starts, indented alike.

    None where other code comes first on that line.
    """
    start = source.line_starts[source.position(offset).line - 1]
    indent = source.text[start:offset]
    if indent.strip(" \t"):
        return None
    return Edit(Span(source.file, offset, offset), f"{text}{line_end_of(source)}{indent}")


def line_end_of(source: SourceText) -> str:
    """How the lines of a text end; a line feed where it has one line only."""
    found = _LINE_END.search(source.text)
    return found[0] if found else "\n"


def marked_comment(source: SourceText, span: Span) -> Comment | None:
    """The comment with the marker that a span lies in."""
    text = source.text
    line = source.position(span.start).line
    start = source.line_starts[line - 1]
    opened = text.rfind("/*", 0, span.start)
    if opened >= 0 and "*/" not in text[opened : span.start] and _MARKED.match(text, opened):
        closed = text.find("*/", span.end)
        end = len(text) if closed < 0 else closed + 2
    else:
        marker = _MARKED.search(text, start, span.start)
        if marker is None or marker[0].startswith("/*"):
            return None
        opened = marker.start()
        end = start + len(source.line_text(line))
    begins = source.line_starts[source.position(opened).line - 1]
    is_block = text.startswith("/*", opened)
    own_line = not text[begins:opened].strip()
    return Comment(opened, end, text[opened:end], own_line, source.position(opened).line, is_block)


def _without_clause(source: SourceText, span: Span) -> Edit | None:
    comment = marked_comment(source, span)
    piece = piece_of(comment) if comment is not None else None
    if comment is None or piece is None:
        return None
    # Imported here: most runs have no such edit.
    from memlint.reading.intent.reader import clause_extents

    extents = [(piece.start + first, piece.start + last) for first, last in clause_extents(piece.text)]
    at = next((index for index, (first, last) in enumerate(extents) if first <= span.start < last), None)
    if at is None:
        return None
    first, last = extents[at]
    if len(extents) == 1:
        if _shares_its_path(source, comment, piece):
            return Edit(Span(source.file, first, last), "")
        return _without_comment(source, comment)
    if at + 1 < len(extents):
        return Edit(Span(source.file, first, extents[at + 1][0]), "")
    return Edit(Span(source.file, extents[at - 1][1], last), "")


def _shares_its_path(source: SourceText, comment: Comment, piece: Piece) -> bool:
    """Whether the comment says `on path:` and a comment on the next line goes on with that path."""
    if not re.match(r"\s*on(?!\w)", piece.text):
        return False
    rest = source.text[comment.end :]
    following = re.match(r"[ \t]*(?:\r\n|\r|\n)[ \t]*", rest)
    return following is not None and _MARKED.match(rest, following.end()) is not None


def _without_comment(source: SourceText, comment: Comment) -> Edit:
    """The edit that takes a comment out: with its line, if it has it for itself, and the blanks before."""
    text = source.text
    first = source.line_starts[comment.line - 1]
    last_line = source.position(comment.end).line
    after = source.line_starts[last_line] if last_line < len(source.line_starts) else len(text)
    if comment.own_line and not text[comment.end : after].strip():
        return Edit(Span(source.file, first, after), "")
    start = comment.start
    if not text[comment.end : after].strip():
        start = first + len(text[first:start].rstrip(" \t"))
    return Edit(Span(source.file, start, comment.end), "")


def stays_in_intent(edit: Edit, source: SourceText) -> bool:
    """Whether an edit changes the clauses of one intent comment, or takes out one such comment whole."""
    text, span = source.text, edit.span
    marker = None if edit.text else _MARKED.search(text, span.start, span.end)
    if marker is not None:
        whole = marked_comment(source, Span(source.file, marker.end(), marker.end()))
        return whole is not None and edit == _without_comment(source, whole)
    comment = marked_comment(source, span)
    piece = piece_of(comment) if comment is not None else None
    if comment is None or piece is None or _LINE_END.search(edit.text) or "*/" in edit.text:
        return False
    end = comment.end - 2 if comment.block and comment.text.endswith("*/") else comment.end
    return piece.start <= span.start and span.end <= end
