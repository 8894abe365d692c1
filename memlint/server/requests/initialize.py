"""`initialize`: the editor says what it can do, the server what it does."""

from __future__ import annotations

from lsprotocol import types

from memlint import __version__
from memlint.server.client import client_of
from memlint.server.protocol import Stage
from memlint.server.server import NAME, Server

METHOD = types.INITIALIZE


def handle(server: Server, params: types.InitializeParams) -> types.InitializeResult:
    """Settles how columns are counted and begins to watch the editor's process."""
    client = client_of(params)
    server.session.client = client
    server.protocol.stage = Stage.RUNNING
    if params.process_id is not None:
        server.watch(params.process_id)
    return types.InitializeResult(
        capabilities=types.ServerCapabilities(
            position_encoding=types.PositionEncodingKind(client.encoding.value),
            text_document_sync=types.TextDocumentSyncOptions(
                open_close=True,
                change=types.TextDocumentSyncKind.Incremental,
                save=types.SaveOptions(include_text=False),
            ),
            hover_provider=True,
            inlay_hint_provider=types.InlayHintOptions(resolve_provider=False),
            workspace=types.WorkspaceOptions(
                workspace_folders=types.WorkspaceFoldersServerCapabilities(
                    supported=True, change_notifications=True
                )
            ),
        ),
        server_info=types.ServerInfo(name=NAME, version=__version__),
    )
