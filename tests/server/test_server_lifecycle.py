"""How a server ends, and what it does with messages that are wrong. Exit codes and error codes are those
of the Language Server Protocol 3.17 and JSON-RPC 2.0; those of signals are a shell's (POSIX)."""

from __future__ import annotations

import json
import signal
import subprocess
import sys

import pytest
from belt_sources import REJECT_COUNT
from raw_server import LIMIT, SERVE, RawServer, serving

PARSE_ERROR = -32700
INVALID_REQUEST = -32600
METHOD_NOT_FOUND = -32601
INVALID_PARAMS = -32602
INTERNAL_ERROR = -32603
NOT_INITIALIZED = -32002

INITIALIZE = {
    "jsonrpc": "2.0",
    "id": 1,
    "method": "initialize",
    "params": {"processId": None, "capabilities": {}},
}

posix = pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")


def goodbye(server: RawServer) -> int:
    server.send("shutdown", id="bye")
    assert server.answer("bye")["result"] is None
    server.send("exit")
    return server.code()


def test_from_start_to_exit() -> None:
    with serving("--stdio") as server:
        capabilities = server.initialize()["result"]["capabilities"]
        assert capabilities["positionEncoding"] == "utf-16"
        assert goodbye(server) == 0
        assert b"Traceback" not in server.errors


def test_leaving_without_a_goodbye() -> None:
    with serving() as server:
        server.initialize()
        server.send("exit")
        assert server.code() == 1


def test_the_input_ends() -> None:
    with serving() as server:
        server.initialize()
        server.end()
        assert server.code() == 1


def test_the_input_ends_within_a_message() -> None:
    with serving() as server:
        server.write(b"Content-Length: 100\r\n\r\n{")
        server.end()
        assert server.code() == 1


def test_the_input_ends_after_a_goodbye() -> None:
    with serving() as server:
        server.initialize()
        server.send("shutdown", id=1)
        server.answer(1)
        server.end()
        assert server.code() == 0


def test_the_output_is_closed() -> None:
    pipe = subprocess.PIPE
    with subprocess.Popen(SERVE, stdin=pipe, stdout=pipe, stderr=pipe) as process:
        assert process.stdout is not None and process.stderr is not None and process.stdin is not None
        process.stdout.close()
        body = json.dumps(INITIALIZE).encode()
        process.stdin.write(b"Content-Length: %d\r\n\r\n%b" % (len(body), body))
        process.stdin.flush()
        assert process.wait(LIMIT) == 1
        assert b"Traceback" not in process.stderr.read()


@posix
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_signals(number: signal.Signals) -> None:
    with serving() as server:
        server.initialize()
        server.process.send_signal(number)
        assert server.code() == 128 + number
        assert b"Traceback" not in server.errors


@pytest.mark.parametrize("by", ["argument", "initialize"])
def test_the_editor_dies_but_the_pipes_stay_open(by: str) -> None:
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as editor:
        arguments = [f"--clientProcessId={editor.pid}"] if by == "argument" else []
        with serving("--stdio", *arguments) as server:
            server.initialize(editor.pid if by == "initialize" else None)
            server.send("shutdown-not", id=1)
            server.answer(1)
            editor.kill()
            assert server.code() == 1


def test_an_editor_whose_number_means_nothing_here() -> None:
    with subprocess.Popen([sys.executable, "-c", ""]) as gone:
        gone.wait()
    with serving(f"--clientProcessId={gone.pid}") as server:
        server.initialize(gone.pid)
        assert goodbye(server) == 0


def test_a_goodbye_while_answers_are_awaited() -> None:
    with serving() as server:
        server.initialize()
        server.open("untitled:one", REJECT_COUNT)
        place = {"textDocument": {"uri": "untitled:one"}, "position": {"line": 7, "character": 19}}
        server.send("textDocument/hover", place, id="asked")
        server.send("shutdown", id="bye")
        first, second = server.next(is_answer), server.next(is_answer)
        answers = {one["id"]: one for one in (first, second)}
        assert answers["bye"]["result"] is None
        assert "error" in answers["asked"] or "result" in answers["asked"]
        server.send("exit")
        assert server.code() == 0


def is_answer(message: dict[str, object]) -> bool:
    return "method" not in message


def test_the_order_of_a_session() -> None:
    with serving() as server:
        server.send("textDocument/hover", {}, id=1)
        assert server.answer(1)["error"]["code"] == NOT_INITIALIZED
        server.initialize()
        server.send("initialize", {"processId": None, "capabilities": {}}, id=2)
        assert server.answer(2)["error"]["code"] == INVALID_REQUEST
        server.send("shutdown", id=3)
        server.answer(3)
        server.send("shutdown", id=4)
        assert server.answer(4)["error"]["code"] == INVALID_REQUEST
        server.send("exit")
        assert server.code() == 0


def test_messages_that_are_wrong() -> None:
    with serving() as server:
        server.initialize()
        for body, code in (
            (b"{", PARSE_ERROR),
            (b"\xff\xfe", PARSE_ERROR),
            (b"[" * 100_000, PARSE_ERROR),
            (b"[]", INVALID_REQUEST),
            (b"7", INVALID_REQUEST),
            (b'{"method": "shutdown", "id": 1}', INVALID_REQUEST),
            (b'{"jsonrpc": "2.0", "method": 7, "id": 1}', INVALID_REQUEST),
            (b'{"jsonrpc": "2.0", "method": "shutdown", "id": {}}', INVALID_REQUEST),
            (b'{"jsonrpc": "2.0", "method": "shutdown", "id": null}', INVALID_REQUEST),
        ):
            server.send_body(body)
            answer = server.next(is_answer)
            assert (answer["id"], answer["error"]["code"]) == (None, code), body[:40]
        server.send("no/such", {}, id=5)
        assert server.answer(5)["error"]["code"] == METHOD_NOT_FOUND
        assert goodbye(server) == 0


def test_parameters_that_are_wrong() -> None:
    start = {"line": 0, "character": 0}
    wrong = (
        ("textDocument/hover", {"textDocument": 3, "position": start}, "textDocument"),
        ("textDocument/hover", {"textDocument": {"uri": "a:b"}, "position": {"line": "x"}}, "position.line"),
        ("textDocument/hover", {}, "textDocument"),
        ("textDocument/hover", None, "params"),
        ("textDocument/inlayHint", [], "params"),
    )
    with serving() as server:
        server.initialize()
        for method, params, place in wrong:
            server.send(method, params, id=1)
            error = server.answer(1)["error"]
            assert error["code"] == INVALID_PARAMS
            assert place in error["message"] and "Traceback" not in error["message"]
        # In a notification: no pop-up, a line in the log. Nothing is broken, the session goes on.
        server.send("textDocument/didOpen", {"textDocument": {"uri": "untitled:one"}})
        assert "didOpen" in server.told("window/logMessage")["message"]
        server.open("untitled:one", REJECT_COUNT)
        assert server.told("textDocument/publishDiagnostics")["diagnostics"][0]["code"] == "shape-drift"
        assert goodbye(server) == 0


def test_headers_in_any_case_and_in_pieces() -> None:
    body = json.dumps(INITIALIZE).encode()
    with serving() as server:
        for piece in (b"\r\ncontent-TYPE: application/vscode-jsonrpc; charset=utf-8\r\nCONTENT-", b"length:"):
            server.write(piece)
        server.write(b"%d\r\n\r" % len(body))
        server.write(b"\n" + body[:20])
        server.write(body[20:])
        assert server.answer(1)["result"]["serverInfo"]["name"] == "memlint"
        assert goodbye(server) == 0


def test_a_mistake_of_our_own_in_a_request() -> None:
    broken = """
import memlint.server.requests as requests
def handle(server, params):
    print("a stray word")
    raise KeyError("ours")
requests.HANDLERS["textDocument/hover"] = handle
"""
    with serving(code=broken) as server:
        server.initialize()
        place = {"textDocument": {"uri": "untitled:one"}, "position": {"line": 0, "character": 0}}
        server.send("textDocument/hover", place, id=1)
        logged = server.told("window/logMessage")
        assert logged["type"] == 1
        assert "KeyError" in logged["message"] and "\n" not in logged["message"]
        error = server.answer(1)["error"]
        assert error["code"] == INTERNAL_ERROR
        assert "Traceback" not in str(error)
        # What is printed by mistake never ends up between two messages.
        assert goodbye(server) == 0
        assert b"Traceback" in server.errors and b"a stray word" in server.errors


def test_a_mistake_of_our_own_in_an_analysis() -> None:
    broken = """
from memlint.engine import Engine
judge = Engine.judge
def judge_unless(self):
    if any("explode" in text for text in self.texts.overlay.values()):
        raise ZeroDivisionError("ours")
    return judge(self)
Engine.judge = judge_unless
"""
    with serving(code=broken) as server:
        server.initialize()
        uri = "untitled:one"
        server.open(uri, REJECT_COUNT)
        assert server.told("textDocument/publishDiagnostics")["diagnostics"]
        change(server, uri, 2, "// explode\n" + REJECT_COUNT)
        # Told in the log; the findings before it stay: the next that is published is of the mended text.
        assert "ZeroDivisionError" in server.next(is_log_or_findings)["params"]["message"]
        whole = {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}
        server.send("textDocument/inlayHint", {"textDocument": {"uri": uri}, "range": whole}, id="hints")
        (hint,) = server.answer("hints")["result"]
        assert hint["position"]["line"] == 8
        change(server, uri, 3, REJECT_COUNT.replace("512", "256"))
        published = server.told("textDocument/publishDiagnostics")
        assert (published["version"], len(published["diagnostics"])) == (3, 1)
        assert goodbye(server) == 0
        assert b"ZeroDivisionError" in server.errors


def is_log_or_findings(message: dict[str, object]) -> bool:
    return message.get("method") in ("window/logMessage", "textDocument/publishDiagnostics")


def change(server: RawServer, uri: str, version: int, text: str) -> None:
    identity = {"uri": uri, "version": version}
    server.send("textDocument/didChange", {"textDocument": identity, "contentChanges": [{"text": text}]})
