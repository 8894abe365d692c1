"""`textDocument/didOpen`: from now on the editor's text counts."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DID_OPEN


def handle(server: Server, params: types.DidOpenTextDocumentParams) -> None:
    """Takes the document over."""
    server.session.open(params.text_document)
