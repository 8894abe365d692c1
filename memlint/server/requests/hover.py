"""`textDocument/hover`: all about the memory, or the clause of an intent, under the cursor."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.analysis import FileAnswer
from memlint.server.clause_hover import clause_hover
from memlint.server.documents import Document
from memlint.server.hover import HoverText, hover_text, memories_at
from memlint.server.places import lsp_range
from memlint.server.server import Server
from memlint.server.shape_from import shape_from
from memlint.text.encodings import offset_at

METHOD = types.TEXT_DOCUMENT_HOVER


def handle(server: Server, params: types.HoverParams) -> Awaitable[types.Hover | None] | None:
    """The hover for a clause of an intent, a memory's name, its declaration and accesses; None elsewhere."""
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
    text = await session.worker.submit(lambda: _text(answer, offset, document.language))
    if text is None:
        return None
    kind = types.MarkupKind.Markdown if session.client.markdown_hover else types.MarkupKind.PlainText
    value = text.markdown() if session.client.markdown_hover else text.plain()
    return types.Hover(
        types.MarkupContent(kind, value), lsp_range(answer.source, text.span, session.client.encoding)
    )


def _text(answer: FileAnswer, offset: int, language: str) -> HoverText | None:
    judged = answer.judged
    if judged is None:
        return None
    on_clause = clause_hover(judged, answer.source, offset, language)
    if on_clause is not None:
        return on_clause
    found = memories_at(judged.judgement, answer.source.file, offset)
    if found is None:
        return None
    aside = "it is in no project's sources: judged alone, at default parameters" if judged.alone else ""
    views, span = found
    return hover_text(views, span, judged.judgement, shape_from(views[0].memory, judged), aside)
