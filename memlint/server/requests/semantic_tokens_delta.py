"""`textDocument/semanticTokens/full/delta`: what changed among the words of a document's intents."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.requests.semantic_tokens_full import data_of
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL_DELTA

Answer = types.SemanticTokens | types.SemanticTokensDelta


def handle(server: Server, params: types.SemanticTokensDeltaParams) -> Answer | None:
    """From the text alone, at once; all tokens where those that the editor has are not known."""
    uri = params.text_document.uri
    data = data_of(server, uri)
    return None if data is None else server.session.tokens.since(uri, params.previous_result_id, data)
