"""What the tests of the language server share."""

from __future__ import annotations

from collections.abc import AsyncIterator
from pathlib import Path

import pytest
import pytest_asyncio
from abilities import able
from belt_sources import LINE_STORE, REJECT_COUNT
from lsp_editor import Editor, start


@pytest.fixture
def belt(tmp_path: Path) -> Path:
    """A small project."""
    (tmp_path / "rtl").mkdir()
    (tmp_path / "memlint.toml").write_text('device = "sorter-m"\nsources = ["rtl/*.sv"]\n')
    (tmp_path / "rtl" / "line_store.sv").write_text(LINE_STORE)
    (tmp_path / "rtl" / "reject_count.sv").write_text(REJECT_COUNT)
    return tmp_path


@pytest_asyncio.fixture(scope="session", loop_scope="session", params=["utf-8", "utf-16", "utf-32"])
async def server_of_each_encoding(request: pytest.FixtureRequest) -> AsyncIterator[Editor]:
    editor = await start([request.param])
    assert editor.encoding == request.param
    yield editor
    assert await editor.leave() == 0


@pytest_asyncio.fixture(scope="session", loop_scope="session")
async def server() -> AsyncIterator[Editor]:
    editor = await start(None)
    yield editor
    assert await editor.leave() == 0


@pytest_asyncio.fixture(scope="session", loop_scope="session")
async def able_server() -> AsyncIterator[Editor]:
    editor = await start(["utf-8"], able())
    yield editor
    assert await editor.leave() == 0


@pytest_asyncio.fixture(loop_scope="session")
async def modern(able_server: Editor) -> AsyncIterator[Editor]:
    """An editor that can do everything but ask for diagnostics."""
    yield able_server
    await able_server.close_all()


@pytest_asyncio.fixture(loop_scope="session")
async def any_editor(server_of_each_encoding: Editor) -> AsyncIterator[Editor]:
    """An editor for each encoding. Tests share the servers, each with a project of its own."""
    yield server_of_each_encoding
    await server_of_each_encoding.close_all()


@pytest_asyncio.fixture(loop_scope="session")
async def editor(server: Editor) -> AsyncIterator[Editor]:
    """An editor that states no encoding, so counts in UTF-16. Tests share its server as well."""
    yield server
    await server.close_all()
