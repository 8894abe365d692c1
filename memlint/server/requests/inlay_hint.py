"""`textDocument/inlayHint`: what each memory costs, at the end of its line."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.client import Client
from memlint.server.documents import Document
from memlint.server.drift import moved_line
from memlint.server.hints import Hint
from memlint.server.places import lsp_position
from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_INLAY_HINT


def handle(
    server: Server, params: types.InlayHintParams
) -> Awaitable[list[types.InlayHint]] | list[types.InlayHint]:
    """The hints of the lines asked for. Waits for the counts to be those of the text, so that no number
    is shown that is about to change; the editor keeps the last ones until then."""
    project = server.session.project_of(params.text_document.uri)
    return [] if project is None else _hints(server, params)


async def _hints(server: Server, params: types.InlayHintParams) -> list[types.InlayHint]:
    uri = params.text_document.uri
    session = server.session
    await session.settled(uri)
    project = session.project_of(uri)
    document, answer = session.documents.get(uri), project.answers.get(uri) if project else None
    if document is None or answer is None:
        return []
    # The text differs where it could not be judged again: lines around the change keep their hints.
    moved = moved_line(answer.source, document.source)
    found = []
    for hint in answer.hints:
        line = moved(hint.line)
        if line is not None and params.range.start.line <= line <= params.range.end.line:
            found.append(_inlay(hint, line, document, session.client))
    return found


def _inlay(hint: Hint, line: int, document: Document, client: Client) -> types.InlayHint:
    source = document.source
    end = source.line_starts[line] + len(source.line_text(line + 1))
    return types.InlayHint(
        position=lsp_position(source, end, client.encoding),
        label=hint.label,
        tooltip=None if client.resolves_hint_tooltips else hint.tooltip,
        data={"uri": document.uri, "line": hint.line} if client.resolves_hint_tooltips else None,
        padding_left=True,
    )
