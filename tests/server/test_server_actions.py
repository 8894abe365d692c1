"""What can be done about a finding or a memory, as an editor applies it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from belt_sources import LINE_STORE, REJECT_COUNT
from lsp_editor import Editor, start
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")

SHALLOW = """\
module pulse_store (
    input  logic        clk, we,
    input  logic [3:0]  wa, ra,
    input  logic [71:0] d,
    output logic [71:0] q
);
{above}    logic [71:0] pulses [0:15];
    always_ff @(posedge clk) begin
        if (we) pulses[wa] <= d;
        q <= pulses[ra];
    end
endmodule
"""
"""A memory that is far too shallow for blocks."""


async def actions(
    editor: Editor, path: Path, marked: str, only: Sequence[str] | None = None
) -> dict[str, types.CodeAction]:
    place = editor.at(path, marked)
    said = editor.published.get(path.as_uri())
    context = types.CodeActionContext(list(said[-1].diagnostics) if said else [], only=only)
    at = types.Range(place["position"], place["position"])
    params = types.CodeActionParams(place["text_document"], at, context)
    found = await editor.ask(types.TEXT_DOCUMENT_CODE_ACTION, params)
    return {one.title: one for one in found or ()}


async def edits_of(editor: Editor, action: types.CodeAction) -> dict[str, list[Any]]:
    """The edits of an action by URI, resolved if need be."""
    if action.edit is None:
        action = await editor.ask(types.CODE_ACTION_RESOLVE, action)
    assert action.edit is not None
    if action.edit.changes is not None:
        return {uri: list(edits) for uri, edits in action.edit.changes.items()}
    found: dict[str, list[Any]] = {}
    for change in action.edit.document_changes or ():
        assert isinstance(change, types.TextDocumentEdit)
        assert change.text_document.version == editor.versions.get(change.text_document.uri)
        found[change.text_document.uri] = list(change.edits)
    return found


async def apply(editor: Editor, path: Path, action: types.CodeAction) -> str:
    """The text after an action that edits this file only."""
    ((uri, edits),) = (await edits_of(editor, action)).items()
    assert uri == path.as_uri()
    return editor.applied(uri, edits)


async def test_a_fix_is_resolved_when_it_is_chosen(modern: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    modern.open(count)
    (finding,) = await modern.findings(count)
    found = await actions(modern, count, "shape 512")
    (fix,) = (one for one in found.values() if one.is_preferred)
    assert fix.kind == types.CodeActionKind.QuickFix
    assert fix.edit is None and list(fix.diagnostics or ()) == [finding]
    # The HDL has 1,024 words.
    assert "// @mem in block; shape 1K x 24\n" in await apply(modern, count, fix)


async def test_an_editor_that_cannot_resolve_gets_the_edits_at_once(belt: Path) -> None:
    abilities = types.ClientCapabilities(
        text_document=types.TextDocumentClientCapabilities(
            code_action=types.CodeActionClientCapabilities(
                code_action_literal_support=types.ClientCodeActionLiteralOptions(
                    types.ClientCodeActionKindOptions([])
                )
            )
        )
    )
    editor = await start(None, abilities)
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    await editor.findings(count)
    found = await actions(editor, count, "shape 512")
    assert found and all(one.edit is not None and one.edit.changes for one in found.values())
    (all_fixes,) = (await actions(editor, count, "module", ["source.fixAll"])).values()
    assert all_fixes.edit is not None and all_fixes.edit.changes
    assert "shape 1K x 24" in editor.applied(count.as_uri(), all_fixes.edit.changes[count.as_uri()])
    assert await editor.leave() == 0


async def test_an_editor_that_knows_commands_only_gets_none(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count)
    await editor.findings(count)
    assert not await actions(editor, count, "shape 512")


@pytest.mark.parametrize(
    "intent", ["    // @mem in block; shape 16 x 72\n", "    /* @mem in block; */\n", ""]
)
async def test_accepting_a_finding(modern: Editor, belt: Path, intent: str) -> None:
    store = belt / "rtl" / "pulse_store.sv"
    text = SHALLOW.format(above=intent)
    if not intent:
        text = text.replace("    logic [71:0] pulses", '    (* ram_block = "yes" *) logic [71:0] pulses')
    modern.open(store, text)
    before = await modern.rules(store)
    rule = next(
        one for one in before if one in ("shallow-wide", "tiny-on-large-blocks", "attribute-disagrees")
    )
    marked = "pulses [0"
    (accept,) = (
        one
        for title, one in (await actions(modern, store, marked)).items()
        if title.startswith(f"Accept this {rule}")
    )
    ((uri, (edit,)),) = (await edits_of(modern, accept)).items()
    # The reason is a place to fill in (LSP 3.18, "Snippet in text edits"; an ability that was stated).
    assert isinstance(edit, types.SnippetTextEdit)
    assert edit.snippet.value.count("${1:say why this is wanted}") == 1
    edit.snippet.value = edit.snippet.value.replace("${1:say why this is wanted}", "few pulses")
    after = modern.applied(uri, [edit])
    written = f'accept {rule} because "few pulses"'
    assert written in after
    if not intent:
        assert f"\n    // @mem {written}\n    (* ram_block" in after
    modern.versions[uri] += 1
    modern.texts[uri] = after
    modern.send_change(uri, modern.versions[uri], [types.TextDocumentContentChangeWholeDocument(after)])
    assert sorted(await modern.rules(store)) == sorted(one for one in before if one != rule)


async def test_only_what_an_acceptance_silences_can_be_accepted(modern: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    modern.open(count, REJECT_COUNT.replace("shape 512", "shpe 512"))
    assert await modern.rules(count) == ["intent-syntax"]
    found = await actions(modern, count, "shpe 512")
    assert not any(title.startswith("Accept") for title in found)


@pytest.mark.parametrize(("language", "opener"), [("systemverilog", "// @mem "), ("vhdl", "-- @mem ")])
async def test_writing_an_intent(modern: Editor, belt: Path, language: str, opener: str) -> None:
    if language == "vhdl":
        (belt / "memlint.toml").write_text('device = "sorter-m"\nsources = ["rtl/*.vhd"]\n')
        path, text, marked = belt / "rtl" / "counts.vhd", COUNTS_VHDL, "counts : counts_t"
    else:
        path, text = (
            belt / "rtl" / "reject_count.sv",
            REJECT_COUNT.replace("    // @mem in block; shape 512 x 24\n", ""),
        )
        marked = "counts [0"
    modern.open(path, text)
    await modern.findings(path)
    found = await actions(modern, path, marked)
    (write,) = (one for title, one in found.items() if title.startswith("Write an intent"))
    after = await apply(modern, path, write)
    line = next(line for line in after.splitlines() if "@mem" in line)
    assert line.strip() == f"{opener}in block; shape 1K x 24; ports 1w 1r; one clock"
    # Indented like what it stands above.
    assert line.index("@mem") == after.splitlines()[after.splitlines().index(line) + 1].index(
        after.splitlines()[after.splitlines().index(line) + 1].strip()
    ) + len(opener) - len("@mem ")


COUNTS_VHDL = """\
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
entity counts_of_rejects is
  port (clk, we : in std_logic; wa, ra : in unsigned(9 downto 0);
        d : in std_logic_vector(23 downto 0); q : out std_logic_vector(23 downto 0));
end entity;
architecture rtl of counts_of_rejects is
  type counts_t is array (0 to 1023) of std_logic_vector(23 downto 0);
  signal counts : counts_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        counts(to_integer(wa)) <= d;
      end if;
      q <= counts(to_integer(ra));
    end if;
  end process;
end architecture;
"""


async def test_moving_to_another_tier(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    modern.open(store, LINE_STORE.replace("in bulk", "in bulk; ports 1w 1r"))
    await modern.findings(store)
    found = await actions(modern, store, "words [0")
    moves = {title: one for title, one in found.items() if title.startswith("Move words to")}
    # 65,536 x 40 on `block` of sorter-m: 512 x 48, 1,024 x 24 and so on down; 128 blocks of 512 x 48 at most.
    (title,) = (one for one in moves if one.startswith("Move words to block: "))
    assert "// @mem in block; ports 1w 1r\n" in await apply(modern, store, moves[title])


async def test_moving_a_memory_whose_intent_names_no_tier(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    for before, after in (
        ("    // @mem in bulk\n", "    // @mem in bulk\n    logic [39:0] words"),
        ("    // @mem ports 1w 1r\n", "    // @mem in bulk; ports 1w 1r\n"),
    ):
        text = LINE_STORE.replace("    // @mem in bulk\n", before if "ports" in before else "")
        text = text.replace("@(posedge cam_clk)", "@(posedge proc_clk)")
        modern.open(store, text)
        await modern.findings(store)
        found = await actions(modern, store, "words [0")
        (move,) = (one for title, one in found.items() if title.startswith("Move words to bulk"))
        assert after in await apply(modern, store, move)
        modern.close(store)


async def test_an_assumed_tier_can_be_stated(modern: Editor, belt: Path) -> None:
    """The intent names none, so that `block` is assumed: more than 32 deep, and synchronous."""
    store = belt / "rtl" / "line_store.sv"
    text = LINE_STORE.replace("WORDS = 65536", "WORDS = 512").replace("in bulk", "ports 1w 1r")
    modern.open(store, text)
    await modern.findings(store)
    found = await actions(modern, store, "words [0")
    (state,) = (
        one for title, one in found.items() if title.startswith("State that words is in block: 1 block")
    )
    assert "// @mem in block; ports 1w 1r\n" in await apply(modern, store, state)
    modern.replace(store, ("ports 1w 1r", "in block; ports 1w 1r"))
    await modern.findings(store)
    assert not [one for one in await actions(modern, store, "words [0") if one.startswith("State that")]


async def test_an_instance_s_intent_is_edited_in_its_own_file(modern: Editor, belt: Path) -> None:
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        "  // @mem in bulk; shape 4K x 40\n"
        "  line_store #(.WORDS(8192)) u_store (.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q());\n"
        "endmodule\n"
    )
    modern.open(store)
    await modern.findings(store)
    found = await actions(modern, store, "words [0")
    (move,) = (one for title, one in found.items() if title.startswith("Move words to block"))
    ((uri, (edit,)),) = (await edits_of(modern, move)).items()
    assert uri == top.as_uri()
    assert (edit.new_text, edit.range.start.line) == ("in block", 1)


async def test_all_fixes_of_a_file_at_once(modern: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    text = REJECT_COUNT.replace(
        "// @mem in block; shape 512 x 24",
        '// @mem in blok; shape 512 x 24; ports 2w 1r; accept shallow-wide because "was so"',
    )
    modern.open(count, text)
    await modern.findings(count)
    found = await actions(modern, count, "module", ["source"])
    (fix_all,) = found.values()
    assert fix_all.kind == "source.fixAll.memlint"
    after = await apply(modern, count, fix_all)
    assert "shape 1K x 24" in after and "accept" not in after
    # Asked for in another way, it is the same; other kinds leave it out.
    assert "Apply all safe fixes in this file" in await actions(modern, count, "module")
    assert not await actions(modern, count, "module", ["source.organizeImports"])
    assert not any(
        one.kind == "source.fixAll.memlint"
        for one in (await actions(modern, count, "shape", ["quickfix"])).values()
    )
    # The text is as it was until the editor changes it.
    assert (await modern.findings(count)) == modern.published[count.as_uri()][-1].diagnostics


async def test_an_action_that_is_no_longer_offered(modern: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    modern.open(count)
    await modern.findings(count)
    found = await actions(modern, count, "shape 512")
    (fix,) = (one for one in found.values() if one.is_preferred)
    modern.replace(count, ("shape 512", "shape 1024"))
    with pytest.raises(Exception, match="no longer offered"):
        await modern.ask(types.CODE_ACTION_RESOLVE, fix)
