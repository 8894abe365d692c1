"""`workspace/diagnostic`: the findings of every file that has any, for editors that ask."""

from __future__ import annotations

from collections.abc import Sequence

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.WORKSPACE_DIAGNOSTIC

AT_ONCE = 50
"""Files in one message, where the editor takes them piece by piece."""

Report = types.WorkspaceFullDocumentDiagnosticReport | types.WorkspaceUnchangedDocumentDiagnosticReport


def handle(server: Server, params: types.WorkspaceDiagnosticParams) -> types.WorkspaceDiagnosticReport:
    """What is known now, without waiting: some editors ask every two seconds. A file whose findings the
    editor has is only named; one of which nothing is known any more is told to have none."""
    if not server.session.client.pulls:
        return types.WorkspaceDiagnosticReport([])
    previous = {one.uri: one.value for one in params.previous_result_ids}
    items: list[Report] = []
    for uri, said in server.session.reports:
        if previous.pop(uri, None) == said.result:
            items.append(
                types.WorkspaceUnchangedDocumentDiagnosticReport(uri, said.result, version=said.version)
            )
        else:
            found = list(said.diagnostics)
            items.append(
                types.WorkspaceFullDocumentDiagnosticReport(
                    uri, found, version=said.version, result_id=said.result
                )
            )
    items.extend(types.WorkspaceFullDocumentDiagnosticReport(uri, []) for uri in previous)
    token = params.partial_result_token
    if token is None or len(items) <= AT_ONCE:
        return types.WorkspaceDiagnosticReport(items)
    for start in range(0, len(items), AT_ONCE):
        _tell(server, token, items[start : start + AT_ONCE])
    return types.WorkspaceDiagnosticReport([])


def _tell(server: Server, token: types.ProgressToken, items: Sequence[Report]) -> None:
    server.progress(types.ProgressParams(token, types.WorkspaceDiagnosticReportPartialResult(items)))
