"""`textDocument/diagnostic`: the findings of one document, for editors that ask instead of being told."""

from __future__ import annotations

from collections.abc import Awaitable

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.TEXT_DOCUMENT_DIAGNOSTIC

Report = types.RelatedFullDocumentDiagnosticReport | types.RelatedUnchangedDocumentDiagnosticReport


def handle(server: Server, params: types.DocumentDiagnosticParams) -> Awaitable[Report]:
    """Waits for the findings of the text as it is; `unchanged` if the editor has them already."""
    return _report(server, params.text_document.uri, params.previous_result_id)


async def _report(server: Server, uri: str, previous: str | None) -> Report:
    if not server.session.client.pulls:
        # Its findings are pushed, and would be shown twice.
        return types.RelatedFullDocumentDiagnosticReport([])
    await server.session.settled(uri)
    said = server.session.reports.of(uri)
    if said is None:
        return types.RelatedFullDocumentDiagnosticReport([])
    if said.result == previous:
        return types.RelatedUnchangedDocumentDiagnosticReport(said.result)
    return types.RelatedFullDocumentDiagnosticReport(list(said.diagnostics), result_id=said.result)
