"""The server: one connection, one session, and the handlers that tie them together."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from typing import Any

from lsprotocol import types
from pygls.lsp.server import LanguageServer

from memlint import __version__
from memlint.server.preferences import SECTION
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

    def refresh_diagnostics(self) -> None:
        """Asks the editor to ask for diagnostics again."""
        self.workspace_diagnostic_refresh(None)

    def refresh_hints(self) -> None:
        """Asks the editor to ask for inlay hints again."""
        self.workspace_inlay_hint_refresh(None)

    def refresh_lenses(self) -> None:
        """Asks the editor to ask for code lenses again."""
        self.workspace_code_lens_refresh(None)

    def begin_progress(self, token: str, title: str) -> None:
        """Shows a progress bar that can be cancelled. (An editor that refuses it ignores what follows.)"""
        self.window_work_done_progress_create(types.WorkDoneProgressCreateParams(token))
        begin = types.WorkDoneProgressBegin(title, cancellable=True, percentage=0)
        self.progress(types.ProgressParams(token, begin))

    def report_progress(self, token: str, message: str, percentage: int) -> None:
        """Moves it."""
        report = types.WorkDoneProgressReport(message=message, percentage=percentage)
        self.progress(types.ProgressParams(token, report))

    def end_progress(self, token: str) -> None:
        """Takes it away."""
        self.progress(types.ProgressParams(token, types.WorkDoneProgressEnd()))

    def register(self, wanted: list[types.Registration], then: Callable[[], None]) -> None:
        """Asks to be told of more; an editor may refuse, whatever it said it can."""

        def answered(done: Future[Any]) -> None:
            if done.exception() is None:
                then()

        self.client_register_capability(types.RegistrationParams(wanted)).add_done_callback(answered)

    def ask_preferences(self, then: Callable[[object], None]) -> None:
        """Asks for the user's settings. An editor that has none may answer with null, or refuse."""

        def answered(done: Future[Any]) -> None:
            if done.exception() is None:
                result = done.result()
                then(result[0] if result else None)

        item = types.ConfigurationItem(section=SECTION)
        self.workspace_configuration(types.ConfigurationParams([item])).add_done_callback(answered)

    def failed(self, where: str, error: Exception) -> None:
        """Tells of a mistake of our own: whole on standard error, in one line in the editor's log."""
        traceback.print_exception(error, file=sys.stderr)
        sys.stderr.flush()
        said = " ".join(f"{type(error).__name__}: {error}".split())
        self.window_log_message(
            types.LogMessageParams(types.MessageType.Error, f"memlint failed at {where}. {said}")
        )
