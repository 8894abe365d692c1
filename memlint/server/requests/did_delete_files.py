"""`workspace/didDeleteFiles`: files were deleted from within the editor."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.places import path_of
from memlint.server.server import Server

METHOD = types.WORKSPACE_DID_DELETE_FILES


def handle(server: Server, params: types.DeleteFilesParams) -> None:
    """Analyses what may read them."""
    paths = {path for one in params.files if (path := path_of(one.uri)) is not None}
    server.session.changed_on_disk(paths)
