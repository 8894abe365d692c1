"""What the editor can do, read once from its `initialize` request."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from lsprotocol import types

from memlint.text.encodings import Encoding

_PREFERRED = (Encoding.UTF_8, Encoding.UTF_32, Encoding.UTF_16)


@dataclass(frozen=True, slots=True)
class Client:
    """The editor's abilities; the defaults are what every client of the protocol has.

    `pulls`: it asks for diagnostics and can be told to ask again. One that cannot be told would keep
    what other files have changed since, so it is pushed to instead; never both.
    """

    encoding: Encoding = Encoding.UTF_16
    related_places: bool = False
    unused_tags: bool = False
    code_descriptions: bool = False
    pulls: bool = False
    markdown_hover: bool = False
    markdown_completion: bool = False
    completion_snippets: bool = False
    refreshes_hints: bool = False
    resolves_hint_tooltips: bool = False
    refreshes_lenses: bool = False
    nested_symbols: bool = False
    link_tooltips: bool = False
    literal_actions: bool = False
    resolves_actions: bool = False
    versioned_edits: bool = False
    snippet_edits: bool = False
    registers_watchers: bool = False
    registers_configuration: bool = False
    has_configuration: bool = False
    shows_progress: bool = False
    shows_documents: bool = False


def client_of(params: types.InitializeParams) -> Client:
    """The abilities that the request states. Nothing in it is relied upon to be there."""

    def has(path: str) -> Any:
        return _inner(params.capabilities, path)

    def can(path: str) -> bool:
        return bool(has(path))

    return Client(
        encoding=_encoding(params.capabilities.general),
        related_places=can("text_document.publish_diagnostics.related_information"),
        unused_tags=types.DiagnosticTag.Unnecessary
        in (has("text_document.publish_diagnostics.tag_support.value_set") or ()),
        code_descriptions=can("text_document.publish_diagnostics.code_description_support"),
        pulls=has("text_document.diagnostic") is not None and can("workspace.diagnostics.refresh_support"),
        # In the order of preference; a client that names none gets plain text.
        markdown_hover=_prefers_markdown(has("text_document.hover.content_format")),
        markdown_completion=_prefers_markdown(
            has("text_document.completion.completion_item.documentation_format")
        ),
        completion_snippets=can("text_document.completion.completion_item.snippet_support"),
        refreshes_hints=can("workspace.inlay_hint.refresh_support"),
        resolves_hint_tooltips="tooltip"
        in (has("text_document.inlay_hint.resolve_support.properties") or ()),
        refreshes_lenses=can("workspace.code_lens.refresh_support"),
        nested_symbols=can("text_document.document_symbol.hierarchical_document_symbol_support"),
        link_tooltips=can("text_document.document_link.tooltip_support"),
        literal_actions=has("text_document.code_action.code_action_literal_support") is not None,
        resolves_actions=can("text_document.code_action.data_support")
        and "edit" in (has("text_document.code_action.resolve_support.properties") or ()),
        versioned_edits=can("workspace.workspace_edit.document_changes"),
        snippet_edits=can("workspace.workspace_edit.snippet_edit_support"),
        registers_watchers=can("workspace.did_change_watched_files.dynamic_registration"),
        registers_configuration=can("workspace.did_change_configuration.dynamic_registration"),
        has_configuration=can("workspace.configuration"),
        shows_progress=can("window.work_done_progress"),
        shows_documents=can("window.show_document.support"),
    )


def _inner(value: Any, path: str) -> Any:
    """What lies at a dotted path, None as soon as a part of it is missing."""
    for name in path.split("."):
        value = getattr(value, name, None)
    return value


def _prefers_markdown(formats: Any) -> bool:
    return bool(formats) and formats[0] == types.MarkupKind.Markdown


def _encoding(general: types.GeneralClientCapabilities | None) -> Encoding:
    """Of the encodings offered, the one cheapest for us; utf-16 where none of ours is offered."""
    offered = (general.position_encodings if general else None) or ()
    named = {one.value if isinstance(one, types.PositionEncodingKind) else one for one in offered}
    return next((one for one in _PREFERRED if one.value in named), Encoding.UTF_16)
