"""`inlayHint/resolve`: what a hint says when one points at it."""

from __future__ import annotations

from lsprotocol import types

from memlint.server.server import Server

METHOD = types.INLAY_HINT_RESOLVE


def handle(server: Server, params: types.InlayHint) -> types.InlayHint:
    """The hint with its tooltip, unless the numbers are others by now."""
    data = params.data if isinstance(params.data, dict) else {}
    uri, line = data.get("uri"), data.get("line")
    project = server.session.project_of(uri) if isinstance(uri, str) else None
    answer = project.answers.get(uri) if project is not None and isinstance(uri, str) else None
    for hint in answer.hints if answer is not None else ():
        if hint.line == line and hint.label == params.label:
            params.tooltip = hint.tooltip
    return params
