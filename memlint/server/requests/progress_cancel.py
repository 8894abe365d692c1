"""`window/workDoneProgress/cancel`: nobody wants to wait for what a progress bar shows."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.WINDOW_WORK_DONE_PROGRESS_CANCEL


def handle(server: Server, params: types.WorkDoneProgressCancelParams) -> None:
    """Ends the reading; what was read by then is kept for the next change."""
    server.session.give_up(params.token)
