"""`textDocument/completion`: what can be written next in an intent; nothing outside intents."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.completion import Proposal, proposals, word_before
from memlint.server.documents import Document
from memlint.server.intent_context import known_around
from memlint.server.intent_text import Written, is_vhdl, written_at
from memlint.server.places import lsp_position
from memlint.server.server import Server
from memlint.text.encodings import offset_at

METHOD = types.TEXT_DOCUMENT_COMPLETION


def handle(server: Server, params: types.CompletionParams) -> Awaitable[types.CompletionList | None] | None:
    """Answers from what is known already: someone is typing, and an analysis is never waited for twice."""
    document = server.session.documents.get(params.text_document.uri)
    if document is None:
        return None
    source, place = document.source, params.position
    offset = offset_at(source, place.line, place.character, server.session.client.encoding)
    written = written_at(source, offset, is_vhdl(source, document.language))
    if written is None:
        return None
    return _complete(server, document, written, offset)


async def _complete(
    server: Server, document: Document, written: Written, offset: int
) -> types.CompletionList | None:
    session = server.session
    project = session.project_of(document.uri)
    if project is not None and document.uri not in project.answers:
        await project.settled()
    answer = project.answers.get(document.uri) if project is not None else None
    found = await session.worker.submit(
        lambda: proposals(written, document.source, offset, known_around(answer, document, offset))
    )
    start = word_before(document.source, offset, written.first)
    encoding = session.client.encoding
    place = types.Range(
        lsp_position(document.source, start, encoding), lsp_position(document.source, offset, encoding)
    )
    snippets = session.client.completion_snippets
    items = [_item(one, place, f"{index:03}", document.uri, snippets) for index, one in enumerate(found)]
    return types.CompletionList(is_incomplete=False, items=items)


def _item(one: Proposal, place: types.Range, order: str, uri: str, snippets: bool) -> types.CompletionItem:
    is_snippet = snippets and bool(one.snippet)
    text = one.snippet if is_snippet else one.text or one.label
    return types.CompletionItem(
        label=one.label,
        kind=one.kind,
        detail=one.detail or None,
        sort_text=order,
        filter_text=one.label,
        insert_text_format=types.InsertTextFormat.Snippet if is_snippet else types.InsertTextFormat.PlainText,
        text_edit=types.TextEdit(place, text),
        data={"uri": uri, "about": list(one.about)} if one.about is not None else None,
    )
