"""`workspace/didChangeWatchedFiles`: files changed on the disk."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.places import path_of
from memlint.server.server import Server

METHOD = types.WORKSPACE_DID_CHANGE_WATCHED_FILES


def handle(server: Server, params: types.DidChangeWatchedFilesParams) -> None:
    """Analyses what may read them. Editors send some events twice, which comes to the same."""
    paths = {path for event in params.changes if (path := path_of(event.uri)) is not None}
    server.session.changed_on_disk(paths)
