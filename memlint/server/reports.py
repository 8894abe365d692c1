"""What was said about each file: pushed to the editor, or kept for it to ask for. Never both."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from lsprotocol import types

REFRESH_SECONDS = 0.05
"""How long changes are gathered before the editor is told to ask again, for all of them at once."""

Diagnostics = tuple[types.Diagnostic, ...]


class Editor(Protocol):
    """Whom it is said to."""

    def publish(self, uri: str, version: int | None, diagnostics: Sequence[types.Diagnostic]) -> None:
        """Replaces the diagnostics of a file."""

    def refresh_diagnostics(self) -> None:
        """Asks the editor to ask for diagnostics again."""


@dataclass(frozen=True, slots=True)
class Said:
    """The diagnostics of a file. `result` is another one whenever they are others; `version` is the
    document's, None for a file that is not open."""

    version: int | None
    diagnostics: Diagnostics
    result: str


class Reports:
    """The newest diagnostics of every file about which anything was ever said."""

    def __init__(self, editor: Editor) -> None:
        self.pulls = False
        self._editor = editor
        self._said: dict[str, Said] = {}
        self._results = 0
        self._refresh: asyncio.TimerHandle | None = None

    def __iter__(self) -> Iterator[tuple[str, Said]]:
        return iter(tuple(self._said.items()))

    def of(self, uri: str) -> Said | None:
        """What was said last about a file."""
        return self._said.get(uri)

    def say(self, uri: str, version: int | None, diagnostics: Diagnostics) -> None:
        """Replaces what is said about a file, and lets the editor know unless it asks by itself."""
        before = self._said.get(uri)
        if before is None and version is None and not diagnostics:
            return
        if before is not None and (before.version, before.diagnostics) == (version, diagnostics):
            return
        is_news = (before.diagnostics if before else ()) != diagnostics
        result = before.result if before is not None and not is_news else self._result()
        self._said[uri] = Said(version, diagnostics, result)
        if not self.pulls:
            self._editor.publish(uri, version, diagnostics)
        elif is_news and (before is None or before.version == version or version is None):
            # An editor asks by itself only after it has changed the document.
            self._refresh_soon()

    def forget(self, uri: str) -> None:
        """A document was closed: nothing is said about it any more."""
        before = self._said.pop(uri, None)
        if before is not None and before.diagnostics and not self.pulls:
            self._editor.publish(uri, None, ())

    def _result(self) -> str:
        self._results += 1
        return str(self._results)

    def _refresh_soon(self) -> None:
        if self._refresh is None:
            self._refresh = asyncio.get_running_loop().call_later(REFRESH_SECONDS, self._tell)

    def _tell(self) -> None:
        self._refresh = None
        self._editor.refresh_diagnostics()
