"""`$/cancelRequest`: an answer is no longer wanted."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.CANCEL_REQUEST


def handle(server: Server, params: types.CancelParams) -> None:
    """Gives up the request, if it is still being answered."""
    server.protocol.cancel(params.id)
