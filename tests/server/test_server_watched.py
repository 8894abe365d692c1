"""Files that change on the disk, with an editor that watches them (LSP 3.17, workspace/didChangeWatchedFiles)."""

from __future__ import annotations

from pathlib import Path

import pytest
from belt_sources import REJECT_COUNT
from lsp_editor import Editor, start
from lsprotocol import types

INCLUDING = REJECT_COUNT.replace("1023", "`COUNTS-1").replace("512", "1K")


async def watching(folder: Path) -> Editor:
    """An editor that shows a folder and has agreed to watch it."""
    abilities = types.ClientCapabilities(
        workspace=types.WorkspaceClientCapabilities(
            did_change_watched_files=types.DidChangeWatchedFilesClientCapabilities(dynamic_registration=True)
        )
    )
    editor = await start(["utf-8"], abilities)
    await editor.until(lambda: bool(editor.registered))
    shown = types.WorkspaceFoldersChangeEvent([types.WorkspaceFolder(folder.as_uri(), folder.name)], [])
    editor.client.workspace_did_change_workspace_folders(types.DidChangeWorkspaceFoldersParams(shown))
    return editor


def told(editor: Editor, path: Path, kind: types.FileChangeType = types.FileChangeType.Changed) -> None:
    event = types.FileEvent(path.as_uri(), kind)
    editor.client.workspace_did_change_watched_files(types.DidChangeWatchedFilesParams([event]))


@pytest.mark.parametrize("name", ["count_bits.svh", "count_bits.inc"])
async def test_an_included_file_changes_between_edits(belt: Path, name: str) -> None:
    # Nobody is told of files that end in `.inc`: they are looked at with the next edit.
    header, count = belt / "rtl" / name, belt / "rtl" / "reject_count.sv"
    header.write_text("`define COUNTS 1024\n")
    editor = await watching(belt)
    editor.open(count, f'`include "{name}"\n{INCLUDING}')
    assert await editor.rules(count) == []
    editor.replace(count, ("endmodule", " endmodule"))
    assert await editor.rules(count) == []
    header.write_text("`define COUNTS 2048\n")
    told(editor, header) if name.endswith(".svh") else editor.replace(count, (" endmodule", "  endmodule"))
    await editor.until(lambda: bool(editor.published[count.as_uri()][-1].diagnostics))
    assert "2,048" in editor.published[count.as_uri()][-1].diagnostics[0].message
    assert await editor.leave() == 0


async def test_files_come_and_go(belt: Path) -> None:
    count = belt / "rtl" / "more_counts.sv"
    editor = await watching(belt)
    user = belt / "rtl" / "user.sv"
    editor.open(user, "module user (input logic clk);\n  more_counts u_more (.clk(clk));\nendmodule\n")
    assert await editor.rules(user) == ["unit-not-found"]
    editor.replace(user, ("endmodule", " endmodule"))
    assert await editor.rules(user) == ["unit-not-found"]
    count.write_text("module more_counts (input logic clk);\nendmodule\n")
    told(editor, count, types.FileChangeType.Created)
    await editor.until(lambda: not editor.published[user.as_uri()][-1].diagnostics)
    count.unlink()
    told(editor, count, types.FileChangeType.Deleted)
    await editor.until(lambda: bool(editor.published[user.as_uri()][-1].diagnostics))
    assert await editor.rules(user) == ["unit-not-found"]
    assert await editor.leave() == 0


async def test_a_document_is_closed_after_another_program_wrote_it(belt: Path) -> None:
    header, count = belt / "rtl" / "count_bits.svh", belt / "rtl" / "reject_count.sv"
    header.write_text("`define COUNTS 1024\n")
    editor = await watching(belt)
    editor.open(count, f'`include "count_bits.svh"\n{INCLUDING}')
    assert await editor.rules(count) == []
    editor.open(header)
    header.write_text("`define COUNTS 2048\n")
    told(editor, header)
    editor.replace(count, ("endmodule", " endmodule"))
    assert await editor.rules(count) == []
    editor.close(header)
    await editor.until(lambda: bool(editor.published[count.as_uri()][-1].diagnostics))
    assert "2,048" in editor.published[count.as_uri()][-1].diagnostics[0].message
    assert await editor.leave() == 0
