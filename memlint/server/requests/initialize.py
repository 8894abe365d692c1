"""`initialize`: the editor says what it can do, the server what it does."""

from __future__ import annotations

from pathlib import Path

from lsprotocol import types

from memlint import __version__
from memlint.server.client import Client, client_of
from memlint.server.code_actions import KINDS
from memlint.server.commands import COMMANDS
from memlint.server.places import path_of
from memlint.server.preferences import preferences_of, section_of
from memlint.server.protocol import Stage
from memlint.server.requests.did_change_workspace_folders import paths
from memlint.server.semantic_tokens import LEGEND
from memlint.server.server import NAME, Server

METHOD = types.INITIALIZE

TRIGGERS = (" ", ";", ",")
"""Characters after which an intent goes on with another word. Outside intents they trigger nothing."""

_FILES = types.FileOperationRegistrationOptions(
    [types.FileOperationFilter(types.FileOperationPattern("**/*"), scheme="file")]
)


def handle(server: Server, params: types.InitializeParams) -> types.InitializeResult:
    """Settles how columns are counted and begins to watch the editor's process."""
    client = client_of(params)
    session = server.session
    session.client = client
    session.reports.pulls = client.pulls
    session.preferences = preferences_of(section_of(params.initialization_options))
    session.change_folders(_folders(params), ())
    server.protocol.stage = Stage.RUNNING
    if params.process_id is not None:
        server.watch(params.process_id)
    return types.InitializeResult(
        capabilities=_capabilities(client), server_info=types.ServerInfo(name=NAME, version=__version__)
    )


def _folders(params: types.InitializeParams) -> list[Path]:
    """The folders that are open; older editors know one only, and say so in another way."""
    if params.workspace_folders:
        return paths(params.workspace_folders)
    root = path_of(params.root_uri) if params.root_uri else None
    return [root] if root is not None else []


def _capabilities(client: Client) -> types.ServerCapabilities:
    return types.ServerCapabilities(
        position_encoding=types.PositionEncodingKind(client.encoding.value),
        text_document_sync=types.TextDocumentSyncOptions(
            open_close=True,
            change=types.TextDocumentSyncKind.Incremental,
            save=types.SaveOptions(include_text=False),
        ),
        hover_provider=True,
        inlay_hint_provider=types.InlayHintOptions(resolve_provider=client.resolves_hint_tooltips),
        code_action_provider=types.CodeActionOptions(
            code_action_kinds=list(KINDS),
            resolve_provider=client.resolves_actions,
        ),
        completion_provider=types.CompletionOptions(trigger_characters=list(TRIGGERS), resolve_provider=True),
        code_lens_provider=types.CodeLensOptions(resolve_provider=False),
        document_symbol_provider=True,
        workspace_symbol_provider=True,
        definition_provider=True,
        references_provider=True,
        document_link_provider=types.DocumentLinkOptions(resolve_provider=False),
        semantic_tokens_provider=types.SemanticTokensOptions(
            LEGEND, range=True, full=types.SemanticTokensFullDelta(delta=True)
        ),
        document_formatting_provider=True,
        document_range_formatting_provider=True,
        rename_provider=types.RenameOptions(prepare_provider=True),
        call_hierarchy_provider=True,
        execute_command_provider=types.ExecuteCommandOptions(list(COMMANDS)),
        diagnostic_provider=_diagnostics() if client.pulls else None,
        workspace=types.WorkspaceOptions(
            workspace_folders=types.WorkspaceFoldersServerCapabilities(
                supported=True, change_notifications=True
            ),
            file_operations=types.FileOperationOptions(
                did_create=_FILES, did_rename=_FILES, did_delete=_FILES
            ),
        ),
    )


def _diagnostics() -> types.DiagnosticOptions:
    return types.DiagnosticOptions(inter_file_dependencies=True, workspace_diagnostics=True, identifier=NAME)
