"""What a user switches in the editor: pulled, pushed, and given at the start."""

from __future__ import annotations

from pathlib import Path

import pytest
from abilities import able
from lsp_editor import Editor, start
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")

ONE_CLOCK = ("@(posedge cam_clk)", "@(posedge proc_clk)")


async def pushed(editor: Editor, settings: object) -> None:
    params = types.DidChangeConfigurationParams(settings)
    editor.client.workspace_did_change_configuration(params)


@pytest.mark.parametrize(
    ("hints", "label"),
    [
        ({}, "8 bulk · chain 8 · 100 % full"),
        ({"chain": False}, "8 bulk · 100 % full"),
        ({"fill": False}, "8 bulk · chain 8"),
        ({"blocks": False, "fill": False}, "chain 8"),
        ({"blocks": False, "fill": False, "chain": False}, None),
        (False, None),
    ],
)
async def test_each_kind_of_hint_has_a_switch(
    modern: Editor, belt: Path, hints: object, label: str | None
) -> None:
    store = belt / "rtl" / "line_store.sv"
    modern.open(store)
    modern.replace(store, ONE_CLOCK)
    await modern.findings(store)
    await pushed(modern, {"memlint": {"hints": hints}})
    assert (await modern.hints(store)).get(8) == label
    await pushed(modern, {"memlint": {"hints": {}}})
    assert (await modern.hints(store))[8] == "8 bulk · chain 8 · 100 % full"


async def test_settings_are_asked_for_and_asked_for_again(belt: Path) -> None:
    editor = await start(None, able(configuration=True), settings={"hints": {"chain": False}})
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    editor.replace(store, ONE_CLOCK)
    await editor.until(lambda: editor.asked_settings == 1)
    assert (await editor.hints(store))[8] == "8 bulk · 100 % full"
    # Some editors answer with null.
    editor.settings = None
    asked = editor.refreshes
    await pushed(editor, None)
    await editor.until(lambda: editor.asked_settings == 2)
    await editor.until(lambda: editor.refreshes > asked)
    assert (await editor.hints(store))[8] == "8 bulk · chain 8 · 100 % full"
    assert await editor.leave() == 0


async def test_findings_of_the_whole_project_are_an_option(modern: Editor, belt: Path) -> None:
    store, count = belt / "rtl" / "line_store.sv", belt / "rtl" / "reject_count.sv"
    modern.open(store)
    await modern.findings(store)
    assert count.as_uri() not in modern.published
    await pushed(modern, {"memlint": {"findings": {"wholeProject": True}}})
    await modern.until(lambda: count.as_uri() in modern.published)
    assert [one.code for one in modern.published[count.as_uri()][-1].diagnostics] == ["shape-drift"]
    # Open or not, each is told once.
    modern.open(count)
    assert await modern.rules(count) == ["shape-drift"]
    await pushed(modern, {"memlint": {}})
    modern.close(count)
    await modern.until(lambda: not modern.published[count.as_uri()][-1].diagnostics)


async def test_findings_of_a_folder_in_which_nothing_is_open(modern: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    folder = types.WorkspaceFolder(belt.as_uri(), "belt")

    def folders(added: list[types.WorkspaceFolder], removed: list[types.WorkspaceFolder]) -> None:
        event = types.WorkspaceFoldersChangeEvent(added, removed)
        params = types.DidChangeWorkspaceFoldersParams(event)
        modern.client.workspace_did_change_workspace_folders(params)

    await pushed(modern, {"memlint": {"findings": {"wholeProject": True}}})
    folders([folder], [])
    await modern.until(lambda: count.as_uri() in modern.published)
    assert [one.code for one in modern.published[count.as_uri()][-1].diagnostics] == ["shape-drift"]
    # It is mended outside of the editor, and broken again.
    broken = count.read_text()
    count.write_text(broken.replace("512 x 24", "1K x 24"))
    changed = types.FileEvent(count.as_uri(), types.FileChangeType.Changed)
    params = types.DidChangeWatchedFilesParams([changed])
    modern.client.workspace_did_change_watched_files(params)
    await modern.until(lambda: not modern.published[count.as_uri()][-1].diagnostics)
    count.write_text(broken)
    modern.client.workspace_did_change_watched_files(params)
    await modern.until(lambda: bool(modern.published[count.as_uri()][-1].diagnostics))
    # A document comes and goes.
    modern.open(count)
    assert await modern.rules(count) == ["shape-drift"]
    modern.close(count)
    await modern.until(lambda: modern.published[count.as_uri()][-1].version is None)
    await modern.until(lambda: bool(modern.published[count.as_uri()][-1].diagnostics))
    folders([], [folder])
    await modern.until(lambda: not modern.published[count.as_uri()][-1].diagnostics)
    await pushed(modern, {"memlint": {}})


async def test_no_lenses_for_those_who_want_none(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    modern.open(store)
    params = types.CodeLensParams(types.TextDocumentIdentifier(store.as_uri()))
    assert await modern.ask(types.TEXT_DOCUMENT_CODE_LENS, params)
    told = modern.lens_refreshes
    await pushed(modern, {"memlint": {"codeLens": False}})
    await modern.until(lambda: modern.lens_refreshes > told)
    assert not await modern.ask(types.TEXT_DOCUMENT_CODE_LENS, params)
    await pushed(modern, {"memlint": {}})
    assert await modern.ask(types.TEXT_DOCUMENT_CODE_LENS, params)


async def test_a_hint_is_explained_when_it_is_pointed_at(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    modern.open(store)
    modern.replace(store, ONE_CLOCK)
    whole = types.Range(types.Position(0, 0), types.Position(99, 0))
    params = types.InlayHintParams(types.TextDocumentIdentifier(store.as_uri()), whole)
    (hint,) = await modern.ask(types.TEXT_DOCUMENT_INLAY_HINT, params)
    assert hint.tooltip is None
    resolved = await modern.ask(types.INLAY_HINT_RESOLVE, hint)
    assert resolved.tooltip == "line_store.words: 8 bulk · chain 8 · 100 % full"
