"""`workspace/didChangeWorkspaceFolders`: folders came or went."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from lsprotocol import types

from memlint.server.places import path_of
from memlint.server.server import Server

METHOD = types.WORKSPACE_DID_CHANGE_WORKSPACE_FOLDERS


def handle(server: Server, params: types.DidChangeWorkspaceFoldersParams) -> None:
    """Each open file belongs to the memlint.toml above it, whatever the folders are; but findings of whole
    projects are those of the folders."""
    server.session.change_folders(paths(params.event.added), paths(params.event.removed))


def paths(folders: Iterable[types.WorkspaceFolder]) -> list[Path]:
    """Those that are on the disk."""
    return [path for one in folders if (path := path_of(one.uri)) is not None]
