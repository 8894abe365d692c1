"""A server spoken to in bytes, for what no well-behaved editor would do."""

from __future__ import annotations

import json
import queue
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from typing import Any

LIMIT = 30.0

SERVE = [sys.executable, "-m", "memlint", "serve"]


class RawServer:
    """A server process. Every wait has a limit; what it writes is read by threads of its own."""

    def __init__(self, process: subprocess.Popen[bytes]) -> None:
        self.process = process
        self.errors = b""
        self._messages: queue.SimpleQueue[dict[str, Any] | None] = queue.SimpleQueue()
        self._readers = [threading.Thread(target=one, daemon=True) for one in (self._read, self._read_errors)]
        for reader in self._readers:
            reader.start()

    def _read(self) -> None:
        out = self.process.stdout
        assert out is not None
        length = 0
        while line := out.readline():
            name, _, value = line.partition(b":")
            if name == b"Content-Length":
                length = int(value)
            elif line == b"\r\n":
                self._messages.put(json.loads(out.read(length)))
        self._messages.put(None)

    def _read_errors(self) -> None:
        assert self.process.stderr is not None
        for line in self.process.stderr:
            self.errors += line

    def write(self, data: bytes) -> None:
        assert self.process.stdin is not None
        self.process.stdin.write(data)
        self.process.stdin.flush()

    def send_body(self, body: bytes) -> None:
        self.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))

    def send(self, method: str, params: object = None, **more: object) -> None:
        self.send_body(json.dumps({"jsonrpc": "2.0", "method": method, "params": params, **more}).encode())

    def next(self, wanted: Callable[[dict[str, Any]], bool] = lambda _: True) -> dict[str, Any]:
        """The next message that is wanted; others on the way are dropped."""
        while True:
            message = self._messages.get(timeout=LIMIT)
            assert message is not None, f"the server has gone: {self.errors.decode()}"
            if wanted(message):
                return message

    def waiting(self) -> Iterator[dict[str, Any]]:
        """The messages that are here already; none is waited for."""
        while True:
            try:
                message = self._messages.get_nowait()
            except queue.Empty:
                return
            assert message is not None, f"the server has gone: {self.errors.decode()}"
            yield message

    def answer(self, identity: object) -> dict[str, Any]:
        return self.next(lambda message: message.get("id") == identity and "method" not in message)

    def told(self, method: str) -> dict[str, Any]:
        params = self.next(lambda message: message.get("method") == method)["params"]
        assert isinstance(params, dict)
        return params

    def initialize(self, process: int | None = None, capabilities: object = None) -> dict[str, Any]:
        self.send("initialize", {"processId": process, "capabilities": capabilities or {}}, id="first")
        answer = self.answer("first")
        self.send("initialized", {})
        return answer

    def open(self, uri: str, text: str, version: int = 1) -> None:
        item = {"uri": uri, "languageId": "systemverilog", "version": version, "text": text}
        self.send("textDocument/didOpen", {"textDocument": item})

    def end(self) -> None:
        assert self.process.stdin is not None
        self.process.stdin.close()

    def code(self) -> int:
        """The exit code, once it has left by itself."""
        code = self.process.wait(LIMIT)
        for reader in self._readers:
            reader.join(LIMIT)
        return code


@contextmanager
def serving(*arguments: str, code: str | None = None) -> Iterator[RawServer]:
    """A server; with `code`, one that runs it first, in the same process."""
    command = [*SERVE, *arguments]
    if code is not None:
        run = "from memlint.cli.main import main; raise SystemExit(main(['serve']))"
        command = [sys.executable, "-c", f"{code}\n{run}"]
    pipe = subprocess.PIPE
    with subprocess.Popen(command, stdin=pipe, stdout=pipe, stderr=pipe) as process:
        try:
            yield RawServer(process)
        finally:
            process.kill()
            if process.stdin is not None and not process.stdin.closed:
                with suppress(BrokenPipeError):
                    process.stdin.close()
