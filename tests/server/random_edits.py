"""Random edits to a running server, and what it says compared with an analysis that begins from nothing."""

from __future__ import annotations

import json
import random
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from lsprotocol import types
from pygls.protocol import default_converter
from raw_server import RawServer

from memlint.server.analysis import Task
from memlint.server.bench import Bench
from memlint.server.client import client_of
from memlint.server.diagnostics import MOST_PER_FILE
from memlint.server.documents import Documents

CAPABILITIES = {
    "general": {"positionEncodings": ["utf-16"]},
    "textDocument": {"publishDiagnostics": {"relatedInformation": True}},
}
SNIPPETS = (
    "// @mem in bulk\n", "// @mem shape 2K x 40; ports 1w 1r\n", "; in block", "// @mem budget bulk <= 3\n", " ",
    "\n", "\r\n", "\r", "\f", "\u2028", "[", "]", "(", "begin", "end", "endmodule", "`ifdef A\n", "`endif\n", "/*",
    "*/", '"', ";", "logic [7:0] extra [0:255];\n", "parameter int N = 3", "#(.WORDS(64))", "1", "0", "K", ",",
    "\N{EAR OF RICE}", "é", "@(posedge clk)", "<=", "generate", "assign x = y;\n", "import p::*;\n",
)  # fmt: skip


@dataclass
class Text:
    uri: str
    path: Path
    original: str
    text: str
    version: int = 1


@dataclass
class Edits:
    """An editor that types at random. `done` counts its edits by kind, `judged` the
    bursts that were compared."""

    server: RawServer
    config: Path
    random: random.Random
    texts: list[Text] = field(default_factory=list)
    history: list[tuple[Text, str]] = field(default_factory=list)
    said: dict[str, list[Any]] = field(default_factory=dict)
    done: dict[str, int] = field(default_factory=dict)
    judged: int = 0
    _asked: int = 0

    def begin(self, files: list[Path]) -> None:
        """Opens these files."""
        self.server.send("initialize", {"processId": None, "capabilities": CAPABILITIES}, id="first")
        self.server.answer("first")
        self.server.send("initialized", {})
        for path in files:
            text = path.read_bytes().decode()
            self.texts.append(Text(path.as_uri(), path, text, text))
            self.server.open(path.as_uri(), text)

    def edit(self) -> None:
        """One edit."""
        kind = self.random.choices(("insert", "delete", "move", "undo", "restore"), (40, 25, 15, 15, 5))[0]
        self.done[kind] = self.done.get(kind, 0) + 1
        one = self.random.choice(self.texts)
        at = self.random.randint(0, len(one.text))
        match kind:
            case "insert":
                self._replace(one, at, at, self.random.choice(SNIPPETS))
            case "delete":
                self._replace(one, at, min(len(one.text), at + self.random.randint(1, 40)), "")
            case "move":
                end = min(len(one.text), at + self.random.randint(1, 200))
                moved, other = one.text[at:end], self.random.choice(self.texts)
                self._replace(one, at, end, "")
                to = self.random.randint(0, len(other.text))
                self._replace(other, to, to, moved)
            case "undo" if self.history:
                changed, before = self.history.pop()
                self._whole(changed, before)
            case _:
                # Else all would be rubble before long.
                self._whole(one, one.original)

    def _replace(self, one: Text, start: int, end: int, new: str) -> None:
        self.history.append((one, one.text))
        del self.history[:-50]
        place = {"start": position(one.text, start), "end": position(one.text, end)}
        # Between a CR and its LF there is no place in the protocol: the text says what comes of it.
        if one.text[:start].endswith("\r") and one.text[start : start + 1] == "\n":
            start -= 1
        if one.text[:end].endswith("\r") and one.text[end : end + 1] == "\n":
            end -= 1
        one.text = one.text[:start] + new + one.text[max(start, end) :]
        self._send(one, {"range": place, "text": new})

    def _whole(self, one: Text, text: str) -> None:
        one.text = text
        self._send(one, {"text": text})

    def _send(self, one: Text, change: dict[str, Any]) -> None:
        one.version += 1
        identity = {"uri": one.uri, "version": one.version}
        self.server.send("textDocument/didChange", {"textDocument": identity, "contentChanges": [change]})

    def settled(self) -> dict[str, tuple[list[Any], list[Any]]]:
        """What the server says of each document now: findings and hints. Nobody types any more."""
        for one in self.texts:
            self.server.send("textDocument/didSave", {"textDocument": {"uri": one.uri}})
        hints = {}
        for one in self.texts:
            self._asked += 1
            whole = {"start": {"line": 0, "character": 0}, "end": {"line": 10**6, "character": 0}}
            params = {"textDocument": {"uri": one.uri}, "range": whole}
            self.server.send("textDocument/inlayHint", params, id=self._asked)
            hints[one.uri] = self._listen(self._asked)
        return {one.uri: (self.said.get(one.uri, []), hints[one.uri]) for one in self.texts}

    def _listen(self, identity: int) -> list[Any]:
        """The answer; findings on the way are taken down."""
        while True:
            message = self.server.next()
            if message.get("method") == "textDocument/publishDiagnostics":
                self.said[message["params"]["uri"]] = message["params"]["diagnostics"]
            elif message.get("id") == identity and "method" not in message:
                assert "error" not in message, message
                result = message["result"]
                assert isinstance(result, list)
                return result

    def scratch(self) -> dict[str, tuple[list[Any], list[Any]]] | None:
        """The same by an analysis that knows nothing from before; None where it cannot judge anything."""
        converter = default_converter()
        capabilities = converter.structure(CAPABILITIES, types.ClientCapabilities)
        documents = Documents()
        for one in self.texts:
            documents.open(types.TextDocumentItem(one.uri, "hdl", one.version, one.text))
        members = frozenset(one.uri for one in self.texts)
        task = Task(1, tuple(documents), members, client_of(types.InitializeParams(capabilities)))
        analysis = Bench(self.config).analyse(task, lambda number, of: None)
        found = {}
        for one in self.texts:
            answer = analysis.files.get(one.uri)
            if answer is None:
                # Nothing can be judged (the top is gone, say): what was said before stands.
                return None
            hints = [(hint.line, hint.label, hint.tooltip) for hint in answer.hints]
            found[one.uri] = (converter.unstructure(list(answer.diagnostics)), hints)
        return found

    def differences(self) -> Iterator[str]:
        """What the server and the analysis from nothing say differently."""
        server, scratch = self.settled(), self.scratch()
        if scratch is None:
            for one in self.texts:
                self._whole(one, one.original)
            return
        self.judged += 1
        for one in self.texts:
            findings, hints = server[one.uri]
            shown = [(hint["position"]["line"], hint["label"], hint["tooltip"]) for hint in hints]
            if findings != scratch[one.uri][0]:
                yield f"{one.path.name}: findings {findings} are not {scratch[one.uri][0]}"
            if shown != scratch[one.uri][1]:
                yield f"{one.path.name}: hints {shown} are not {scratch[one.uri][1]}"

    def differences_from_a_process(self, folder: Path) -> Iterator[str]:
        """What the server and a fresh `memlint check` of the same texts in a folder say differently."""
        said: set[tuple[object, ...]] = set()
        root = self.config.parent
        names = {one.path.relative_to(root).as_posix() for one in self.texts}
        for one in self.texts:
            name = one.path.relative_to(root)
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(one.text.encode(errors="surrogatepass"))
            findings = self.said.get(one.uri, [])
            if len(findings) > MOST_PER_FILE:
                return
            said |= {(name.as_posix(), f["code"], f["message"].split("\n")[0]) for f in findings}
        command = [sys.executable, "-m", "memlint", "check", str(folder), "--format", "json"]
        output = subprocess.run(command, capture_output=True, check=False)
        printed = {
            (one["file"], one["rule"], one["message"].split("\n")[0])
            for one in json.loads(output.stdout)["findings"]
            if one["file"] in names
        }
        if said != printed:
            yield f"a fresh process says {sorted(printed - said)} more and {sorted(said - printed)} less"


def position(text: str, offset: int) -> dict[str, int]:
    """A place in UTF-16, counted from the text before it."""
    before = text[:offset]
    if before.endswith("\r") and text[offset : offset + 1] == "\n":
        before = before[:-1]
    before = before.replace("\r\n", "\n").replace("\r", "\n")
    last = before.rpartition("\n")[2]
    return {"line": before.count("\n"), "character": len(last.encode("utf-16-le")) // 2}
