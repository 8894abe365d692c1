"""Files that come, go and change under other names; packages; configuration that is not saved yet."""

from __future__ import annotations

from pathlib import Path

import pytest
from belt_sources import REJECT_COUNT
from lsp_editor import Editor
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")

PACKAGE = "package belt_pkg;\n  localparam int WORDS = 512;\nendpackage\n"
SIZED = REJECT_COUNT.replace("module reject_count", "module {name}").replace(
    "counts [0:1023]", "counts [0:belt_pkg::WORDS-1]"
)


async def test_a_package_changes_every_open_file_that_uses_it(editor: Editor, belt: Path) -> None:
    package = belt / "rtl" / "a_belt_pkg.sv"
    package.write_text(PACKAGE)
    counts = [belt / "rtl" / f"count_{letter}.sv" for letter in "ab"]
    for path in counts:
        path.write_text(SIZED.replace("{name}", path.stem))
        editor.open(path)
        assert await editor.rules(path) == []
    editor.open(package)
    editor.replace(package, ("512", "1024"))
    for path in counts:
        said = editor.published[path.as_uri()]
        await editor.until(lambda said=said: bool(said[-1].diagnostics))  # type: ignore[misc]
        assert [one.code for one in said[-1].diagnostics] == ["shape-drift"]
    # Closed without saving, the disk counts again.
    editor.close(package)
    for path in counts:
        said = editor.published[path.as_uri()]
        await editor.until(lambda said=said: not said[-1].diagnostics)  # type: ignore[misc]


async def test_files_come_go_and_change_their_names(editor: Editor, belt: Path) -> None:
    package, count = belt / "rtl" / "a_belt_pkg.sv", belt / "rtl" / "count_a.sv"
    count.write_text(SIZED.replace("{name}", "count_a"))
    editor.open(count)
    assert (await editor.hints(count))[8].startswith("shape unknown")
    package.write_text(PACKAGE)
    editor.client.workspace_did_create_files(types.CreateFilesParams([types.FileCreate(package.as_uri())]))
    assert (await editor.hints(count))[8].startswith("0.5 block") or (await editor.hints(count))[
        8
    ].startswith("1 block")
    # Under another name, outside the sources, it is not there any more.
    aside = belt / "belt_pkg.sv"
    package.rename(aside)
    renamed = types.FileRename(package.as_uri(), aside.as_uri())
    editor.client.workspace_did_rename_files(types.RenameFilesParams([renamed]))
    assert (await editor.hints(count))[8].startswith("shape unknown")
    aside.rename(package)
    editor.client.workspace_did_rename_files(
        types.RenameFilesParams([types.FileRename(aside.as_uri(), package.as_uri())])
    )
    assert "unknown" not in (await editor.hints(count))[8]
    package.unlink()
    editor.client.workspace_did_delete_files(types.DeleteFilesParams([types.FileDelete(package.as_uri())]))
    assert (await editor.hints(count))[8].startswith("shape unknown")


async def test_an_open_file_that_is_deleted_or_renamed(editor: Editor, belt: Path) -> None:
    count, other = belt / "rtl" / "reject_count.sv", belt / "rtl" / "count_of_rejects.sv"
    editor.open(count)
    assert await editor.rules(count) == ["shape-drift"]
    count.rename(other)
    editor.close(count)
    editor.open(other)
    renamed = types.FileRename(count.as_uri(), other.as_uri())
    editor.client.workspace_did_rename_files(types.RenameFilesParams([renamed]))
    assert await editor.rules(other) == ["shape-drift"]
    assert not editor.published[count.as_uri()][-1].diagnostics
    # Deleted under the editor's hands, what it holds still counts.
    other.unlink()
    editor.client.workspace_did_delete_files(types.DeleteFilesParams([types.FileDelete(other.as_uri())]))
    editor.replace(other, ("512", "256"))
    assert await editor.rules(other) == ["shape-drift"]


async def test_a_memlint_toml_that_is_not_saved(editor: Editor, belt: Path) -> None:
    count, config = belt / "rtl" / "reject_count.sv", belt / "memlint.toml"
    editor.open(count)
    (finding,) = await editor.findings(count)
    assert finding.severity is types.DiagnosticSeverity.Warning
    editor.open(config)
    editor.replace(config, ('device = "sorter-m"', 'device = "sorter-m"\nrules.shape-drift = "note"'))
    said = editor.published[count.as_uri()]
    await editor.until(lambda: said[-1].diagnostics[0].severity is types.DiagnosticSeverity.Information)
    # A mistake stands in the text that has it, and goes as it is typed away.
    editor.replace(config, ('"note"', '"nothing"'))
    told = editor.published.setdefault(config.as_uri(), [])
    await editor.until(lambda: bool(told and told[-1].diagnostics))
    (mistake,) = editor.published[config.as_uri()][-1].diagnostics
    assert mistake.range.start.line == 1
    editor.replace(config, ('"nothing"', '"error"'))
    await editor.until(lambda: not editor.published[config.as_uri()][-1].diagnostics)
    await editor.until(lambda: said[-1].diagnostics[0].severity is types.DiagnosticSeverity.Error)
    # Closed without saving, the file on the disk counts again.
    editor.close(config)
    await editor.until(lambda: said[-1].diagnostics[0].severity is types.DiagnosticSeverity.Warning)


async def test_a_profile_that_is_not_saved(editor: Editor, belt: Path) -> None:
    from test_server_configuration import PROFILE

    profile, store = belt / "belt-s.toml", belt / "rtl" / "line_store.sv"
    (belt / "memlint.toml").write_text('device = "belt-s.toml"\ntop = "line_store"\nsources = ["rtl/*.sv"]\n')
    profile.write_text(PROFILE)
    editor.open(store)
    assert await editor.rules(store) == ["device-over-budget"]
    editor.open(profile)
    editor.replace(profile, ("blocks = 4", "blocks = 40"))
    await editor.until(lambda: not editor.published[store.as_uri()][-1].diagnostics)


async def test_an_acceptance_that_is_not_needed_is_faded(modern: Editor, editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    text = REJECT_COUNT.replace("shape 512 x 24", 'accept shallow-wide because "was so"')
    modern.open(count, text)
    (finding,) = await modern.findings(count)
    assert (finding.code, list(finding.tags or ())) == (
        "acceptance-unused",
        [types.DiagnosticTag.Unnecessary],
    )
    modern.replace(count, ("shallow-wide", "shallow-wid"))
    (finding,) = await modern.findings(count)
    assert finding.code == "acceptance-unused" and not finding.tags
    # An editor that does not say it can show that is not told.
    editor.open(count, text)
    (finding,) = await editor.findings(count)
    assert finding.tags is None
