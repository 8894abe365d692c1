"""Our edits as the editor's."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from lsprotocol import types

from memlint.rules.finding import Edit
from memlint.server.analysis import Judged
from memlint.server.client import Client
from memlint.server.code_actions import snippet_of
from memlint.server.places import lsp_range
from memlint.text.source import SourceText


def workspace_edit(
    edits: Sequence[Edit],
    judged: Judged,
    client: Client,
    version: Callable[[str], int | None],
    asks: str = "",
) -> types.WorkspaceEdit:
    """The edits of a judgement's files, with the version of the documents that are open (`version` tells
    it by URI) where the editor can check it. `asks` becomes a place to fill in where it has snippets."""
    by_uri: dict[str, list[types.TextEdit | types.AnnotatedTextEdit | types.SnippetTextEdit]] = {}
    for edit in edits:
        source = judged.judgement.sources.get(edit.span.file)
        place = lsp_range(source, edit.span, client.encoding)
        one: types.TextEdit | types.SnippetTextEdit = types.TextEdit(place, edit.text)
        if asks and asks in edit.text and client.snippet_edits and client.versioned_edits:
            one = types.SnippetTextEdit(place, types.StringValue(snippet_of(edit.text, asks)))
        by_uri.setdefault(judged.uri(edit.span.file), []).append(one)
    if not client.versioned_edits:
        plain: Mapping[str, Sequence[types.TextEdit]] = {
            uri: [one for one in many if isinstance(one, types.TextEdit)] for uri, many in by_uri.items()
        }
        return types.WorkspaceEdit(changes=plain)
    return types.WorkspaceEdit(
        document_changes=[
            types.TextDocumentEdit(types.OptionalVersionedTextDocumentIdentifier(uri, version(uri)), many)
            for uri, many in by_uri.items()
        ]
    )


def text_edits(edits: Sequence[Edit], source: SourceText, client: Client) -> list[types.TextEdit]:
    """The edits of one document."""
    return [types.TextEdit(lsp_range(source, edit.span, client.encoding), edit.text) for edit in edits]
