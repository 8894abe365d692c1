"""`textDocument/prepareRename`: whether a planned memory stands here, whose name can be changed."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.places import lsp_range
from memlint.server.planned import plan_name_at
from memlint.server.server import Server
from memlint.text.encodings import offset_at

METHOD = types.TEXT_DOCUMENT_PREPARE_RENAME


def handle(server: Server, params: types.PrepareRenameParams) -> types.PrepareRenamePlaceholder | None:
    """Its name; None elsewhere, since the names of the HDL are not ours to change."""
    session = server.session
    document = session.documents.get(params.text_document.uri)
    if document is None:
        return None
    source, place, encoding = document.source, params.position, session.client.encoding
    span = plan_name_at(source, offset_at(source, place.line, place.character, encoding), document.language)
    if span is None:
        return None
    name = source.text[span.start : span.end]
    return types.PrepareRenamePlaceholder(lsp_range(source, span, encoding), name)
