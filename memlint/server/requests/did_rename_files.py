"""`workspace/didRenameFiles`: files were renamed from within the editor."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.places import path_of
from memlint.server.server import Server

METHOD = types.WORKSPACE_DID_RENAME_FILES


def handle(server: Server, params: types.RenameFilesParams) -> None:
    """Analyses what may read them."""
    uris = (uri for one in params.files for uri in (one.old_uri, one.new_uri))
    paths = {path for uri in uris if (path := path_of(uri)) is not None}
    server.session.changed_on_disk(paths)
