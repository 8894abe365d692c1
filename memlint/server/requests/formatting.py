"""`textDocument/formatting`: the intent comments of a document in their one spelling."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.formatting import format_edits
from memlint.server.intent_text import is_vhdl
from memlint.server.server import Server
from memlint.server.workspace_edits import text_edits

METHOD = types.TEXT_DOCUMENT_FORMATTING


def handle(server: Server, params: types.DocumentFormattingParams) -> list[types.TextEdit] | None:
    """From the text alone, at once; nothing but intent comments changes."""
    document = server.session.documents.get(params.text_document.uri)
    if document is None:
        return None
    source = document.source
    edits = list(format_edits(source, is_vhdl(source, document.language)))
    return text_edits(edits, source, server.session.client)
