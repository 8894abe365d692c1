"""`codeAction/resolve`: the edits of an action that was chosen."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from lsprotocol import types
from pygls.exceptions import JsonRpcContentModified, JsonRpcInvalidParams

from memlint.rules.finding import Edit
from memlint.server.asking import Seen, about
from memlint.server.code_actions import FIX_ALL, offers
from memlint.server.fix_all import all_fixes
from memlint.server.project import Project
from memlint.server.server import Server
from memlint.server.workspace_edits import workspace_edit

METHOD = types.CODE_ACTION_RESOLVE


def handle(server: Server, params: types.CodeAction) -> Awaitable[types.CodeAction]:
    """The action with its edits. An error where the text has changed so that it is no longer offered."""
    data = params.data if isinstance(params.data, dict) else {}
    uri, key = data.get("uri"), data.get("key")
    if not isinstance(uri, str) or not isinstance(key, list) or not all(isinstance(one, str) for one in key):
        raise JsonRpcInvalidParams("This is no action of memlint: its `data` is missing")
    return _resolved(server, params, uri, tuple(key))


async def _resolved(
    server: Server, action: types.CodeAction, uri: str, key: tuple[str, ...]
) -> types.CodeAction:
    project = server.session.project_of(uri)
    if project is not None:
        version = server.session.documents.version
        action.edit = await about(server, uri, lambda seen: _edit(seen, key, project, version))
    if action.edit is None:
        raise JsonRpcContentModified("The document has changed, and this is no longer offered")
    return action


def _edit(
    seen: Seen, key: tuple[str, ...], project: Project, version: Callable[[str], int | None]
) -> types.WorkspaceEdit | None:
    edits: tuple[Edit, ...] | None = None
    asks = ""
    if key == (FIX_ALL,):
        edits = all_fixes(seen, project)
    else:
        for offer in offers(seen, 0, len(seen.source.text)):
            if offer.key == key:
                edits, asks = offer.edits(), offer.asks
                break
        else:
            edits = _of_memory(seen, key)
    if edits is None:
        return None
    return workspace_edit(edits, seen.judged, seen.client, version, asks)


def _of_memory(seen: Seen, key: tuple[str, ...]) -> tuple[Edit, ...] | None:
    """Offers about a memory are made where its name stands, which the key says."""
    if len(key) < 2 or not key[1].isdigit():
        return None
    at = int(key[1])
    return next((one.edits() for one in offers(seen, at, at) if one.key == key), None)
