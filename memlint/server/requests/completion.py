"""`textDocument/completion`: what can be written next in an intent; nothing outside intents."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.rules.view import MemoryView
from memlint.server.analysis import FileAnswer
from memlint.server.clock_names import clock_names, unit_at
from memlint.server.completion import Known, Proposal, proposals, word_before
from memlint.server.documents import Document
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
        lambda: proposals(written, document.source, offset, _known(answer, document, offset))
    )
    start = word_before(document.source, offset, written.first)
    encoding = session.client.encoding
    place = types.Range(
        lsp_position(document.source, start, encoding), lsp_position(document.source, offset, encoding)
    )
    snippets = session.client.completion_snippets
    items = [_item(one, place, f"{index:03}", document.uri, snippets) for index, one in enumerate(found)]
    return types.CompletionList(is_incomplete=False, items=items)


def _known(answer: FileAnswer | None, document: Document, offset: int) -> Known:
    """What the last answer knows; the text may have changed since, around the cursor."""
    if answer is None or answer.judged is None:
        return Known(None)
    judged = answer.judged
    old, new = answer.source.text, document.source.text
    shift = len(old) - len(new)
    # Whoever types changes what is around the cursor: behind it the text is as it was.
    at = offset + shift if old[offset + shift :] == new[offset:] else offset
    at = max(0, min(at, len(old)))
    facts = judged.facts_of(answer.source.file)
    unit = unit_at(facts, at) if facts is not None else None
    views = tuple(
        view
        for view in judged.judgement.memories
        if any(
            bound.intent.span.file == answer.source.file
            and bound.intent.span.start <= at <= bound.intent.span.end + 1
            for bound in view.memory.intents
        )
    ) or _next_memory(answer, at)
    clocks = clock_names(unit, judged.facts) if unit is not None else ()
    return Known(judged.judgement.device, clocks, views)


def _next_memory(answer: FileAnswer, at: int) -> tuple[MemoryView, ...]:
    """The memory declared next, unless other code comes between."""
    judgement = answer.judgement
    if judgement is None:
        return ()
    starts = [
        view.memory.statement.start
        for view in judgement.memories
        if view.memory.statement.file == answer.source.file and view.memory.statement.start >= at
    ]
    if not starts or ";" in answer.source.text[at : min(starts)].partition("\n")[2]:
        return ()
    return tuple(
        view
        for view in judgement.memories
        if view.memory.statement.file == answer.source.file and view.memory.statement.start == min(starts)
    )


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
