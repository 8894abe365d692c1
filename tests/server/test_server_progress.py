"""How far the first reading is, and giving it up."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from belt_sources import REJECT_COUNT
from raw_server import RawServer, serving

SLOW = """
import time
from memlint.engine.facts_of import FactStore
from memlint.server import progress
progress.PATIENCE_SECONDS = progress.EVERY_SECONDS = 0
read = FactStore._read_verilog
read_files = []
def slow(self, source, macros, files):
    if source.file not in self._verilog:
        time.sleep(0.2)
    return read(self, source, macros, files)
FactStore._read_verilog = slow
"""
"""Every file takes its time to be read, the first time."""

PROGRESS = {"window": {"workDoneProgress": True}}
FILES = 8


def project(folder: Path) -> str:
    (folder / "memlint.toml").write_text('sources = ["*.sv"]\n')
    for number in range(FILES):
        text = REJECT_COUNT.replace("reject_count", f"count_{number}")
        (folder / f"count_{number}.sv").write_text(text)
    return (folder / "count_0.sv").as_uri()


def value(message: dict[str, Any]) -> dict[str, Any]:
    inner = message["params"]["value"]
    assert isinstance(inner, dict)
    return inner


def begin(server: RawServer, uri: str) -> str:
    """Opens the project and waits until its reading shows; the progress bar's token."""
    server.initialize(capabilities=PROGRESS)
    server.open(uri, REJECT_COUNT.replace("reject_count", "count_0"))
    made = server.next(lambda one: one.get("method") == "window/workDoneProgress/create")
    server.send_body(b'{"jsonrpc": "2.0", "id": "%b", "result": null}' % made["id"].encode())
    token = made["params"]["token"]
    began = server.next(lambda one: one.get("method") == "$/progress")
    assert (began["params"]["token"], value(began)["kind"], value(began)["cancellable"]) == (
        token,
        "begin",
        True,
    )
    return str(token)


def test_the_first_reading_shows_how_far_it_is(tmp_path: Path) -> None:
    with serving(code=SLOW) as server:
        token = begin(server, project(tmp_path))
        percentages = []
        while True:
            message = server.next(lambda one: one.get("method") == "$/progress")
            assert message["params"]["token"] == token
            if value(message)["kind"] == "end":
                break
            assert f"of {FILES}" in value(message)["message"]
            percentages.append(value(message)["percentage"])
        assert percentages == sorted(percentages) and len(set(percentages)) > 2
        assert all(0 <= one < 100 for one in percentages)
        # Findings come with it, and later readings show nothing.
        change(server, (tmp_path / "count_0.sv").as_uri(), 2, REJECT_COUNT.replace("512", "256"))
        told = server.next(lambda one: one.get("method") in ("$/progress", "textDocument/publishDiagnostics"))
        assert told["method"] == "textDocument/publishDiagnostics"


def test_a_reading_that_is_given_up_goes_on_with_the_next_change(tmp_path: Path) -> None:
    uri = project(tmp_path)
    with serving(code=SLOW) as server:
        token = begin(server, uri)
        server.send("window/workDoneProgress/cancel", {"token": token})
        end = server.next(lambda one: one.get("method") == "$/progress" and value(one)["kind"] == "end")
        assert end["params"]["token"] == token
        # Whoever waits is not kept waiting.
        whole = {"start": {"line": 0, "character": 0}, "end": {"line": 99, "character": 0}}
        server.send("textDocument/inlayHint", {"textDocument": {"uri": uri}, "range": whole}, id=1)
        assert server.answer(1)["result"] == []
        change(server, uri, 2, REJECT_COUNT.replace("reject_count", "count_0"))
        told = server.next(
            lambda one: one.get("method") in ("window/logMessage", "textDocument/publishDiagnostics")
        )
        assert told["method"] == "textDocument/publishDiagnostics"
        assert [one["code"] for one in told["params"]["diagnostics"]] == ["shape-drift"]


def change(server: RawServer, uri: str, version: int, text: str) -> None:
    identity = {"uri": uri, "version": version}
    server.send("textDocument/didChange", {"textDocument": identity, "contentChanges": [{"text": text}]})
