"""`textDocument/didSave`: the disk has what the editor has."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DID_SAVE


def handle(server: Server, params: types.DidSaveTextDocumentParams) -> None:
    """Reads again what is read from the disk; the only notice of it from editors that watch no files."""
    server.session.save(params.text_document.uri)
