"""The server: one connection, one session, and the handlers that tie them together."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Sequence

from lsprotocol import types
from pygls.lsp.server import LanguageServer

from memlint import __version__
from memlint.server.protocol import Wire
from memlint.server.session import Session

NAME = "memlint"


class Server(LanguageServer):
    """What a handler is given: the session, and the editor to talk to.

    `stop` ends the process with an exit code; `watch` begins to watch a process that it must not outlive.
    """

    protocol: Wire

    def __init__(self, stop: Callable[[int], None], watch: Callable[[int], None]) -> None:
        super().__init__(NAME, __version__, protocol_cls=Wire)
        self.stop = stop
        self.watch = watch
        self.session = Session(self)

    def publish(self, uri: str, version: int | None, diagnostics: Sequence[types.Diagnostic]) -> None:
        """Replaces the diagnostics of a file."""
        self.text_document_publish_diagnostics(
            types.PublishDiagnosticsParams(uri=uri, diagnostics=list(diagnostics), version=version)
        )

    def refresh_hints(self) -> None:
        """Asks the editor to ask for inlay hints again."""
        self.workspace_inlay_hint_refresh(None)

    def failed(self, where: str, error: Exception) -> None:
        """Tells of a mistake of our own: whole on standard error, in one line in the editor's log."""
        traceback.print_exception(error, file=sys.stderr)
        sys.stderr.flush()
        said = " ".join(f"{type(error).__name__}: {error}".split())
        self.window_log_message(
            types.LogMessageParams(types.MessageType.Error, f"memlint failed at {where}. {said}")
        )
