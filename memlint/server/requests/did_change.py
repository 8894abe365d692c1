"""`textDocument/didChange`: the text of an open document, one or more edits later."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DID_CHANGE


def handle(server: Server, params: types.DidChangeTextDocumentParams) -> None:
    """Applies the edits in their order."""
    server.session.change(params)
