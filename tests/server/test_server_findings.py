"""Findings in the editor: the right ones, at the right places, of the text as it is now."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest
from abilities import able
from belt_sources import LINE_STORE, REJECT_COUNT
from lsp_editor import Editor, start
from lsprotocol import types

from memlint.server.places import path_of

ROOT = Path(__file__).parents[2]
SORTER = ROOT / "fixtures" / "sorter"
PLANTED = json.loads((ROOT / "tests" / "engine" / "sorter_expected.json").read_text())["planted"]

pytestmark = pytest.mark.asyncio(loop_scope="session")

GRAIN = "\N{EAR OF RICE}"
"""Outside the Basic Multilingual Plane: 4 units of UTF-8, 2 of UTF-16, 1 of UTF-32."""


async def test_the_planted_mistakes_of_the_demo_project(any_editor: Editor) -> None:
    files = sorted({SORTER / one["file"] for one in PLANTED})
    for file in files:
        any_editor.open(file)
    found = {
        (str(one.code), file.relative_to(SORTER).as_posix())
        for file in files
        for one in await any_editor.findings(file)
        if one.severity in (types.DiagnosticSeverity.Error, types.DiagnosticSeverity.Warning)
    }
    assert found == {(one["rule"], one["file"]) for one in PLANTED}


def on_the_command_line(project: Path) -> set[tuple[object, ...]]:
    command = [sys.executable, "-m", "memlint", "check", "--format", "json", str(project)]
    output = subprocess.run(command, stdout=subprocess.PIPE, check=False).stdout
    places = ("line", "column", "end_line", "end_column")
    return {
        (one["rule"], one["severity"], one["file"], *(one[place] for place in places), one["message"])
        for one in json.loads(output)["findings"]
    }


async def test_the_editor_shows_what_the_command_line_prints(any_editor: Editor) -> None:
    printed = on_the_command_line(SORTER)
    severities = {"error": 1, "warning": 2, "note": 3}
    for file in sorted(SORTER.glob("rtl/*.sv")):
        any_editor.open(file)
    shown = set()
    for file in sorted(SORTER.glob("rtl/*.sv")):
        name = file.relative_to(SORTER).as_posix()
        for one in await any_editor.findings(file):
            # The demo project is plain ASCII but for comments: units are code points here.
            start, end = one.range.start, one.range.end
            places = (start.line + 1, start.character + 1, end.line + 1, end.character + 1)
            severity = next(key for key, value in severities.items() if value == one.severity)
            shown.add((one.code, severity, name, *places, one.message.split("\n")[0]))
    assert shown == printed


async def test_a_finding_has_all_its_parts(any_editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    any_editor.open(store)
    (finding,) = await any_editor.findings(store)
    assert finding.code == "two-clocks-on-one-clock-tier"
    assert finding.source == "memlint"
    assert finding.severity is types.DiagnosticSeverity.Error
    assert any_editor.covered(store, finding.range) == "words"
    # What is wrong, and what to do: in bulk the ports share a clock, block RAM takes the memory.
    first, *rest = finding.message.splitlines()
    assert "cam_clk" in first and "proc_clk" in first and "bulk" in first
    assert any(line.startswith("- ") and "block" in line for line in rest)


async def test_related_places_where_the_editor_shows_them(belt: Path) -> None:
    abilities = types.ClientCapabilities(
        text_document=types.TextDocumentClientCapabilities(
            publish_diagnostics=types.PublishDiagnosticsClientCapabilities(related_information=True)
        )
    )
    editor = await start(None, abilities)
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    (finding,) = await editor.findings(store)
    related = finding.related_information or []
    places = {(one.location.uri, editor.covered(store, one.location.range)) for one in related}
    assert {uri for uri, _ in places} == {store.as_uri()}
    # Both accesses, each on its own clock.
    assert {one.location.range.start.line + 1 for one in related} >= {9, 10}
    assert "line_store.sv" not in finding.message
    assert await editor.leave() == 0


async def test_a_finding_leads_to_the_page_about_its_rule(modern: Editor, editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    modern.open(store)
    (finding,) = await modern.findings(store)
    assert finding.code_description is not None
    page = path_of(finding.code_description.href)
    assert page is not None
    assert page.read_text(encoding="utf-8").startswith("# two-clocks-on-one-clock-tier\n")
    # Only for editors that know what to do with it.
    editor.open(store)
    (finding,) = await editor.findings(store)
    assert finding.code_description is None


async def test_instances_that_differ_in_an_index_are_named_once(editor: Editor, belt: Path) -> None:
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    connected = "(.cam_clk(c[0]), .proc_clk(c[1]), .we(w), .wa(a), .ra(b), .d(d), .q())"
    top.write_text(
        "module belt_top (input logic [1:0] c, input logic w, input logic [15:0] a, b, input logic [39:0] d);\n"
        "  for (genvar g = 0; g < 3; g++) begin : lane\n"
        f"    line_store u_store {connected};\n  end\n"
        f"  line_store u_last {connected};\nendmodule\n"
    )
    editor.open(store)
    (finding,) = await editor.findings(store)
    assert (
        "In 4 instances: belt_top.lane[*].u_store.words, belt_top.u_last.words"
        in finding.message.splitlines()
    )


async def test_the_pages_go_with_the_server(belt: Path) -> None:
    editor = await start(None, able())
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    (finding,) = await editor.findings(store)
    assert finding.code_description is not None
    page = path_of(finding.code_description.href)
    assert page is not None and page.is_file()
    assert await editor.leave() == 0
    assert not page.parent.exists()


async def test_columns_behind_characters_outside_the_basic_plane(any_editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    declaration = "logic [39:0] words [0:WORDS-1];"
    text = LINE_STORE.replace(declaration, f"/* {GRAIN}{GRAIN} */ {declaration} // {GRAIN}")
    any_editor.open(store, text)
    (finding,) = await any_editor.findings(store)
    assert any_editor.covered(store, finding.range) == "words"
    per_grain = {"utf-8": 4, "utf-16": 2, "utf-32": 1}[any_editor.encoding]
    assert finding.range.start.character == len("    /* ") + 2 * per_grain + len(" */ logic [39:0] ")
    # An edit behind them, and one before them, in one message.
    any_editor.replace(store, ("words [0:WORDS-1]", "words [0:8191]"), (f"/* {GRAIN}", f"/* ü{GRAIN}"))
    (finding,) = await any_editor.findings(store)
    assert any_editor.covered(store, finding.range) == "words"
    hints = await any_editor.hints(store)
    assert list(hints) == [8]


async def test_unsaved_text_counts_in_every_file_of_the_project(editor: Editor, belt: Path) -> None:
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    package = belt / "rtl" / "belt_pkg.sv"
    package.write_text("package belt_pkg;\n  localparam int WORDS = 65536;\nendpackage\n")
    instance = "line_store #(.WORDS(belt_pkg::WORDS)) u_store ("
    ports = ".cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q(q));"
    head = "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d,"
    top.write_text(f"{head} output logic [39:0] q);\n  {instance}{ports}\nendmodule\n")
    for file in (store, top, package):
        editor.open(file)
    # In `belt_top` both clocks are one net. 65,536 x 40 is 8 bulk blocks of 8,192 x 40.
    assert await editor.rules(store) == []
    assert (await editor.hints(store))[8].startswith("8 bulk")
    editor.replace(package, ("65536", "16384"))
    assert (await editor.hints(store))[8].startswith("2 bulk")
    editor.close(package)
    assert (await editor.hints(store))[8].startswith("8 bulk")


async def test_edits_one_after_the_other(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    assert await editor.rules(count) == ["shape-drift"]
    editor.replace(count, ("512 x 24", "1K x 24"))
    assert await editor.rules(count) == []
    # Several changes in one message: each refers to the text that the one before it left.
    editor.replace(count, ("// @mem", "\n\n    // @mem"), ("1K x 24", "1K x 25"), ("1K x 25", "1K x 26"))
    (finding,) = await editor.findings(count)
    assert finding.code == "shape-drift"
    assert "26" in finding.message
    assert (finding.range.start.line, editor.covered(count, finding.range)) == (9, "counts")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
async def test_line_ends(editor: Editor, belt: Path, end: str) -> None:
    count = belt / "rtl" / "reject_count.sv"
    # A form feed and U+2028 end no line, whatever some string functions think.
    text = REJECT_COUNT.replace("// @mem", "// \f \u2028 belt\n    // @mem").replace("\n", end)
    editor.open(count, text)
    editor.replace(count, ("512 x 24", "256 x 24"))
    (finding,) = await editor.findings(count)
    assert finding.range.start.line == 8
    assert "256 x 24" in finding.message


async def test_a_half_typed_declaration_takes_nothing_else_away(editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    assert await editor.rules(store) == ["two-clocks-on-one-clock-tier"]
    for typed in (
        "    // @mem in b\n",
        "    // @mem in bulk; shape\n    logic [7:0\n",
        "    logic [7:0] jets [0:\n",
    ):
        editor.replace(store, ("    always_ff @(posedge cam", f"{typed}    always_ff @(posedge cam"))
        (finding,) = [
            one for one in await editor.findings(store) if one.code == "two-clocks-on-one-clock-tier"
        ]
        assert editor.covered(store, finding.range) == "words"
        editor.replace(store, (typed, ""))
        assert await editor.rules(store) == ["two-clocks-on-one-clock-tier"]


async def test_what_a_line_being_typed_lacks_is_said_when_it_rests(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    await editor.findings(count)
    editor.replace(count, ("; shape 512 x 24", "; shape 512 x"))
    assert "intent-syntax" not in await editor.rules(count)
    uri = count.as_uri()
    # Nothing more is typed: the same version again, now with what was held back.
    await editor.until(
        lambda: any(one.code == "intent-syntax" for one in editor.published[uri][-1].diagnostics)
    )
    assert editor.published[uri][-1].version == 2


async def test_saving_ends_typing(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    editor.replace(count, ("; shape 512 x 24", "; shape 512 x"))
    editor.save(count)
    await editor.until(
        lambda: (
            any(one.code == "intent-syntax" for one in editor.published[count.as_uri()][-1].diagnostics)
            if count.as_uri() in editor.published
            else False
        )
    )


async def test_a_version_that_falls_is_not_taken(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count, version=5)
    assert await editor.rules(count) == ["shape-drift"]
    whole = types.TextDocumentContentChangeWholeDocument("module nothing; endmodule\n")
    editor.send_change(count.as_uri(), 4, [whole])
    editor.replace(count, ("512 x 24", "128 x 24"))
    (finding,) = await editor.findings(count)
    assert "128 x 24" in finding.message
    versions = [one.version for one in editor.published[count.as_uri()]]
    assert versions == sorted(versions, key=lambda version: version or 0)
    assert 4 not in versions


async def test_closing_takes_the_findings_away(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    assert await editor.rules(count) == ["shape-drift"]
    editor.close(count)
    await editor.until(lambda: not editor.published[count.as_uri()][-1].diagnostics)


async def test_two_projects_and_a_file_in_none(editor: Editor, belt: Path, tmp_path: Path) -> None:
    other = belt / "other"
    other.mkdir()
    (other / "memlint.toml").write_text('sources = ["*.sv"]\n[rules]\nshape-drift = "error"\n')
    (other / "count.sv").write_text(REJECT_COUNT)
    alone = tmp_path.parent / f"{tmp_path.name}_alone" / "count.sv"
    alone.parent.mkdir()
    alone.write_text(REJECT_COUNT)
    count = belt / "rtl" / "reject_count.sv"
    for file in (count, other / "count.sv", alone):
        editor.open(file)
    severities = {}
    for file in (count, other / "count.sv", alone):
        (finding,) = await editor.findings(file)
        assert finding.code == "shape-drift"
        severities[file] = finding.severity
    warning, error = types.DiagnosticSeverity.Warning, types.DiagnosticSeverity.Error
    assert severities == {count: warning, other / "count.sv": error, alone: warning}


async def test_a_file_outside_the_sources_is_judged_alone(editor: Editor, belt: Path) -> None:
    draft = belt / "draft.sv"
    draft.write_text(REJECT_COUNT.replace("512 x 24", "16 x 24"))
    editor.open(draft)
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    (of_draft,) = await editor.findings(draft)
    (of_count,) = await editor.findings(count)
    # Both declare `reject_count`: neither draft nor project sees the other's.
    assert "16 x 24" in of_draft.message
    assert "512 x 24" in of_count.message


async def test_an_excluded_file_is_left_alone(editor: Editor, belt: Path) -> None:
    (belt / "memlint.toml").write_text('sources = ["rtl/*.sv"]\nexclude = ["rtl/reject_count.sv"]\n')
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    assert await editor.rules(count) == []


async def test_a_text_that_was_never_saved(editor: Editor) -> None:
    uri = "untitled:Untitled-1"
    editor.open_uri(uri, REJECT_COUNT)
    await editor.until(lambda: uri in editor.published)
    assert [one.code for one in editor.published[uri][-1].diagnostics] == ["shape-drift"]


async def test_latin_1_on_the_disk(editor: Editor, belt: Path) -> None:
    store, count = belt / "rtl" / "line_store.sv", belt / "rtl" / "reject_count.sv"
    store.write_bytes(b"// gr\xfcn\n" + LINE_STORE.encode())
    editor.open(count)
    assert await editor.rules(count) == ["shape-drift"]


async def test_files_that_change_on_the_disk(belt: Path) -> None:
    abilities = types.ClientCapabilities(
        workspace=types.WorkspaceClientCapabilities(
            did_change_watched_files=types.DidChangeWatchedFilesClientCapabilities(dynamic_registration=True)
        )
    )
    editor = await start(["utf-8"], abilities)
    await editor.until(lambda: bool(editor.registered))
    assert editor.registered[0].method == types.WORKSPACE_DID_CHANGE_WATCHED_FILES
    (belt / "rtl" / "count_bits.svh").write_text("`define COUNTS 1024\n")
    count = belt / "rtl" / "reject_count.sv"
    text = '`include "count_bits.svh"\n' + REJECT_COUNT.replace("1023", "`COUNTS-1").replace("512", "1K")
    editor.open(count, text)
    assert await editor.rules(count) == []
    (belt / "rtl" / "count_bits.svh").write_text("`define COUNTS 2048\n")
    event = types.FileEvent((belt / "rtl" / "count_bits.svh").as_uri(), types.FileChangeType.Changed)
    changed = types.DidChangeWatchedFilesParams([event, event])
    editor.client.workspace_did_change_watched_files(changed)
    await editor.until(lambda: len(editor.published[count.as_uri()]) > 1)
    assert "2,048" in editor.published[count.as_uri()][-1].diagnostics[0].message
    assert await editor.leave() == 0


async def test_too_many_findings_are_counted_not_shown(editor: Editor, belt: Path) -> None:
    many = belt / "rtl" / "many.sv"
    notes = "".join(f"  // @mem frobnicate {number}\n" for number in range(500))
    editor.open(many, f"module many;\n{notes}  logic x;\nendmodule\n")
    found = await editor.findings(many)
    assert len(found) < 300
    assert "more" in found[-1].message and "memlint check" in found[-1].message
