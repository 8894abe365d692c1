"""Messages to handlers and back. The library turns JSON into objects and keeps our own requests; what it
does about dispatch, cancelling and the life of the process is done here instead."""

from __future__ import annotations

import asyncio
import inspect
import json
import re
from collections.abc import Awaitable, Callable, Mapping
from enum import Enum
from typing import Any

import cattrs
from lsprotocol import types
from pygls.exceptions import (
    JsonRpcException,
    JsonRpcInternalError,
    JsonRpcInvalidParams,
    JsonRpcInvalidRequest,
    JsonRpcMethodNotFound,
    JsonRpcParseError,
    JsonRpcRequestCancelled,
    JsonRpcServerNotInitialized,
)
from pygls.protocol import LanguageServerProtocol

Handler = Callable[[Any, Any], Awaitable[Any] | Any]
"""Takes the server and the parameters, at once and in the order of the messages; what has to wait for
something is returned as an awaitable, after everything that may change meanwhile was looked at."""

Identity = int | str

_SNAKE = re.compile(r"(?<=[a-z])_([a-z])")
"""The library's attributes are the protocol's names in another spelling."""


class Stage(Enum):
    """The life of a session, as the specification has it (LSP 3.17, "Lifecycle Messages")."""

    NEW = "before initialize"
    RUNNING = "initialized"
    ENDING = "after shutdown"


class Wire(LanguageServerProtocol):
    """One connection. `handlers` are ours by method; everything else is unknown to this server."""

    handlers: Mapping[str, Handler]
    stage = Stage.NEW

    def __init__(self, server: Any, converter: cattrs.Converter) -> None:
        super().__init__(server, converter)
        self.converter = converter
        self._ours = server
        self._asked: dict[Identity, asyncio.Future[Any]] = {}

    def _register_builtin_features(self) -> None:
        """None: the library's own handlers keep documents of their own, by other line ends than ours."""

    def receive(self, body: bytes) -> None:
        """Handles the content of one message. Never raises, whatever the content."""
        try:
            data = json.loads(body)
        except (ValueError, RecursionError) as error:
            self._refuse(None, JsonRpcParseError(f"This is no JSON: {error}"))
            return
        if not isinstance(data, dict) or data.get("jsonrpc") != "2.0":
            self._refuse(None, JsonRpcInvalidRequest("This is no JSON-RPC 2.0 message"))
            return
        method, identity = data.get("method"), data.get("id")
        if method is None:
            self._receive_response(data)
        elif not isinstance(method, str) or not isinstance(identity, int | str | None):
            self._refuse(None, JsonRpcInvalidRequest("`method` is a text, `id` a number or a text"))
        elif "id" not in data:
            self._receive_notification(method, data)
        elif identity is not None:
            self._receive_request(method, identity, data)
        else:
            self._refuse(None, JsonRpcInvalidRequest("The `id` of a request is a number or a text"))

    def cancel(self, identity: Identity) -> None:
        """Gives up a request that is still being answered; its answer is then that it was cancelled."""
        if (future := self._asked.get(identity)) is not None:
            future.cancel()

    def cancel_all(self) -> None:
        """Gives up everything that is still being answered."""
        for future in list(self._asked.values()):
            future.cancel()

    def _receive_response(self, data: dict[str, Any]) -> None:
        try:
            self.handle_message(self.structure_message(data))
        except Exception as error:
            # An editor's mistake in answering us; nobody waits for what it would have said.
            self._ours.failed("an answer of the editor", error)

    def _receive_notification(self, method: str, data: dict[str, Any]) -> None:
        handler = self.handlers.get(method)
        if handler is None or (self.stage is not Stage.RUNNING and method != types.EXIT):
            return  # The specification lets a server leave these alone.
        try:
            message = self.structure_message(data)
        except JsonRpcException as error:
            self._ours.failed(f"the parameters of {method}", _unwrapped(error))
            return
        try:
            handler(self._ours, getattr(message, "params", None))
        except Exception as error:
            self._ours.failed(method, error)

    def _receive_request(self, method: str, identity: Identity, data: dict[str, Any]) -> None:
        handler = self.handlers.get(method)
        if self.stage is Stage.NEW and method != types.INITIALIZE:
            self._refuse(identity, JsonRpcServerNotInitialized("`initialize` comes first"))
        elif self.stage is Stage.ENDING:
            self._refuse(identity, JsonRpcInvalidRequest("After `shutdown` only `exit` is left"))
        elif self.stage is Stage.RUNNING and method == types.INITIALIZE:
            self._refuse(identity, JsonRpcInvalidRequest("`initialize` comes once"))
        elif handler is None:
            self._refuse(identity, JsonRpcMethodNotFound(f"This server has no {method}"))
        else:
            self._answer(handler, method, identity, data)

    def _answer(self, handler: Handler, method: str, identity: Identity, data: dict[str, Any]) -> None:
        try:
            message = self.structure_message(data)
        except JsonRpcException as error:
            self._refuse(identity, JsonRpcInvalidParams(f"Invalid parameters: {_unwrapped(error)}"))
            return
        try:
            answer = handler(self._ours, getattr(message, "params", None))
        except Exception as error:
            self._refuse_for(error, method, identity)
            return
        if not inspect.isawaitable(answer):
            self._reply(method, identity, answer)
            return
        future = asyncio.ensure_future(answer)
        self._asked[identity] = future
        future.add_done_callback(lambda done: self._finished(method, identity, done))

    def _finished(self, method: str, identity: Identity, done: asyncio.Future[Any]) -> None:
        self._asked.pop(identity, None)
        if done.cancelled():
            self._refuse(identity, JsonRpcRequestCancelled("Cancelled"))
        elif isinstance(error := done.exception(), Exception):
            self._refuse_for(error, method, identity)
        else:
            self._reply(method, identity, done.result())

    def _refuse_for(self, error: Exception, method: str, identity: Identity) -> None:
        if isinstance(error, JsonRpcException):
            self._refuse(identity, error)
            return
        self._ours.failed(method, error)
        self._refuse(identity, JsonRpcInternalError(f"memlint could not answer: {type(error).__name__}"))

    def _refuse(self, identity: Identity | None, error: JsonRpcException) -> None:
        # Written by hand: the library's type leaves out an `id` that is null, which JSON-RPC asks for.
        told = {"code": error.code, "message": error.message}
        self._write({"jsonrpc": "2.0", "id": identity, "error": told})

    def _reply(self, method: str, identity: Identity, result: object) -> None:
        response = types.METHOD_TO_TYPES[method][1]
        assert response is not None
        self._write(self.converter.unstructure(response(id=identity, result=result)))

    def _write(self, message: object) -> None:
        body = json.dumps(message, separators=(",", ":")).encode("ascii")
        if self.writer is not None:
            self.writer.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))


def _unwrapped(error: BaseException) -> Exception:
    """What is wrong with parameters, place by place, instead of the library's tree of exceptions."""
    cause = error.__cause__
    if isinstance(cause, cattrs.BaseValidationError):
        said = "; ".join(cattrs.transform_error(cause, path="$"))
        return ValueError(_SNAKE.sub(lambda found: found[1].upper(), said))
    return cause if isinstance(cause, Exception) else ValueError(str(error))
