"""What no editor should do. Each case ends in a reply or in an error that LSP 3.17 or JSON-RPC 2.0 has for it,
nothing pops up, and the server goes on: after each it still judges a document rightly."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from belt_sources import REJECT_COUNT
from raw_server import RawServer, serving

PARSE_ERROR, INVALID_REQUEST, METHOD_NOT_FOUND, INVALID_PARAMS = -32700, -32600, -32601, -32602
CONTENT_MODIFIED, CANCELLED, FAILED = -32801, -32800, -32803

URI = "untitled:chaos.sv"
HERE = {"uri": URI}
START = {"line": 0, "character": 0}
FAR = {"line": 2**31 - 1, "character": 2**31 - 1}
WHOLE = {"start": START, "end": FAR}
CONTEXT: dict[str, Any] = {"diagnostics": []}


@dataclass(frozen=True)
class Asked:
    """A request; `codes` are the errors that may answer it, none where only a result will do."""

    name: str
    method: str
    params: object
    codes: tuple[int, ...] = ()


REQUESTS = (
    Asked("hover far away", "textDocument/hover", {"textDocument": HERE, "position": FAR}),
    Asked("hover in a file that is not open", "textDocument/hover", {"textDocument": {"uri": "file:///no.sv"}, "position": START}),
    Asked("hover in what is no URI", "textDocument/hover", {"textDocument": {"uri": "%%%:["}, "position": START}),
    Asked("a negative line", "textDocument/hover", {"textDocument": HERE, "position": {"line": -1, "character": 0}}, (INVALID_PARAMS,)),
    Asked("half a line is its whole one", "textDocument/hover", {"textDocument": HERE, "position": {"line": 1.5, "character": 0}}),
    Asked("no position", "textDocument/hover", {"textDocument": HERE}, (INVALID_PARAMS,)),
    Asked("a URI that is a number names no document", "textDocument/hover", {"textDocument": {"uri": 7}, "position": START}),
    Asked("parameters that are a list", "textDocument/codeAction", [1, 2], (INVALID_PARAMS,)),
    Asked("parameters that are null", "textDocument/completion", None, (INVALID_PARAMS,)),
    Asked("hints of a range that is turned", "textDocument/inlayHint", {"textDocument": HERE, "range": {"start": FAR, "end": START}}),
    Asked("actions for everything", "textDocument/codeAction", {"textDocument": HERE, "range": WHOLE, "context": CONTEXT}),
    Asked("actions of a kind nobody has", "textDocument/codeAction", {"textDocument": HERE, "range": WHOLE, "context": {"diagnostics": [], "only": ["", "no.such"]}}),
    Asked("actions without a context", "textDocument/codeAction", {"textDocument": HERE, "range": WHOLE}, (INVALID_PARAMS,)),
    Asked("an action of someone else", "codeAction/resolve", {"title": "theirs"}, (INVALID_PARAMS,)),
    Asked("an action with data that is no object", "codeAction/resolve", {"title": "x", "data": [1]}, (INVALID_PARAMS,)),
    Asked("an action that was never offered", "codeAction/resolve", {"title": "x", "data": {"uri": URI, "key": ["fix", "no"]}}, (CONTENT_MODIFIED,)),
    Asked("an action with a key of other things", "codeAction/resolve", {"title": "x", "data": {"uri": URI, "key": [None, {}]}}, (INVALID_PARAMS,)),
    Asked("an action of a closed document", "codeAction/resolve", {"title": "x", "data": {"uri": "a:b", "key": ["fix"]}}, (CONTENT_MODIFIED,)),
    Asked("completion far away", "textDocument/completion", {"textDocument": HERE, "position": FAR}),
    Asked("an item of someone else", "completionItem/resolve", {"label": "theirs", "data": 7}),
    Asked("an item about nothing", "completionItem/resolve", {"label": "x", "data": {"about": ["tier", None], "uri": {}}}),
    Asked("a hint of someone else", "inlayHint/resolve", {"position": START, "label": "x", "data": {"uri": 7, "line": "a"}}),
    Asked("a hint that is gone", "inlayHint/resolve", {"position": START, "label": "x", "data": {"uri": URI, "line": 99}}),
    Asked("links of a closed document", "textDocument/documentLink", {"textDocument": {"uri": "a:b"}}),
    Asked("symbols with strange letters", "workspace/symbol", {"query": "\u0000\U0001f33e[(*"}),
    Asked("a very long query", "workspace/symbol", {"query": "x" * 100_000}),
    Asked("the name of nothing", "textDocument/rename", {"textDocument": HERE, "position": START, "newName": "x"}, (FAILED,)),
    Asked("a name far away", "textDocument/prepareRename", {"textDocument": HERE, "position": FAR}),
    Asked("calls of a unit that is not there", "callHierarchy/incomingCalls", {"item": {"name": "x", "kind": 2, "uri": URI, "range": WHOLE, "selectionRange": WHOLE, "data": {"uri": URI, "unit": "no"}}}),
    Asked("calls of an item of someone else", "callHierarchy/outgoingCalls", {"item": {"name": "x", "kind": 2, "uri": URI, "range": WHOLE, "selectionRange": WHOLE}}),
    Asked("tokens of a range that is turned", "textDocument/semanticTokens/range", {"textDocument": HERE, "range": {"start": FAR, "end": START}}),
    Asked("formatting without options", "textDocument/formatting", {"textDocument": HERE}, (INVALID_PARAMS,)),
    Asked("formatting a range far away", "textDocument/rangeFormatting", {"textDocument": HERE, "range": {"start": FAR, "end": FAR}, "options": {"tabSize": 0, "insertSpaces": True}}),
    Asked("a command that is not there", "workspace/executeCommand", {"command": "rm -rf"}, (INVALID_PARAMS,)),
    Asked("a command without its document", "workspace/executeCommand", {"command": "memlint.overview", "arguments": []}),
    Asked("a command about a closed document", "workspace/executeCommand", {"command": "memlint.overview", "arguments": ["a:b"]}, (FAILED,)),
    Asked("a command about a number", "workspace/executeCommand", {"command": "memlint.whichConfiguration", "arguments": [7]}, (INVALID_PARAMS,)),
    Asked("findings for an editor that is told", "textDocument/diagnostic", {"textDocument": HERE}),
    Asked("findings of the workspace likewise", "workspace/diagnostic", {"previousResultIds": []}),
    Asked("a method nobody has", "textDocument/everything", {}, (METHOD_NOT_FOUND,)),
    Asked("a method with no name", "", {}, (METHOD_NOT_FOUND,)),
    Asked("initialize once more", "initialize", {"processId": None, "capabilities": {}}, (INVALID_REQUEST,)),
    Asked("definition of a place in no line", "textDocument/definition", {"textDocument": HERE, "position": FAR}),
    Asked("references without a context", "textDocument/references", {"textDocument": HERE, "position": START}, (INVALID_PARAMS,)),
    Asked("lenses of a folder", "textDocument/codeLens", {"textDocument": {"uri": "file:///"}}),
)  # fmt: skip


def change(params: object) -> dict[str, object]:
    return {"method": "textDocument/didChange", "params": params}


NOTIFICATIONS: dict[str, list[dict[str, object]]] = {
    "a change of a closed document": [
        change({"textDocument": {"uri": "a:b", "version": 2}, "contentChanges": [{"text": "x"}]})
    ],
    "a change with no changes": [change({"textDocument": {"uri": URI, "version": 9}, "contentChanges": []})],
    "a change of an old version": [
        change({"textDocument": {"uri": URI, "version": -5}, "contentChanges": [{"text": "x"}]})
    ],
    "a change without a version": [change({"textDocument": HERE, "contentChanges": [{"text": "x"}]})],
    "a change of text that is none": [
        change({"textDocument": {"uri": URI, "version": 9}, "contentChanges": [{"text": 7}]})
    ],
    "a change far away and turned": [
        change(
            {
                "textDocument": {"uri": URI, "version": 10},
                "contentChanges": [{"range": {"start": FAR, "end": START}, "text": ""}],
            }
        )
    ],
    "half a character": [
        change({"textDocument": {"uri": URI, "version": 11}, "contentChanges": [{"text": "\ud83c// @mem"}]})
    ],
    "zero bytes": [
        change(
            {"textDocument": {"uri": URI, "version": 12}, "contentChanges": [{"text": '\0`include "a\0b"\n'}]}
        )
    ],
    "opened twice": [
        {
            "method": "textDocument/didOpen",
            "params": {"textDocument": {**HERE, "languageId": "x", "version": version, "text": "module"}},
        }
        for version in (3, 1)
    ],
    "closed twice": [{"method": "textDocument/didClose", "params": {"textDocument": HERE}}] * 2,
    "saved while closed": [
        {"method": "textDocument/didClose", "params": {"textDocument": HERE}},
        {"method": "textDocument/didSave", "params": {"textDocument": HERE}},
    ],
    "a request that was never made is given up": [{"method": "$/cancelRequest", "params": {"id": "never"}}],
    "a progress that was never shown is given up": [
        {"method": "window/workDoneProgress/cancel", "params": {"token": 7}}
    ],
    "files that are none": [
        {
            "method": "workspace/didChangeWatchedFiles",
            "params": {"changes": [{"uri": "a:b", "type": 1}, {"uri": "file:///no/memlint.toml", "type": 3}]},
        },
        {"method": "workspace/didRenameFiles", "params": {"files": [{"oldUri": "", "newUri": "%"}]}},
        {"method": "workspace/didDeleteFiles", "params": {"files": []}},
    ],
    "settings of all kinds": [
        {"method": "workspace/didChangeConfiguration", "params": {"settings": settings}}
        for settings in (None, [], 7, "x", {"memlint": None}, {"memlint": {"hints": [1], "codeLens": "no"}})
    ],
    "a notification nobody has": [{"method": "workspace/didEverything", "params": {}}, {"method": "$/x"}],
    "folders that go": [
        {
            "method": "workspace/didChangeWorkspaceFolders",
            "params": {"event": {"added": [], "removed": [{"uri": "file:///no", "name": "no"}]}},
        }
    ],
}


@pytest.fixture(scope="module")
def server() -> Iterator[RawServer]:
    abilities = {
        "textDocument": {
            "codeAction": {
                "codeActionLiteralSupport": {"codeActionKind": {"valueSet": []}},
                "dataSupport": True,
                "resolveSupport": {"properties": ["edit"]},
            }
        }
    }
    with serving() as one:
        one.initialize(capabilities=abilities)
        yield one
        one.send("shutdown", id="bye")
        assert one.answer("bye")["result"] is None
        one.send("exit")
        assert one.code() == 0
        # Wrong parameters of notifications are told in the log, in one line; nothing of ours failed.
        assert b'File "' not in one.errors


def reopen(server: RawServer) -> None:
    server.send("textDocument/didClose", {"textDocument": HERE})
    server.open(URI, REJECT_COUNT)


def still_right(server: RawServer) -> None:
    """The server judges a document as it should, and has asked for nobody's attention meanwhile."""
    reopen(server)
    while True:
        message = server.next()
        assert message.get("method") not in ("window/showMessage", "window/showMessageRequest")
        if message.get("method") != "textDocument/publishDiagnostics" or message["params"]["uri"] != URI:
            continue
        if [one["code"] for one in message["params"]["diagnostics"]] == ["shape-drift"]:
            return


@pytest.mark.parametrize("asked", REQUESTS, ids=lambda asked: asked.name)
def test_a_request(server: RawServer, asked: Asked) -> None:
    reopen(server)
    server.send(asked.method, asked.params, id="asked")
    answer = server.answer("asked")
    if asked.codes:
        assert answer["error"]["code"] in asked.codes
        assert answer["error"]["message"] and "Traceback" not in answer["error"]["message"]
    else:
        assert "result" in answer and "error" not in answer
    still_right(server)


@pytest.mark.parametrize("name", NOTIFICATIONS)
def test_a_notification(server: RawServer, name: str) -> None:
    reopen(server)
    for one in NOTIFICATIONS[name]:
        server.send(str(one["method"]), one.get("params"))
    still_right(server)


def test_answers_to_questions_never_asked(server: RawServer) -> None:
    for body in (
        {"jsonrpc": "2.0", "id": "never", "result": None},
        {"jsonrpc": "2.0", "id": 7, "error": {"code": 1, "message": "no"}},
        {"jsonrpc": "2.0", "id": None, "error": {"code": 1, "message": "no"}},
    ):
        server.send_body(json.dumps(body).encode())
    still_right(server)


def test_a_flood_of_changes_and_questions(server: RawServer) -> None:
    reopen(server)
    place = {"textDocument": HERE, "position": {"line": 7, "character": 19}}
    for version in range(2, 400):
        edit = {"range": {"start": START, "end": START}, "text": " "}
        identity = {"uri": URI, "version": version}
        server.send("textDocument/didChange", {"textDocument": identity, "contentChanges": [edit]})
        if version % 4 == 0:
            server.send("textDocument/hover", place, id=version)
            if version % 8 == 0:
                server.send("$/cancelRequest", {"id": version})
    left = {version for version in range(2, 400) if version % 4 == 0}
    while left:
        answer = server.next(lambda one: "method" not in one)
        assert "result" in answer or answer["error"]["code"] in (CANCELLED, CONTENT_MODIFIED)
        left.remove(answer["id"])
    still_right(server)


def test_the_same_number_for_two_questions(server: RawServer) -> None:
    reopen(server)
    params = {"textDocument": HERE, "range": WHOLE}
    for _ in range(2):
        server.send("textDocument/inlayHint", params, id="twice")
    for _ in range(2):
        assert "result" in server.answer("twice")
    still_right(server)


def test_a_unit_that_holds_itself_many_times(server: RawServer) -> None:
    reopen(server)
    text = (
        "module store;\n" + "".join(f"  store u_{at} ();\n" for at in range(4)) + "endmodule\n" + REJECT_COUNT
    )
    change = {"textDocument": {"uri": URI, "version": 2}, "contentChanges": [{"text": text}]}
    server.send("textDocument/didChange", change)
    server.send("textDocument/inlayHint", {"textDocument": HERE, "range": WHOLE}, id="hints")
    assert len(server.answer("hints")["result"]) == 1
    still_right(server)


def test_a_large_document_full_of_nonsense(server: RawServer, tmp_path: Path) -> None:
    reopen(server)
    text = "// @mem in (((((\n((((((((((]]]]]]begin " * 4_000
    identity = {"uri": URI, "version": 2}
    server.send("textDocument/didChange", {"textDocument": identity, "contentChanges": [{"text": text}]})
    server.send("textDocument/semanticTokens/full", {"textDocument": HERE}, id="tokens")
    assert "result" in server.answer("tokens")
    still_right(server)
