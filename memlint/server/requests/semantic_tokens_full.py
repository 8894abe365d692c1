"""`textDocument/semanticTokens/full`: the words of a document's intents."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.intent_text import is_vhdl
from memlint.server.semantic_tokens import encoded, tokens_of
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL


def handle(server: Server, params: types.SemanticTokensParams) -> types.SemanticTokens | None:
    """From the text alone, at once."""
    uri = params.text_document.uri
    data = data_of(server, uri)
    return None if data is None else server.session.tokens.whole(uri, data)


def data_of(server: Server, uri: str) -> list[int] | None:
    """The tokens of an open document as numbers; None for one that is not open."""
    document = server.session.documents.get(uri)
    if document is None:
        return None
    source = document.source
    tokens = tokens_of(source, is_vhdl(source, document.language))
    return encoded(tokens, source, server.session.client.encoding)
