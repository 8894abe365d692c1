"""`textDocument/rangeFormatting`: the intent comments of a range in their one spelling."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.formatting import format_edits
from memlint.server.intent_text import is_vhdl
from memlint.server.server import Server
from memlint.server.workspace_edits import text_edits
from memlint.text.encodings import offset_at

METHOD = types.TEXT_DOCUMENT_RANGE_FORMATTING


def handle(server: Server, params: types.DocumentRangeFormattingParams) -> list[types.TextEdit] | None:
    """The comments that touch the range."""
    session = server.session
    document = session.documents.get(params.text_document.uri)
    if document is None:
        return None
    source = document.source
    start, end = (
        offset_at(source, place.line, place.character, session.client.encoding)
        for place in (params.range.start, params.range.end)
    )
    edits = [
        edit
        for edit in format_edits(source, is_vhdl(source, document.language))
        if edit.span.start <= end and start <= edit.span.end
    ]
    return text_edits(edits, source, session.client)
