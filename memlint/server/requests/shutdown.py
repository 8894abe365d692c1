"""`shutdown`: the editor is about to leave."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.protocol import Stage
from memlint.server.server import Server

METHOD = types.SHUTDOWN


def handle(server: Server, params: None) -> None:
    """Gives up what is still being answered; only `exit` comes after this."""
    server.protocol.cancel_all()
    server.protocol.stage = Stage.ENDING
