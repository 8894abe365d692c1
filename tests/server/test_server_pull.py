"""Editors that ask for findings: asked at once with the newest, told when to ask again, never pushed to."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path
from typing import Any

import pytest
import pytest_asyncio
from abilities import able
from belt_sources import LINE_STORE
from lsp_editor import Editor, start
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")


@pytest_asyncio.fixture(scope="module", loop_scope="session")
async def pulling() -> AsyncIterator[Editor]:
    editor = await start(["utf-16"], able(pulls=True))
    yield editor
    # Not one of its findings was pushed.
    assert not editor.published
    assert await editor.leave() == 0


async def pull(editor: Editor, path: Path, previous: str | None = None) -> Any:
    identity = types.TextDocumentIdentifier(path.as_uri())
    params = types.DocumentDiagnosticParams(identity, previous_result_id=previous)
    return await editor.ask(types.TEXT_DOCUMENT_DIAGNOSTIC, params)


async def pull_all(editor: Editor, previous: dict[str, str], token: str | None = None) -> dict[str, Any]:
    ids = [types.PreviousResultId(uri, value) for uri, value in previous.items()]
    params = types.WorkspaceDiagnosticParams(ids, partial_result_token=token)
    answer = await editor.ask(types.WORKSPACE_DIAGNOSTIC, params)
    return {one.uri: one for one in answer.items}


async def test_findings_of_the_newest_text(pulling: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    pulling.open(store)
    first = await pull(pulling, store)
    assert [one.code for one in first.items] == ["two-clocks-on-one-clock-tier"]
    again = await pull(pulling, store, first.result_id)
    assert (again.kind, again.result_id) == ("unchanged", first.result_id)
    pulling.replace(store, ("@(posedge cam_clk)", "@(posedge proc_clk)"))
    mended = await pull(pulling, store, first.result_id)
    assert (mended.kind, list(mended.items)) == ("full", [])
    pulling.close(store)


async def test_a_change_elsewhere_asks_to_be_asked_again(pulling: Editor, belt: Path) -> None:
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        "  line_store u_store (.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q());\nendmodule\n"
    )
    pulling.open(store)
    pulling.open(top)
    assert not (await pull(pulling, store)).items
    asked = pulling.diagnostic_refreshes
    pulling.replace(top, (".proc_clk(c)", ".proc_clk(w)"))
    await pull(pulling, top)
    await pulling.until(lambda: pulling.diagnostic_refreshes > asked)
    assert [one.code for one in (await pull(pulling, store)).items] == ["two-clocks-on-one-clock-tier"]
    pulling.close(store)
    pulling.close(top)


async def test_all_files_with_findings_and_what_is_unchanged(pulling: Editor, belt: Path) -> None:
    store, config = belt / "rtl" / "line_store.sv", belt / "memlint.toml"
    config.write_text(
        'device = "sorter-m"\nsources = ["rtl/*.sv"]\n[[intent]]\nmemory = "x.y"\nintent = "in"\n'
    )
    pulling.open(store)
    await pull(pulling, store)
    found = await pull_all(pulling, {})
    assert found[store.as_uri()].version == pulling.versions[store.as_uri()]
    # A file of the configuration need not be open.
    assert [one.code for one in found[config.as_uri()].items] == ["intent-syntax"]
    known = {uri: one.result_id for uri, one in found.items()}
    again = await pull_all(pulling, known)
    assert {one.kind for one in again.values()} == {"unchanged"}
    pulling.close(store)
    gone = await pull_all(pulling, known)
    assert (gone[store.as_uri()].kind, list(gone[store.as_uri()].items)) == ("full", [])


async def test_unchanged_judges_nothing() -> None:
    """What is asked every two seconds touches neither the disk nor the worker: it is a look at a table."""
    broken = """
from memlint.server.worker import Worker
from memlint.server.requests import workspace_diagnostic as asked
import memlint.server.requests as requests
submit, handle = Worker.submit, asked.handle
def refuse(self, job):
    raise AssertionError("the worker was asked")
def watched(server, params):
    Worker.submit = refuse
    try:
        return handle(server, params)
    finally:
        Worker.submit = submit
requests.HANDLERS["workspace/diagnostic"] = watched
"""
    from raw_server import serving

    abilities = {"textDocument": {"diagnostic": {}}, "workspace": {"diagnostics": {"refreshSupport": True}}}
    with serving(code=broken) as server:
        server.initialize(capabilities=abilities)
        server.open("untitled:store", LINE_STORE)
        server.send("textDocument/diagnostic", {"textDocument": {"uri": "untitled:store"}}, id=1)
        result = server.answer(1)["result"]["resultId"]
        server.send(
            "workspace/diagnostic", {"previousResultIds": [{"uri": "untitled:store", "value": result}]}, id=2
        )
        (item,) = server.answer(2)["result"]["items"]
        assert item["kind"] == "unchanged" and "items" not in item


async def test_many_files_piece_by_piece(tmp_path: Path) -> None:
    from raw_server import serving

    count = 120
    (tmp_path / "memlint.toml").write_text('sources = ["*.sv"]\n')
    for number in range(count):
        name = f"store_{number:03}"
        (tmp_path / f"{name}.sv").write_text(LINE_STORE.replace("module line_store", f"module {name}"))
    abilities = {"textDocument": {"diagnostic": {}}, "workspace": {"diagnostics": {"refreshSupport": True}}}
    options = {"memlint": {"findings": {"wholeProject": True}}}
    uri = (tmp_path / "store_000.sv").as_uri()
    with serving() as server:
        server.send(
            "initialize",
            {"processId": None, "capabilities": abilities, "initializationOptions": options},
            id="first",
        )
        server.answer("first")
        server.send("initialized", {})
        server.open(uri, (tmp_path / "store_000.sv").read_text())
        server.send("textDocument/diagnostic", {"textDocument": {"uri": uri}}, id=1)
        server.answer(1)
        server.send("workspace/diagnostic", {"previousResultIds": [], "partialResultToken": "pieces"}, id=2)
        uris: list[str] = []
        while True:
            message = server.next(lambda one: one.get("method") == "$/progress" or one.get("id") == 2)
            if "method" not in message:
                assert message["result"]["items"] == []
                break
            assert message["params"]["token"] == "pieces"
            uris += [one["uri"] for one in message["params"]["value"]["items"]]
        assert len(uris) == len(set(uris)) == count


async def test_an_editor_that_cannot_be_told_is_pushed_to(belt: Path) -> None:
    abilities = able()
    assert abilities.text_document is not None
    abilities.text_document.diagnostic = types.DiagnosticClientCapabilities()
    editor = await start(None, abilities)
    assert editor.capabilities.diagnostic_provider is None
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    assert await editor.rules(store) == ["two-clocks-on-one-clock-tier"]
    assert not (await pull(editor, store)).items
    assert await editor.leave() == 0
