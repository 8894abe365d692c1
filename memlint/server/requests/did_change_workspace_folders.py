"""`workspace/didChangeWorkspaceFolders`: folders came or went."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS


def handle(server: Server, params: types.DidChangeWorkspaceFoldersParams) -> None:
    """Nothing to do: each open file belongs to the memlint.toml above it, whatever the folders are, and
    the editor closes what it no longer shows."""
