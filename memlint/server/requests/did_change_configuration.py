"""`workspace/didChangeConfiguration`: the user's settings changed."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.preferences import preferences_of, section_of
from memlint.server.server import Server

METHOD = types.WORKSPACE_DID_CHANGE_CONFIGURATION


def handle(server: Server, params: types.DidChangeConfigurationParams) -> None:
    """Takes what is pushed; where that is nothing, asks for it."""
    pushed = section_of(params.settings)
    if pushed is not None:
        server.session.prefer(preferences_of(pushed))
    elif server.session.client.has_configuration:
        server.ask_preferences(lambda found: server.session.prefer(preferences_of(found)))
