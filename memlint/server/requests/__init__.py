"""What editors ask and tell: a module for each method, with its name as METHOD and its `handle`."""

from __future__ import annotations

from memlint.server.protocol import Handler
from memlint.server.requests import (
    cancel,
    did_change,
    did_change_watched_files,
    did_change_workspace_folders,
    did_close,
    did_open,
    did_save,
    exit,
    hover,
    initialize,
    initialized,
    inlay_hint,
    set_trace,
    shutdown,
)

HANDLERS: dict[str, Handler] = {
    module.METHOD: module.handle
    for module in (
        cancel,
        did_change,
        did_change_watched_files,
        did_change_workspace_folders,
        did_close,
        did_open,
        did_save,
        exit,
        hover,
        initialize,
        initialized,
        inlay_hint,
        set_trace,
        shutdown,
    )
}
