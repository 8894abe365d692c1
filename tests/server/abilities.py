"""What an editor of today says it can do; nothing is taken from any one of them."""

from __future__ import annotations

from lsprotocol import types


def able(pulls: bool = False, configuration: bool = False) -> types.ClientCapabilities:
    """Everything that this server makes use of; asking for diagnostics and being asked for settings only
    where wanted, since they change what is sent."""
    text = types.TextDocumentClientCapabilities(
        publish_diagnostics=types.PublishDiagnosticsClientCapabilities(
            related_information=True,
            tag_support=types.ClientDiagnosticsTagOptions([types.DiagnosticTag.Unnecessary]),
            code_description_support=True,
        ),
        code_action=types.CodeActionClientCapabilities(
            code_action_literal_support=types.ClientCodeActionLiteralOptions(
                types.ClientCodeActionKindOptions([types.CodeActionKind.QuickFix])
            ),
            data_support=True,
            resolve_support=types.ClientCodeActionResolveOptions(["edit"]),
        ),
        completion=types.CompletionClientCapabilities(
            completion_item=types.ClientCompletionItemOptions(
                snippet_support=True, documentation_format=[types.MarkupKind.Markdown]
            )
        ),
        inlay_hint=types.InlayHintClientCapabilities(
            resolve_support=types.ClientInlayHintResolveOptions(["tooltip"])
        ),
        document_symbol=types.DocumentSymbolClientCapabilities(hierarchical_document_symbol_support=True),
        diagnostic=types.DiagnosticClientCapabilities() if pulls else None,
    )
    workspace = types.WorkspaceClientCapabilities(
        workspace_edit=types.WorkspaceEditClientCapabilities(
            document_changes=True, snippet_edit_support=True
        ),
        inlay_hint=types.InlayHintWorkspaceClientCapabilities(refresh_support=True),
        code_lens=types.CodeLensWorkspaceClientCapabilities(refresh_support=True),
        diagnostics=types.DiagnosticWorkspaceClientCapabilities(refresh_support=True) if pulls else None,
        configuration=configuration,
    )
    window = types.WindowClientCapabilities(
        work_done_progress=True, show_document=types.ShowDocumentClientCapabilities(support=True)
    )
    return types.ClientCapabilities(text_document=text, workspace=workspace, window=window)
