"""`textDocument/semanticTokens/full`: the words of a document's intents."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.intent_text import is_vhdl
from memlint.server.semantic_tokens import encoded, tokens_of
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL


def handle(server: Server, params: types.SemanticTokensParams) -> types.SemanticTokens | None:
    """From the text alone, at once."""
    document = server.session.documents.get(params.text_document.uri)
    if document is None:
        return None
    source = document.source
    tokens = tokens_of(source, is_vhdl(source, document.language))
    return types.SemanticTokens(encoded(tokens, source, server.session.client.encoding))
