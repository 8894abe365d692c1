"""An editor in the tests' hands: real messages to a real server process, with a model of its own of every
text and of how columns are counted (by encoding the text before them, not by the code under test)."""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest_lsp
from lsprotocol import types
from pygls.protocol import default_converter
from pytest_lsp.client import DEFAULT_CLIENT_FEATURES, LanguageClient, register_lsp_features

COMMAND = [sys.executable, "-m", "memlint", "serve", "--stdio"]
LIMIT = 30.0
"""Seconds after which something that was to come is held not to come at all."""

_UNIT = {"utf-8": ("utf-8", 1), "utf-16": ("utf-16-le", 2), "utf-32": ("utf-32-le", 4)}


def units(text: str, encoding: str) -> int:
    """How many code units of an encoding a text takes."""
    codec, size = _UNIT[encoding]
    return len(text.encode(codec)) // size


@dataclass
class Published:
    version: int | None
    diagnostics: Sequence[types.Diagnostic]


@dataclass
class Editor:
    """One running server. `published` has everything it said about a URI, in order."""

    client: LanguageClient
    encoding: str
    capabilities: types.ServerCapabilities
    published: dict[str, list[Published]] = field(default_factory=dict)
    refreshes: int = 0
    lens_refreshes: int = 0
    diagnostic_refreshes: int = 0
    settings: object = None
    asked_settings: int = 0
    progress: list[tuple[str, object]] = field(default_factory=list)
    shown: list[str] = field(default_factory=list)
    registered: list[types.Registration] = field(default_factory=list)
    texts: dict[str, str] = field(default_factory=dict)
    versions: dict[str, int] = field(default_factory=dict)
    _news: asyncio.Event = field(default_factory=asyncio.Event)

    # Waiting

    async def until(self, holds: Callable[[], bool]) -> None:
        """Waits for something that a message from the server brings about."""

        async def wait() -> None:
            while not holds():
                self._news.clear()
                await self._news.wait()

        await asyncio.wait_for(wait(), LIMIT)

    def heard(self) -> None:
        self._news.set()

    async def findings(self, path: Path) -> Sequence[types.Diagnostic]:
        """The diagnostics of the text as it is now."""
        uri = path.as_uri()

        def current() -> bool:
            said = self.published.get(uri)
            return bool(said) and said[-1].version == self.versions[uri]

        await self.until(current)
        return self.published[uri][-1].diagnostics

    async def rules(self, path: Path) -> list[str]:
        """The rules of the findings of the text as it is now."""
        return [str(one.code) for one in await self.findings(path)]

    # Texts

    def open(self, path: Path, text: str | None = None, version: int = 1) -> None:
        self.open_uri(path.as_uri(), path.read_bytes().decode() if text is None else text, version)

    def open_uri(self, uri: str, text: str, version: int = 1, language: str = "systemverilog") -> None:
        self.texts[uri], self.versions[uri] = text, version
        item = types.TextDocumentItem(uri, language, version, text)
        self.client.text_document_did_open(types.DidOpenTextDocumentParams(item))

    def replace(self, path: Path, *edits: tuple[str, str]) -> None:
        """Replaces the first occurrence of each text, all in one message."""
        uri = path.as_uri()
        changes: list[types.TextDocumentContentChangeEvent] = []
        for old, new in edits:
            text = self.texts[uri]
            at = text.index(old)
            place = types.Range(self.position(text, at), self.position(text, at + len(old)))
            changes.append(types.TextDocumentContentChangePartial(place, new))
            self.texts[uri] = text[:at] + new + text[at + len(old) :]
        self.versions[uri] += 1
        self.send_change(uri, self.versions[uri], changes)

    def send_change(
        self, uri: str, version: int, changes: Sequence[types.TextDocumentContentChangeEvent]
    ) -> None:
        identity = types.VersionedTextDocumentIdentifier(version, uri)
        self.client.text_document_did_change(types.DidChangeTextDocumentParams(identity, list(changes)))

    def save(self, path: Path) -> None:
        path.write_bytes(self.texts[path.as_uri()].encode())
        identity = types.TextDocumentIdentifier(path.as_uri())
        self.client.text_document_did_save(types.DidSaveTextDocumentParams(identity))

    def close(self, path: Path) -> None:
        self._close(path.as_uri())

    def _close(self, uri: str) -> None:
        del self.texts[uri], self.versions[uri]
        self.client.text_document_did_close(
            types.DidCloseTextDocumentParams(types.TextDocumentIdentifier(uri))
        )

    async def close_all(self) -> None:
        """Closes every document and waits until nothing is found in any file."""
        for uri in list(self.texts):
            self._close(uri)
        await self.until(lambda: not any(said[-1].diagnostics for said in self.published.values()))
        self.published.clear()

    def position(self, text: str, offset: int) -> types.Position:
        before = text[:offset].replace("\r\n", "\n").replace("\r", "\n")
        line = before.rpartition("\n")[2]
        return types.Position(before.count("\n"), units(line, self.encoding))

    def covered(self, path: Path, place: types.Range) -> str:
        """The text that a range of the server covers."""
        text = self.texts[path.as_uri()]
        lines = text.replace("\r\n", "\n").split("\n")
        codec, size = _UNIT[self.encoding]
        assert place.start.line == place.end.line
        line = lines[place.start.line].encode(codec)
        return line[place.start.character * size : place.end.character * size].decode(codec)

    # Requests

    async def hints(self, path: Path) -> dict[int, str]:
        """The hint of each line, lines from 1."""
        whole = types.Range(types.Position(0, 0), types.Position(100_000, 0))
        params = types.InlayHintParams(types.TextDocumentIdentifier(path.as_uri()), whole)
        answer = await asyncio.wait_for(self.client.text_document_inlay_hint_async(params), LIMIT)
        return {one.position.line + 1: str(one.label) for one in answer or ()}

    async def hover(self, path: Path, marked: str, into: int = 0) -> types.Hover | None:
        """The hover on the first occurrence of a text, so many characters into it."""
        text = self.texts[path.as_uri()]
        place = self.position(text, text.index(marked) + into)
        params = types.HoverParams(types.TextDocumentIdentifier(path.as_uri()), place)
        return await asyncio.wait_for(self.client.text_document_hover_async(params), LIMIT)

    async def ask(self, method: str, params: object) -> Any:
        """The answer to any request."""
        return await asyncio.wait_for(self.client.protocol.send_request_async(method, params), LIMIT)

    def at(self, path: Path, marked: str, into: int = 0) -> dict[str, Any]:
        """Document and position of the first occurrence of a text, so many characters into it."""
        text = self.texts[path.as_uri()]
        place = self.position(text, text.index(marked) + into)
        return {"text_document": types.TextDocumentIdentifier(path.as_uri()), "position": place}

    def applied(self, uri: str, edits: Sequence[Any]) -> str:
        """A document's text after edits, which must not overlap."""
        text = self.texts[uri]
        spans = []
        for edit in edits:
            new = edit.new_text if hasattr(edit, "new_text") else edit.snippet.value
            spans.append((self.offset(text, edit.range.start), self.offset(text, edit.range.end), new))
        spans.sort(key=lambda one: one[:2])
        for (_, end, _), (start, _, _) in pairwise(spans):
            assert end <= start, "edits overlap"
        for start, end, new in reversed(spans):
            text = text[:start] + new + text[end:]
        return text

    def offset(self, text: str, place: types.Position) -> int:
        codec, size = _UNIT[self.encoding]
        lines = text.split("\n")
        before = sum(len(line) + 1 for line in lines[: place.line])
        line = lines[place.line].encode(codec)[: place.character * size].decode(codec)
        return before + len(line)

    async def leave(self) -> int:
        """Says goodbye as the specification has it; the exit code of the server."""
        await asyncio.wait_for(self.client.shutdown_session(), LIMIT)
        await asyncio.wait_for(self.client.stop(), LIMIT)
        server = self.client._server
        assert server is not None and server.returncode is not None
        return server.returncode


async def start(
    encodings: Sequence[str] | None,
    abilities: types.ClientCapabilities | None = None,
    command: Sequence[str] = COMMAND,
    settings: object = None,
) -> Editor:
    """A server, initialized by an editor that offers these encodings (None: says nothing of them) and
    answers with these settings when it is asked."""
    editor: list[Editor] = []
    features: dict[str, Any] = dict(DEFAULT_CLIENT_FEATURES)

    def published(params: types.PublishDiagnosticsParams) -> None:
        editor[0].published.setdefault(params.uri, []).append(Published(params.version, params.diagnostics))
        editor[0].heard()

    def refresh(_: None) -> None:
        editor[0].refreshes += 1
        editor[0].heard()

    def refresh_lenses(_: None) -> None:
        editor[0].lens_refreshes += 1
        editor[0].heard()

    def refresh_diagnostics(_: None) -> None:
        editor[0].diagnostic_refreshes += 1
        editor[0].heard()

    def configuration(params: types.ConfigurationParams) -> list[object]:
        editor[0].asked_settings += 1
        editor[0].heard()
        return [editor[0].settings for _ in params.items]

    def show_document(params: types.ShowDocumentParams) -> types.ShowDocumentResult:
        editor[0].shown.append(params.uri)
        editor[0].heard()
        return types.ShowDocumentResult(True)

    def show_message(params: types.ShowMessageParams) -> None:
        editor[0].shown.append(params.message)
        editor[0].heard()

    def register(params: types.RegistrationParams) -> None:
        editor[0].registered.extend(params.registrations)
        editor[0].heard()

    def make() -> LanguageClient:
        client = LanguageClient(converter_factory=default_converter)
        log = features[types.WINDOW_LOG_MESSAGE]

        def logged(params: types.LogMessageParams) -> None:
            log(client, params)
            editor[0].heard()

        features[types.TEXT_DOCUMENT_PUBLISH_DIAGNOSTICS] = published
        features[types.WORKSPACE_INLAY_HINT_REFRESH] = refresh
        features[types.WORKSPACE_CODE_LENS_REFRESH] = refresh_lenses
        features[types.WORKSPACE_DIAGNOSTIC_REFRESH] = refresh_diagnostics
        features[types.WORKSPACE_CONFIGURATION] = configuration
        features[types.WINDOW_SHOW_DOCUMENT] = show_document
        features[types.WINDOW_SHOW_MESSAGE] = show_message
        features[types.CLIENT_REGISTER_CAPABILITY] = register
        features[types.WINDOW_LOG_MESSAGE] = logged
        register_lsp_features(client, features)
        return client

    client = await pytest_lsp.ClientServerConfig(list(command), make).start()
    assert isinstance(client, LanguageClient)
    abilities = abilities or types.ClientCapabilities()
    if encodings is not None:
        abilities.general = types.GeneralClientCapabilities(position_encodings=list(encodings))
    editor.append(Editor(client, "utf-16", types.ServerCapabilities(), settings=settings))
    answer = await asyncio.wait_for(
        client.initialize_session(types.InitializeParams(capabilities=abilities)), LIMIT
    )
    editor[0].capabilities = answer.capabilities
    encoding = answer.capabilities.position_encoding
    assert encoding is not None
    editor[0].encoding = encoding.value if isinstance(encoding, types.PositionEncodingKind) else encoding
    return editor[0]
