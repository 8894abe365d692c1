"""`$/setTrace`: how much the editor wants to be told. This server sends no traces."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.SET_TRACE


def handle(server: Server, params: types.SetTraceParams) -> None:
    """Takes notice of it."""
