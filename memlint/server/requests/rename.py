"""`textDocument/rename`: another name for a planned memory."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.rules.finding import Edit
from memlint.server.asking import RequestFailed, Seen, about
from memlint.server.planned import check_new_name, plan_name_at
from memlint.server.server import Server
from memlint.server.workspace_edits import workspace_edit

METHOD = types.TEXT_DOCUMENT_RENAME


def handle(server: Server, params: types.RenameParams) -> Awaitable[types.WorkspaceEdit | None]:
    """The edit of its one place. An error where the name cannot be had or nothing is planned here."""
    return about(server, params.text_document.uri, lambda seen: _renamed(server, seen, params))


def _renamed(server: Server, seen: Seen, params: types.RenameParams) -> types.WorkspaceEdit:
    span = plan_name_at(seen.source, seen.offset(params.position), seen.document.language)
    if span is None:
        raise RequestFailed("only a planned memory can be renamed here: its name after `plan`")
    check_new_name(params.new_name, span, seen)
    edits = [Edit(span, params.new_name)]
    return workspace_edit(edits, seen.judged, seen.client, server.session.documents.version)
