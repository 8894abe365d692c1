"""What the editor can do, read once from its `initialize` request."""

from __future__ import annotations

from dataclasses import dataclass

from lsprotocol import types

from memlint.text.encodings import Encoding

_PREFERRED = (Encoding.UTF_8, Encoding.UTF_32, Encoding.UTF_16)


@dataclass(frozen=True, slots=True)
class Client:
    """The editor's abilities; the defaults are what every client of the protocol has."""

    encoding: Encoding = Encoding.UTF_16
    related_places: bool = False
    markdown_hover: bool = False
    refreshes_hints: bool = False
    registers_watchers: bool = False


def client_of(params: types.InitializeParams) -> Client:
    """The abilities that the request states. Nothing in it is relied upon to be there."""
    abilities = params.capabilities
    text = abilities.text_document
    workspace = abilities.workspace
    publish = text.publish_diagnostics if text else None
    hover = text.hover if text else None
    hints = workspace.inlay_hint if workspace else None
    watched = workspace.did_change_watched_files if workspace else None
    formats = (hover.content_format if hover else None) or ()
    return Client(
        encoding=_encoding(abilities.general),
        related_places=bool(publish and publish.related_information),
        # In the order of preference; a client that names none gets plain text.
        markdown_hover=bool(formats) and formats[0] == types.MarkupKind.Markdown,
        refreshes_hints=bool(hints and hints.refresh_support),
        registers_watchers=bool(watched and watched.dynamic_registration),
    )


def _encoding(general: types.GeneralClientCapabilities | None) -> Encoding:
    """Of the encodings offered, the one cheapest for us; utf-16 where none of ours is offered."""
    offered = (general.position_encodings if general else None) or ()
    named = {one.value if isinstance(one, types.PositionEncodingKind) else one for one in offered}
    return next((one for one in _PREFERRED if one.value in named), Encoding.UTF_16)
