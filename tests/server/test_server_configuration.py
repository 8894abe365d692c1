"""What is wrong with memlint.toml and profiles, shown where it is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest
from lsp_editor import Editor
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")

PROFILE = """\
[device]
name = "belt-s"
title = "small"

[[source]]
id = "invented"
title = "invented"
facts = ["*"]

[[tier]]
name = "bulk"
role = "bulk"
block_bits = 327680
blocks = 4
clocks = "any"
read = "synchronous"
[tier.modes.simple_dual]
shapes = [[8192, 40]]
"""


async def said(editor: Editor, path: Path) -> list[types.Diagnostic]:
    """What stands in a file of the configuration, once anything does."""
    uri = path.as_uri()
    await editor.until(
        lambda: bool(editor.published.get(uri)) and bool(editor.published[uri][-1].diagnostics)
    )
    return list(editor.published[uri][-1].diagnostics)


async def test_a_mistake_in_memlint_toml(editor: Editor, belt: Path) -> None:
    config, count = belt / "memlint.toml", belt / "rtl" / "reject_count.sv"
    config.write_text('device = "sorter-m"\n\nsourcs = ["rtl/*.sv"]\n')
    editor.open(count)
    (finding,) = await said(editor, config)
    assert finding.range.start.line == 2
    assert finding.severity is types.DiagnosticSeverity.Error
    assert "sourcs" in finding.message and "sources" in finding.message
    assert await editor.rules(count) == []
    # Mended: the file is clean and the project is judged.
    editor.open(config)
    editor.replace(config, ("sourcs", "sources"))
    editor.save(config)
    await editor.until(lambda: not editor.published[config.as_uri()][-1].diagnostics)
    await editor.until(lambda: bool(editor.published[count.as_uri()][-1].diagnostics))
    assert await editor.rules(count) == ["shape-drift"]


async def test_toml_that_is_none(editor: Editor, belt: Path) -> None:
    config = belt / "memlint.toml"
    config.write_text('device = "sorter-m"\nsources = [\n')
    editor.open(belt / "rtl" / "reject_count.sv")
    (finding,) = await said(editor, config)
    assert finding.range.start.line >= 1


async def test_the_last_configuration_that_could_be_used_stays_in_use(editor: Editor, belt: Path) -> None:
    config, count = belt / "memlint.toml", belt / "rtl" / "reject_count.sv"
    editor.open(count)
    assert await editor.rules(count) == ["shape-drift"]
    editor.open(config)
    editor.replace(config, ("device =", "devise ="))
    editor.save(config)
    await said(editor, config)
    editor.replace(count, ("512 x 24", "256 x 24"))
    (finding,) = await editor.findings(count)
    assert "256 x 24" in finding.message


async def test_a_mistake_in_a_profile(editor: Editor, belt: Path) -> None:
    profile, store = belt / "belt-s.toml", belt / "rtl" / "line_store.sv"
    (belt / "memlint.toml").write_text('device = "belt-s.toml"\ntop = "line_store"\nsources = ["rtl/*.sv"]\n')
    profile.write_text(PROFILE.replace("block_bits = 327680", "block_bits = -1"))
    editor.open(store)
    (finding,) = await said(editor, profile)
    assert finding.range.start.line == 12
    assert "block_bits" in finding.message
    profile.write_text(PROFILE)
    event = types.FileEvent(profile.as_uri(), types.FileChangeType.Changed)
    editor.client.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([event]))
    await editor.until(lambda: not editor.published[profile.as_uri()][-1].diagnostics)
    # This profile's bulk blocks take any two clocks, but there are only 4 of the 8 needed.
    await editor.until(lambda: bool(editor.published[store.as_uri()][-1].diagnostics))
    assert await editor.rules(store) == ["device-over-budget"]
    assert (await editor.hints(store))[8] == "does not fit bulk: size · would be 8"


async def test_a_top_that_is_not_there(editor: Editor, belt: Path) -> None:
    config, count = belt / "memlint.toml", belt / "rtl" / "reject_count.sv"
    config.write_text('device = "sorter-m"\ntop = "reject_cuont"\nsources = ["rtl/*.sv"]\n')
    editor.open(count)
    (finding,) = await said(editor, config)
    assert "reject_cuont" in finding.message and "reject_count" in finding.message


async def test_an_intent_in_memlint_toml_is_read_there(editor: Editor, belt: Path) -> None:
    config = belt / "memlint.toml"
    config.write_text(
        'sources = ["rtl/*.sv"]\n[[intent]]\nmemory = "reject_count.counts"\nintent = "in block; shape"\n'
    )
    editor.open(belt / "rtl" / "reject_count.sv")
    (finding,) = await said(editor, config)
    assert finding.code == "intent-syntax"
    assert finding.range.start.line == 3


async def test_a_memlint_toml_that_appears(editor: Editor, belt: Path) -> None:
    count, nearer = belt / "rtl" / "reject_count.sv", belt / "rtl" / "memlint.toml"
    editor.open(count)
    assert (await editor.findings(count))[0].severity is types.DiagnosticSeverity.Warning
    nearer.write_text('[rules]\nshape-drift = "note"\n')
    event = types.FileEvent(nearer.as_uri(), types.FileChangeType.Created)
    editor.client.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([event]))
    information = types.DiagnosticSeverity.Information
    await editor.until(lambda: editor.published[count.as_uri()][-1].diagnostics[0].severity is information)
