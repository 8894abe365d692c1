"""`textDocument/codeAction`: what can be done about a place."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator, Sequence

from lsprotocol import types

from memlint.rules.finding import Finding
from memlint.server.asking import Seen, about
from memlint.server.code_actions import FIX_ALL, Offer, has_safe_fixes, offers
from memlint.server.fix_all import all_fixes
from memlint.server.places import lsp_range
from memlint.server.project import Project
from memlint.server.server import Server
from memlint.server.workspace_edits import workspace_edit

METHOD = types.TEXT_DOCUMENT_CODE_ACTION


def handle(
    server: Server, params: types.CodeActionParams
) -> Awaitable[list[types.CodeAction] | None] | list[types.CodeAction]:
    """The actions for a range, of the kinds asked for; edits are worked out when one is chosen, where the
    editor can ask for that. None for an editor that knows commands only."""
    if not server.session.client.literal_actions:
        return []
    project = server.session.project_of(params.text_document.uri)
    if project is None:
        return []
    version, uri = server.session.documents.version, params.text_document.uri
    return about(server, uri, lambda seen: list(_actions(seen, params, project, version)))


def _actions(
    seen: Seen, params: types.CodeActionParams, project: Project, version: Callable[[str], int | None]
) -> Iterator[types.CodeAction]:
    start, end = seen.offset(params.range.start), seen.offset(params.range.end)
    only = params.context.only
    for offer in offers(seen, start, end):
        if not _wanted(offer.kind, only):
            continue
        action = _action(offer, seen, params.context.diagnostics)
        if not seen.client.resolves_actions:
            action.edit = workspace_edit(offer.edits(), seen.judged, seen.client, version, offer.asks)
            action.data = None
        yield action
    # Judging what comes of it takes time, so it is never worked out unasked.
    is_asked_for = only is not None and _wanted(FIX_ALL, only)
    if (not (seen.client.resolves_actions and only is None) and not is_asked_for) or not has_safe_fixes(seen):
        return
    action = types.CodeAction("Apply all safe fixes in this file", FIX_ALL)
    if seen.client.resolves_actions:
        action.data = {"uri": seen.document.uri, "key": [FIX_ALL]}
    else:
        action.edit = workspace_edit(all_fixes(seen, project), seen.judged, seen.client, version)
    yield action


def _wanted(kind: str, only: Sequence[types.CodeActionKind | str] | None) -> bool:
    """Kinds are hierarchical: `source` asks for `source.fixAll.memlint` too."""
    if only is None:
        return True
    named = [one.value if isinstance(one, types.CodeActionKind) else one for one in only]
    return any(not one or kind == one or kind.startswith(f"{one}.") for one in named)


def _action(offer: Offer, seen: Seen, told: Sequence[types.Diagnostic]) -> types.CodeAction:
    return types.CodeAction(
        title=offer.title,
        kind=offer.kind,
        diagnostics=_mended(offer.finding, seen, told),
        is_preferred=True if offer.preferred else None,
        data={"uri": seen.document.uri, "key": list(offer.key)},
    )


def _mended(
    finding: Finding | None, seen: Seen, told: Sequence[types.Diagnostic]
) -> list[types.Diagnostic] | None:
    if finding is None:
        return None
    place = lsp_range(seen.source, finding.span, seen.encoding)
    return [one for one in told if one.code == finding.rule and one.range == place] or None
