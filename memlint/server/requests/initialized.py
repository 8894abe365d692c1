"""`initialized`: the editor is ready; time for what need not be done before its first request."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Iterator
from functools import partial

from lsprotocol import types

from memlint.server.preferences import SECTION, preferences_of
from memlint.server.server import Server
from memlint.server.watched import PATTERNS

METHOD = types.INITIALIZED


def handle(server: Server, params: types.InitializedParams) -> None:
    """Asks for the user's settings and to be told of what changes, and warms the converters up."""
    session = server.session
    wanted = [*_watchers()] if session.client.registers_watchers else []
    if session.client.registers_configuration:
        method = types.WORKSPACE_DID_CHANGE_CONFIGURATION
        options = types.DidChangeConfigurationRegistrationOptions(section=SECTION)
        wanted.append(types.Registration("memlint-settings", method, options))
    if wanted:
        server.register(wanted, session.watch if session.client.registers_watchers else lambda: None)
    if session.client.has_configuration:
        server.ask_preferences(lambda found: session.prefer(preferences_of(found)))
    _one_by_one(_warmers(server))


def _watchers() -> Iterator[types.Registration]:
    options = types.DidChangeWatchedFilesRegistrationOptions(
        [types.FileSystemWatcher(pattern) for pattern in PATTERNS]
    )
    method = types.WORKSPACE_DID_CHANGE_WATCHED_FILES
    yield types.Registration("memlint-files", method, options)


def _warmers(server: Server) -> Iterator[Callable[[], object]]:
    """The first message of a kind builds its converter, which takes up to 50 ms: too long for typing."""
    converter = server.protocol.converter
    start = types.Position(0, 0)
    place = types.Range(start, start)
    file = types.TextDocumentIdentifier("file:///")
    change = types.TextDocumentContentChangePartial(place, "")
    samples: tuple[object, ...] = (
        types.DidChangeTextDocumentNotification(
            types.DidChangeTextDocumentParams(types.VersionedTextDocumentIdentifier(0, ""), [change])
        ),
        types.InlayHintRequest(0, types.InlayHintParams(file, place)),
        types.HoverRequest(0, types.HoverParams(file, start)),
        types.CancelNotification(types.CancelParams(0)),
        types.DidSaveTextDocumentNotification(types.DidSaveTextDocumentParams(file)),
    )
    for sample in samples:
        yield partial(_there_and_back, converter, sample)
    yield partial(
        converter.unstructure,
        types.PublishDiagnosticsNotification(
            types.PublishDiagnosticsParams("", [types.Diagnostic(place, "")])
        ),
    )
    yield partial(converter.unstructure, types.InlayHintResponse(0, [types.InlayHint(start, "", tooltip="")]))
    contents = types.MarkupContent(types.MarkupKind.PlainText, "")
    yield partial(converter.unstructure, types.HoverResponse(0, types.Hover(contents, place)))


def _there_and_back(converter: object, sample: object) -> None:
    unstructured = converter.unstructure(sample)  # type: ignore[attr-defined]
    converter.structure(unstructured, type(sample))  # type: ignore[attr-defined]


def _one_by_one(calls: Iterator[Callable[[], object]]) -> None:
    """Makes one call each time the event loop has nothing else to do."""
    call = next(calls, None)
    if call is not None:
        call()
        asyncio.get_running_loop().call_later(0, _one_by_one, calls)
