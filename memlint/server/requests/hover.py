"""`textDocument/hover`: all about the memory under the cursor."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.analysis import FileAnswer
from memlint.server.documents import Document
from memlint.server.hover import HoverText, hover_text, memories_at
from memlint.server.places import lsp_range
from memlint.server.server import Server
from memlint.text.encodings import offset_at

METHOD = types.TEXT_DOCUMENT_HOVER


def handle(server: Server, params: types.HoverParams) -> Awaitable[types.Hover | None] | None:
    """The hover for a memory's name, its declaration, its accesses and its intents; None elsewhere."""
    document = server.session.documents.get(params.text_document.uri)
    if document is None:
        return None
    place = params.position
    encoding = server.session.client.encoding
    return _hover(server, document, offset_at(document.source, place.line, place.character, encoding))


async def _hover(server: Server, document: Document, offset: int) -> types.Hover | None:
    session = server.session
    project = session.project_of(document.uri)
    if project is None:
        return None
    await project.settled()
    answer = project.answers.get(document.uri)
    if answer is None or answer.stamp != document.stamp:
        return None  # The text is another by now, and the place meant something else.
    # Reckoning on the other tiers takes its time, and only the worker may touch what a judgement holds.
    text = await session.worker.submit(lambda: _text(answer, offset))
    if text is None:
        return None
    kind = types.MarkupKind.Markdown if session.client.markdown_hover else types.MarkupKind.PlainText
    value = text.markdown() if session.client.markdown_hover else text.plain()
    return types.Hover(
        types.MarkupContent(kind, value), lsp_range(answer.source, text.span, session.client.encoding)
    )


def _text(answer: FileAnswer, offset: int) -> HoverText | None:
    if answer.judgement is None:
        return None
    found = memories_at(answer.judgement, answer.source.file, offset)
    return hover_text(*found, answer.judgement) if found is not None else None
