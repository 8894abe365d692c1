"""`exit`: the editor has left."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.protocol import Stage
from memlint.server.server import Server

METHOD = types.EXIT


def handle(server: Server, params: None) -> None:
    """Ends the process: 0 after `shutdown`, else 1 (LSP 3.17, "Exit Notification")."""
    server.stop(0 if server.protocol.stage is Stage.ENDING else 1)
