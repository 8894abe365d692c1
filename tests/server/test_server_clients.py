"""Sessions with what real editors say they can do, as recorded in pytest-lsp's client profiles."""

from __future__ import annotations

from pathlib import Path

import pytest
from lsp_editor import Editor, start
from pytest_lsp import client_capabilities

pytestmark = [
    pytest.mark.asyncio(loop_scope="session"),
    pytest.mark.filterwarnings("error::pytest_lsp.checks.LspSpecificationWarning"),
]


@pytest.mark.parametrize(
    ("editor_name", "encoding", "watches"),
    [
        # The first two offer all three encodings, each in its own order; the others say nothing of them.
        ("neovim@v0.11", "utf-8", False),
        ("emacs@v29", "utf-8", True),
        ("neovim@v0.7", "utf-16", False),
        ("visual-studio-code@v1", "utf-16", True),
    ],
)
async def test_a_session(belt: Path, editor_name: str, encoding: str, watches: bool) -> None:
    editor: Editor = await start(None, client_capabilities(editor_name))
    assert editor.encoding == encoding
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    (finding,) = await editor.findings(store)
    assert editor.covered(store, finding.range) == "words"
    editor.replace(store, ("@(posedge cam_clk)", "@(posedge proc_clk)"))
    assert await editor.rules(store) == []
    assert await editor.hover(store, "words [0") is not None
    assert (await editor.hints(store))[8].startswith("8 bulk")
    if watches:
        await editor.until(lambda: bool(editor.registered))
    assert await editor.leave() == 0
    assert bool(editor.registered) == watches
