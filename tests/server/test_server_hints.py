"""What stands behind a declaration, and the hover on it."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from belt_sources import LINE_STORE, REJECT_COUNT
from lsp_editor import LIMIT, Editor, start
from lsprotocol import types

pytestmark = pytest.mark.asyncio(loop_scope="session")

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"

MARKDOWN = types.ClientCapabilities(
    text_document=types.TextDocumentClientCapabilities(
        hover=types.HoverClientCapabilities(content_format=[types.MarkupKind.Markdown])
    ),
    workspace=types.WorkspaceClientCapabilities(
        inlay_hint=types.InlayHintWorkspaceClientCapabilities(refresh_support=True)
    ),
)

ONE_CLOCK = LINE_STORE.replace("@(posedge cam_clk)", "@(posedge proc_clk)")
PORTS = "(.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q())"


def value(hover: types.Hover | None) -> str:
    assert hover is not None
    assert isinstance(hover.contents, types.MarkupContent)
    return hover.contents.value


async def test_hints_of_the_demo_project(any_editor: Editor) -> None:
    # By hand, from the shapes of `sorter-m` in its profile: bulk blocks are 8,192 x 40 and chain 16 long,
    # fabric blocks 64 x 6 or 32 x 12.
    store = SORTER / "rtl" / "background_store.sv"
    any_editor.open(store)
    (hint,) = (await any_editor.hints(store)).values()
    assert hint == "20 bulk · chain 20 in 2 pieces · 100 % full"
    frames = SORTER / "rtl" / "frame_store.sv"
    any_editor.open(frames)
    (hint,) = (await any_editor.hints(frames)).values()
    assert hint == "16 bulk · chain 16 · 100 % full"


async def test_a_hint_stands_at_the_end_of_the_line(any_editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    any_editor.open(store, ONE_CLOCK.replace("[0:WORDS-1];", "[0:WORDS-1]; // \N{EAR OF RICE} lines"))
    whole = types.Range(types.Position(0, 0), types.Position(99, 0))
    params = types.InlayHintParams(types.TextDocumentIdentifier(store.as_uri()), whole)
    (hint,) = await any_editor.client.text_document_inlay_hint_async(params) or ()
    # 65,536 x 40 in blocks of 8,192 x 40.
    assert hint.label == "8 bulk · chain 8 · 100 % full"
    assert hint.padding_left
    assert hint.position.line == 7
    before = types.Range(types.Position(7, 0), hint.position)
    assert any_editor.covered(store, before).endswith("\N{EAR OF RICE} lines")


async def test_only_the_lines_that_are_asked_for(editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    above = types.Range(types.Position(0, 0), types.Position(6, 0))
    params = types.InlayHintParams(types.TextDocumentIdentifier(store.as_uri()), above)
    assert not await editor.client.text_document_inlay_hint_async(params)


async def test_numbers_are_those_of_the_text_as_it_is(editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    editor.open(store, ONE_CLOCK)
    before = 65536
    for words, blocks in ((8192, 1), (8193, 2), (24576, 3)):
        editor.replace(store, (f"WORDS = {before}", f"WORDS = {words}"))
        assert (await editor.hints(store))[8].startswith(f"{blocks} bulk")
        before = words


async def test_instances_that_differ_are_a_range(editor: Editor, belt: Path) -> None:
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        f"  line_store #(.WORDS(8192)) u_short {PORTS};\n"
        f"  line_store #(.WORDS(20480)) u_long {PORTS};\nendmodule\n"
    )
    editor.open(store)
    # 1 block full, and 3 blocks for 2.5 blocks' worth of words: 83 %.
    assert (await editor.hints(store))[8] == ("2 x 1 to 3 = 4 bulk · chain 1 to 3 · 83 to 100 % full")
    text = value(await editor.hover(store, "words [0"))
    assert "belt_top.u_short.words" in text and "belt_top.u_long.words" in text


async def test_an_assumed_tier_and_an_unknown_shape_say_so(editor: Editor, belt: Path) -> None:
    count = belt / "rtl" / "reject_count.sv"
    editor.open(count, REJECT_COUNT.replace("    // @mem in block; shape 512 x 24\n", ""))
    # 1,024 x 24 is one block of that shape.
    assert (await editor.hints(count))[7] == "1 block · 100 % full · assumed"
    editor.replace(count, ("1023", "JETS-1"))
    hint = (await editor.hints(count))[7]
    assert hint.startswith("shape unknown: ") and "JETS" in hint


async def test_hover_in_plain_text(any_editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    any_editor.open(store)
    hover = await any_editor.hover(store, "words [0", into=2)
    assert hover is not None and hover.range is not None
    assert any_editor.covered(store, hover.range) == "words"
    text = value(hover)
    assert isinstance(hover.contents, types.MarkupContent)
    assert hover.contents.kind is types.MarkupKind.PlainText
    assert "`" not in text and "**" not in text
    for part in (
        "line_store.words",
        "65,536 x 40",
        "1w 1r",
        "line_store.cam_clk",
        "line_store.proc_clk",
        "synchronous",
        "in bulk from its declaration, rtl/line_store.sv:7",
        # Ceiling of 65,536/512 words times 40/48 bits: 128 blocks at most of 512 x 48.
        "in block: ",
    ):
        assert part in text, part


@pytest.mark.parametrize(
    ("marked", "found"),
    [("words[wa]", True), ("in bulk", True), ("[39:0] words", True), ("posedge", False), ("module", False)],
)
async def test_where_there_is_a_hover(editor: Editor, belt: Path, marked: str, found: bool) -> None:
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    assert (await editor.hover(store, marked, into=1) is not None) is found


async def test_hover_says_which_intent_won(editor: Editor, belt: Path) -> None:
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        "  // @mem in block\n"
        f"  line_store #(.WORDS(8192)) u_store {PORTS};\n"
        "endmodule\n"
    )
    editor.open(store)
    text = value(await editor.hover(store, "words [0"))
    assert "in block from instance belt_top.u_store, rtl/belt_top.sv:2" in text
    assert "in bulk from its declaration" not in text


async def test_hover_in_markdown_and_a_refresh_for_other_files(belt: Path) -> None:
    editor = await start(["utf-32", "utf-8"], MARKDOWN)
    assert editor.encoding == "utf-8"
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        f"  line_store #(.WORDS(8192)) u_the_store {PORTS};\n"
        "endmodule\n"
    )
    editor.open(store)
    editor.open(top)
    hover = await editor.hover(store, "words [0")
    text = value(hover)
    assert hover is not None and isinstance(hover.contents, types.MarkupContent)
    assert hover.contents.kind is types.MarkupKind.Markdown
    assert "**words: 1 bulk · 100 % full**" in text
    assert "`belt_top.u_the_store.words`" in text
    # An underscore within a word marks nothing (CommonMark 0.31.2, section 6.2), and some editors would show
    # a backslash.
    assert "rtl/line_store.sv" in text and "\\" not in text
    assert editor.refreshes == 0
    editor.replace(top, ("8192", "16384"))
    await editor.until(lambda: editor.refreshes > 0)
    assert (await editor.hints(store))[8].startswith("2 bulk")
    assert await editor.leave() == 0


async def test_hover_says_where_the_shape_comes_from(editor: Editor, belt: Path) -> None:
    """Every name that the dimensions mention, its value, and who set it."""
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    package = belt / "rtl" / "belt_pkg.sv"
    package.write_text("package belt_pkg;\n  parameter int LINES = 24;\nendpackage\n")
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        f"  line_store #(\n    .WORDS(LINES * 1024)) u_store {PORTS};\n".replace("LINES", "belt_pkg::LINES")
        + "endmodule\n"
    )
    editor.open(store)
    text = value(await editor.hover(store, "words [0"))
    assert "Shape from" in text
    # 24 lines of 1,024 words; the parameter is declared on line 1 and overridden on line 3 of the top.
    assert "WORDS is 24,576 (rtl/line_store.sv:1), set by the instance (rtl/belt_top.sv:3)" in text
    assert "LINES is 24 (rtl/belt_pkg.sv:2)" in text


async def test_who_types_elsewhere_keeps_nobody_waiting(editor: Editor, belt: Path) -> None:
    """Every change is due to be analysed, and steady typing never comes to an end: what was asked about one
    file is answered while it goes on in another."""
    store, count = belt / "rtl" / "line_store.sv", belt / "rtl" / "reject_count.sv"
    editor.open(store)
    editor.open(count)
    await editor.findings(store)
    is_answered = False

    async def typing() -> None:
        while not is_answered:
            editor.replace(count, ("counts [0:", "counts [ 0:"))
            editor.replace(count, ("counts [ 0:", "counts [0:"))
            await asyncio.sleep(0.01)

    editor.replace(count, ("1023", "2047"))
    typist = asyncio.create_task(typing())
    try:
        hint, hover = await asyncio.gather(editor.hints(store), editor.hover(store, "words [0"))
        assert hint[8] and "words" in value(hover)
    finally:
        is_answered = True
        await typist


async def test_hover_in_vhdl_follows_types(editor: Editor, belt: Path) -> None:
    (belt / "memlint.toml").write_text('device = "sorter-m"\nsources = ["rtl/*.vhd"]\n')
    path = belt / "rtl" / "lines.vhd"
    path.write_text(
        "library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;\n"
        "entity lines is port (we, clk : in std_logic; a : in unsigned(8 downto 0);\n"
        "  d : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end entity;\n"
        "architecture rtl of lines is\n"
        "  constant DEPTH : natural := 512;\n"
        "  subtype word_t is std_logic_vector(7 downto 0);\n"
        "  type lines_t is array (0 to DEPTH - 1) of word_t;\n"
        "  signal mem : lines_t;\n"
        "begin\n  process (clk) begin if rising_edge(clk) then\n"
        "    if we = '1' then mem(to_integer(a)) <= d; end if; q <= mem(to_integer(a));\n"
        "  end if; end process;\nend architecture;\n"
    )
    editor.open(path)
    text = value(await editor.hover(path, "mem :"))
    # 512 words of 8 bits are 4,096 bits.
    for part in (
        "type lines_t has 4,096 bits (rtl/lines.vhd:7)",
        "DEPTH is 512 (rtl/lines.vhd:5)",
        "type word_t has 8 bits (rtl/lines.vhd:6)",
    ):
        assert part.lower() in text.lower(), part


async def test_what_is_kept_off_the_chip_has_a_size(editor: Editor, belt: Path) -> None:
    """No blocks: 65,536 x 40 bits are 2,621,440, 2.5 Mibit."""
    store = belt / "rtl" / "line_store.sv"
    editor.open(store, LINE_STORE.replace("in bulk", "in external"))
    assert (await editor.hints(store))[8] == "external · 2.5 Mibit"


async def test_instances_that_do_not_fit_are_counted(editor: Editor, belt: Path) -> None:
    """Two clocks in `bulk`, whose ports share one."""
    store, top = belt / "rtl" / "line_store.sv", belt / "rtl" / "belt_top.sv"
    two = PORTS.replace("(c)", "(d[0])", 1)
    top.write_text(
        "module belt_top (input logic c, w, input logic [15:0] a, b, input logic [39:0] d);\n"
        f"  line_store #(.WORDS(8192)) u_left {two};\n  line_store #(.WORDS(8192)) u_right {two};\nendmodule\n"
    )
    editor.open(store)
    assert (await editor.hints(store))[8] == "does not fit bulk: clocks · would be 1 · 2 instances"


async def test_a_request_may_be_given_up(editor: Editor, belt: Path) -> None:
    store = belt / "rtl" / "line_store.sv"
    editor.open(store)
    whole = types.Range(types.Position(0, 0), types.Position(99, 0))
    params = types.InlayHintParams(types.TextDocumentIdentifier(store.as_uri()), whole)
    # The document was opened just now, so that the answer has to wait for an analysis.
    asked = editor.client.protocol.send_request(types.TEXT_DOCUMENT_INLAY_HINT, params, msg_id="given-up")
    editor.client.protocol.notify(types.CANCEL_REQUEST, types.CancelParams("given-up"))
    with pytest.raises(Exception, match="Cancelled"):
        await asyncio.wait_for(asyncio.wrap_future(asked), LIMIT)
    assert (await editor.hints(store))[8]
