"""`textDocument/didClose`: from now on the file on the disk counts again."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DID_CLOSE


def handle(server: Server, params: types.DidCloseTextDocumentParams) -> None:
    """Gives the document back and takes its findings off the editor's list."""
    server.session.close(params.text_document.uri)
