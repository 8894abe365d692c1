"""Completion inside intents, and nowhere else."""

from __future__ import annotations

from pathlib import Path

import pytest
from belt_sources import LINE_STORE
from lsp_editor import Editor
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")


async def proposed(
    editor: Editor, path: Path, intent: str, text: str = LINE_STORE, instead: str = "// @mem in bulk"
) -> list[types.CompletionItem]:
    """What is proposed at the `|` of an intent, written in another one's place: that above the array."""
    before, _, after = intent.partition("|")
    editor.open(path, text)
    await editor.findings(path)
    editor.replace(path, (instead, before + after))
    uri = path.as_uri()
    place = editor.position(editor.texts[uri], editor.texts[uri].index(before + after) + len(before))
    params = types.CompletionParams(types.TextDocumentIdentifier(uri), place)
    found = await editor.ask(types.TEXT_DOCUMENT_COMPLETION, params)
    editor.close(path)
    return list(found.items) if found is not None else []


@pytest.mark.parametrize(
    ("intent", "first", "absent"),
    [
        ("// @mem |", ["in", "shape", "ports", "one clock"], ["bulk"]),
        ("// @mem in bulk; |", ["shape"], ["in", "bulk"]),
        # The tiers of sorter-m, in its profile's order, and the one that every device has.
        ("// @mem in |", ["fabric", "block", "bulk", "registers"], ["shape", "or"]),
        ("// @mem in bu|", ["fabric", "block", "bulk"], ["shape"]),
        ("// @mem in bulk |", ["or"], ["bulk"]),
        ("// @mem in bulk or |", ["fabric", "block"], ["or"]),
        ("// @mem budget |", ["fabric", "block", "bulk"], []),
        ("// @mem budget block |", ["<="], []),
        # Those that clock something come first, then what else has one bit.
        ("// @mem clocks |", ["cam_clk", "proc_clk", "we"], ["wa", "d", "words"]),
        ("// @mem clocks cam_clk, |", ["proc_clk"], ["cam_clk"]),
        ("// @mem shape |", ["64K x 40"], ["in"]),
        ("// @mem ports |", ["1w 1r", "1rw"], []),
        ("// @mem read |", ["within"], []),
        ("// @mem same address |", ["before", "after", "any", "never"], []),
        ("// @mem holds 64 x 1522 |", ["bit", "kbit"], ["x"]),
        ("// @mem holds 2 ms |", ["at"], []),
        ("// @mem holds 2 ms at 10 |", ["kbit/s", "Mbit/s", "Gbit/s"], []),
        ("// @mem accept shallow-wide |", ["because"], []),
        ('// @mem why "in |"', [], []),
        ("// mem in |", [], []),
        ("/* @mem in bulk; sh| */", ["shape"], ["in"]),
    ],
)
async def test_what_fits(
    modern: Editor, belt: Path, intent: str, first: list[str], absent: list[str]
) -> None:
    labels = [one.label for one in await proposed(modern, belt / "rtl" / "line_store.sv", intent)]
    assert labels[: len(first)] == first
    assert not set(labels) & set(absent)
    if not first:
        assert not labels


async def test_rules_are_proposed_after_accept(modern: Editor, belt: Path) -> None:
    labels = {one.label for one in await proposed(modern, belt / "rtl" / "line_store.sv", "// @mem accept |")}
    assert {"shallow-wide", "two-clocks-on-one-clock-tier", "chain-over-column"} <= labels


BELT = """\
module belt (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);
    for (genvar g = 0; g < 2; g++) begin : lane
        line_store #(.WORDS(8192)) u_store (.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q());
    end
endmodule
"""
TOP = """\
module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);
    // @mem in bulk; one clock
    // @mem HERE
    (* keep *)

    belt u_belt (.c(c), .w(w), .a(a), .b(b), .d(d)); // note
    line_store u_one (.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q()); // @mem THERE
endmodule
"""


@pytest.mark.parametrize(
    ("intent", "place", "labels"),
    [
        ("on |", "HERE", ["lane[*].u_store.words", "lane[0].u_store.words", "lane[1].u_store.words"]),
        (
            "on lane[0].u|",
            "HERE",
            ["lane[*].u_store.words", "lane[0].u_store.words", "lane[1].u_store.words"],
        ),
        (
            "on |: in bulk",
            "HERE",
            ["lane[*].u_store.words", "lane[0].u_store.words", "lane[1].u_store.words"],
        ),
        ("on |", "THERE", ["words"]),
    ],
)
async def test_the_memories_below_an_instance(
    modern: Editor, belt: Path, intent: str, place: str, labels: list[str]
) -> None:
    (belt / "rtl" / "belt.sv").write_text(BELT)
    top = belt / "rtl" / "belt_top.sv"
    items = await proposed(modern, top, f"// @mem {intent}", TOP, f"// @mem {place}")
    assert [one.label for one in items] == labels
    # One block of 8,192 x 40 each.
    assert items[0].detail is not None and "bulk" in items[0].detail
    edit = items[0].text_edit
    assert isinstance(edit, types.TextEdit) and edit.new_text == labels[0]
    typed = intent.partition("|")[0].removeprefix("on ")
    assert edit.range.end.character - edit.range.start.character == len(typed)


async def test_behind_a_path_no_clause_about_the_unit_is_proposed(modern: Editor, belt: Path) -> None:
    (belt / "rtl" / "belt.sv").write_text(BELT)
    intent = "// @mem on lane[0].u_store.words: |"
    labels = [
        one.label for one in await proposed(modern, belt / "rtl" / "belt_top.sv", intent, TOP, "// @mem HERE")
    ]
    assert labels[0] == "in" and not {"budget", "plan", "times", "on"} & set(labels)


async def test_a_clause_that_may_stand_twice_is_proposed_again(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    labels = {
        one.label
        for one in await proposed(modern, store, '// @mem budget bulk <= 3; accept x because "y"; |')
    }
    assert {"budget", "accept"} <= labels


async def test_on_is_proposed_over_instances_only(modern: Editor, belt: Path) -> None:
    (belt / "rtl" / "belt.sv").write_text(BELT)
    top = belt / "rtl" / "belt_top.sv"
    over_instance = await proposed(modern, top, "// @mem |", TOP, "// @mem HERE")
    assert [one.label for one in over_instance][:2] == ["on", "in"]
    assert not await proposed(modern, belt / "rtl" / "line_store.sv", "// @mem on |")
    over_array = await proposed(modern, belt / "rtl" / "line_store.sv", "// @mem |")
    assert "on" not in [one.label for one in over_array]


async def test_nothing_outside_intents(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    modern.open(store)
    for marked in ("module", "[39:0] words", "always_ff", "// @m"):
        place = modern.at(store, marked, 1)
        params = types.CompletionParams(place["text_document"], place["position"])
        assert await modern.ask(types.TEXT_DOCUMENT_COMPLETION, params) is None


async def test_a_word_is_replaced_and_explained(modern: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    items = {one.label: one for one in await proposed(modern, store, "// @mem in bu|")}
    edit = items["bulk"].text_edit
    assert isinstance(edit, types.TextEdit) and edit.new_text == "bulk"
    assert edit.range.end.character - edit.range.start.character == len("bu")
    modern.open(store)
    await modern.findings(store)
    explained = await modern.ask(types.COMPLETION_ITEM_RESOLVE, items["bulk"])
    # The profile of sorter-m: 96 blocks of 327,680 bits, one clock, chains of 16.
    for part in ("96 blocks of 327,680 bits", "one clock", "16 blocks", "8,192 x 40"):
        assert part in explained.documentation.value, part
    clauses = {one.label: one for one in await proposed(modern, store, "// @mem |")}
    assert clauses["shape"].insert_text_format is types.InsertTextFormat.Snippet
    shape = await modern.ask(types.COMPLETION_ITEM_RESOLVE, clauses["shape"])
    assert "2^10" in shape.documentation.value
    rules = {one.label: one for one in await proposed(modern, store, "// @mem accept |")}
    rule = await modern.ask(types.COMPLETION_ITEM_RESOLVE, rules["shallow-wide"])
    assert rule.documentation.value


async def test_an_editor_without_snippets_gets_words(editor: Editor, belt: Path) -> None:
    items = {one.label: one for one in await proposed(editor, belt / "rtl" / "line_store.sv", "// @mem |")}
    edit = items["shape"].text_edit
    assert isinstance(edit, types.TextEdit) and edit.new_text == "shape"


async def test_clocks_of_a_vhdl_architecture(modern: Editor, belt: Path) -> None:
    (belt / "memlint.toml").write_text('device = "sorter-m"\nsources = ["rtl/*.vhd"]\n')
    text = (
        "library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;\n"
        "entity lines is port (we, clk : in std_logic; a : in unsigned(8 downto 0);\n"
        "  d : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end entity;\n"
        "architecture rtl of lines is\n"
        "  type lines_t is array (0 to 511) of std_logic_vector(7 downto 0);\n"
        "  // @mem in bulk\n".replace("//", "--")
        + "  signal mem : lines_t;\n"
        "begin\n  process (clk) begin if rising_edge(clk) then\n"
        "    if we = '1' then mem(to_integer(a)) <= d; end if; q <= mem(to_integer(a));\n"
        "  end if; end process;\nend architecture;\n"
    ).replace("-- @mem in bulk", "-- // @mem in bulk".replace("// ", ""))
    path = belt / "rtl" / "lines.vhd"
    modern.open(path, text)
    await modern.findings(path)
    modern.replace(path, ("-- @mem in bulk", "-- @mem clocks "))
    place = modern.at(path, "-- @mem clocks ", len("-- @mem clocks "))
    params = types.CompletionParams(place["text_document"], place["position"])
    found = await modern.ask(types.TEXT_DOCUMENT_COMPLETION, params)
    labels = [one.label for one in found.items]
    assert labels[0] == "clk" and "we" in labels and "a" not in labels
