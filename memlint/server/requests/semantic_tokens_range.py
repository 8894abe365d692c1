"""`textDocument/semanticTokens/range`: the words of the intents in sight."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.intent_text import is_vhdl
from memlint.server.semantic_tokens import encoded, tokens_of
from memlint.server.server import Server
from memlint.text.encodings import offset_at

METHOD = types.TEXT_DOCUMENT_SEMANTIC_TOKENS_RANGE


def handle(server: Server, params: types.SemanticTokensRangeParams) -> types.SemanticTokens | None:
    """Those that touch the range."""
    session = server.session
    document = session.documents.get(params.text_document.uri)
    if document is None:
        return None
    source, encoding = document.source, session.client.encoding
    start, end = (
        offset_at(source, place.line, place.character, encoding)
        for place in (params.range.start, params.range.end)
    )
    every = tokens_of(source, is_vhdl(source, document.language))
    return types.SemanticTokens(
        encoded((one for one in every if one.start < end and one.end > start), source, encoding)
    )
