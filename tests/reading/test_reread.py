"""Reading again what an edit lies in gives what reading the whole file gives, spans and all."""

import copy
from dataclasses import replace

import pytest
from all_of_it import all_of
from hypothesis import given
from hypothesis import strategies as st

from memlint.reading.facts.moved import unmoved
from memlint.reading.verilog.macros import MacroTable
from memlint.reading.verilog.read import VerilogReading, read_verilog
from memlint.reading.verilog.reread import reread_verilog
from memlint.text.source import SourceText

SORTER = """\
// Grain sorter: delay line to the air-jet valves.
`define LANES 64
`ifdef BENCH
module bench; endmodule
`endif
typedef logic [7:0] grain_t;

module delay_line #(parameter DEPTH = 512) (input clk, input [7:0] d, output reg [7:0] q);
  // @mem in block; shape 512 x 8
  reg [7:0] line [0:DEPTH-1];
  reg [8:0] at = 0;
`ifdef SLOW
  wire step = 1'b0;
`else
  wire step = 1'b1;
`endif
  always @(posedge clk) begin
    at <= at + step;
    q <= line[at]; line[at] <= d;
  end
endmodule

package colours;
  localparam CLASSES = 16;
endpackage : colours

module classifier import colours::*; (input clk, input [7:0] pixel, output grain_t kind);
  grain_t table_q [0:255]; // @mem in block
  always_ff @(posedge clk) kind <= table_q[pixel];
  // @mem budget block <= 4
  genvar g;
  generate for (g = 0; g < `LANES; g = g + 1) begin : valve
    delay_line #(.DEPTH(128)) u_delay (.clk(clk), .d(kind), .q());
  end endgenerate
endmodule

module sorter(input clk);
  // @mem shape 4
  reg [3:0] reject [0:15];
  classifier u_class (.clk, .pixel(8'd3), .kind());
endmodule
"""
MARK = "  at <= at"
TYPED = [
    *"a _ 7 ; : , . ( ) [ ] { } ' \\ \" # = <= // /* */ @mem (* *) `LANES `UNKNOWN `ifdef `else `endif".split(),
    *"module endmodule interface endinterface package begin end if else case function logic int do".split(),
    *["\n", " ", "\r\n", "`define X 1\n", '`include "common.vh"\n', "`__LINE__", "// @mem in bulk\n"],
    *["reg [3:0] more [0:7];", " // @mem holds 4 byte\n", "module extra; endmodule\n", "endmodule\n"],
    *["`begin_keywords", "// synthesis translate_off\n", "// synthesis translate_on\n", "`LATE(", ": sorter"],
]


def nothing(_name: str, _including: str) -> None:
    return None


def whole(text: str, name: str = "sorter.sv", macros: MacroTable | None = None) -> VerilogReading:
    return read_verilog(SourceText(name, text), macros or MacroTable(), nothing)


def again(old: str, before: VerilogReading, new: str) -> VerilogReading:
    name = before.facts.file
    macros = before.trail.macros if before.trail else MacroTable()
    return reread_verilog(old, before, SourceText(name, new), macros, nothing)


def check(old: str, before: VerilogReading, new: str) -> VerilogReading:
    """Reads again after an edit and compares with reading all."""
    after = again(old, before, new)
    wanted = whole(new, before.facts.file)
    # Comparing first what spans do not take part in, while nothing that moved was asked for yet.
    assert after.facts == wanted.facts
    assert all_of(after.facts) == all_of(wanted.facts)
    assert {name: (macro, macro.span) for name, macro in after.macros.macros.items()} == {
        name: (macro, macro.span) for name, macro in wanted.macros.macros.items()
    }
    return after


def kept(before: VerilogReading, after: VerilogReading) -> list[str]:
    """Names of the units that were not read again."""
    old = {id(unmoved(unit)) for unit in before.facts.units}
    return [unit.name for unit in after.facts.units if id(unmoved(unit)) in old]


edits = st.tuples(
    st.floats(0, 1, exclude_max=True), st.sampled_from([0, 0, 0, 1, 2, 7, 40]), st.sampled_from(["", *TYPED])
)


@given(st.lists(edits, min_size=1, max_size=6), st.sampled_from(["sorter.sv", "sorter.v"]))
def test_any_edits_in_a_row(edits: list[tuple[float, int, str]], name: str) -> None:
    text = SORTER
    reading = whole(text, name)
    for share, taken_out, put_in in edits:
        place = int(share * len(text))
        new = text[:place] + put_in + text[place + taken_out :]
        reading = check(text, reading, new)
        text = new


@given(st.integers(0, len(SORTER)), st.sampled_from(TYPED))
def test_typing_something_and_taking_it_back(place: int, typed: str) -> None:
    before = whole(SORTER)
    changed = SORTER[:place] + typed + SORTER[place:]
    between = check(SORTER, before, changed)
    check(changed, between, SORTER)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("at + step", "at + step + 1"),
        ("DEPTH-1", "DEPTH"),
        ("in block; shape 512 x 8", "in bulk"),
        ("at <= at + step;", "at <= at +"),
        ("reg [8:0] at = 0;", ""),
        ("reg [8:0] at = 0;", "reg [8:0] at = 0;\n\n  wire [3:0] late = `LANES;\n"),
        ("step = 1'b1", "step = 1'b1 & 1'b1"),
        ("q <= line[at];", "begin q <= line[at];"),
    ],
)
def test_other_units_are_not_read_again(old: str, new: str) -> None:
    before = whole(SORTER)
    text = SORTER.replace(old, new, 1)
    after = check(SORTER, before, text)
    assert kept(before, after) == ["colours", "classifier", "sorter"]
    assert after.facts.units[0] is not before.facts.units[0]


def test_units_before_the_edit_stay_the_same_objects_and_so_does_what_did_not_move() -> None:
    before = whole(SORTER)
    same_length = SORTER.replace("table_q[pixel]", "table_q[~ixel]")
    after = check(SORTER, before, same_length)
    mine, its = before.facts.units, after.facts.units
    assert [a is b for a, b in zip(mine, its, strict=True)] == [True, True, False, True]
    longer = SORTER.replace("table_q[pixel]", "table_q[pixel ]")
    after = check(SORTER, before, longer)
    assert after.facts.units[0] is before.facts.units[0]
    assert unmoved(after.facts.units[3]) is before.facts.units[3]
    # What moved and moved back is where it was.
    back = again(longer, after, SORTER)
    assert back.facts.units[3] is before.facts.units[3]


def test_a_moved_unit_stands_where_its_text_stands() -> None:
    before = whole(SORTER)
    text = SORTER.replace("reg [8:0] at = 0;", "reg [8:0] at = 0; /* twelve bits would do as well */")
    sorter = again(SORTER, before, text).facts.units[3]
    assert text[sorter.span.start : sorter.span.end] == "sorter"
    (reject, u_class) = sorter.items
    assert text[reject.span.start : reject.span.end] == "reject"
    assert text[u_class.span.start : u_class.span.end] == "u_class"


def test_a_moved_unit_is_a_unit_like_any_other() -> None:
    before = whole(SORTER)
    text = SORTER.replace("reg [8:0] at = 0;", "reg [8:0] at = 0; // twelve bits")
    moved = again(SORTER, before, text).facts.units[3]
    read = whole(text).facts.units[3]
    assert moved == read and hash(moved) == hash(read) and repr(moved) == repr(read)
    assert all_of(replace(moved, name="other")) == all_of(replace(read, name="other"))
    assert all_of(copy.deepcopy(moved)) == all_of(read)
    assert moved != before.facts.units[2] and moved != "sorter"
    with pytest.raises(AttributeError, match="colour"):
        _ = moved.colour  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    "old",
    [
        "`define LANES 64",  # reaches every unit behind it
        "`ifdef SLOW",
        "`endif\n  always",
        "typedef logic [7:0] grain_t;",  # outside units
        "endmodule\n\npackage",  # an end word
        "module delay_line",  # a start word
    ],
)
def test_what_reaches_further_is_read_as_a_whole(old: str) -> None:
    before = whole(SORTER)
    middle = SORTER.index(old) + 3
    after = check(SORTER, before, SORTER[:middle] + "x" + SORTER[middle:])
    assert kept(before, after) == []


@pytest.mark.parametrize("typed", ["/*", "`define LANES 8\n", '"', "`include \"x.vh\"\n", "`else\n", "endmodule "])
def test_what_is_put_in_and_reaches_further_is_read_as_a_whole(typed: str) -> None:
    before = whole(SORTER)
    place = SORTER.index(MARK)
    after = check(SORTER, before, SORTER[:place] + typed + SORTER[place:])
    assert kept(before, after) == []


def test_a_line_number_told_somewhere_is_told_anew() -> None:
    text = SORTER.replace("reject [0:15]", "reject [0:`__LINE__]")
    before = whole(text)
    place = text.index(MARK)
    check(text, before, text[:place] + "\n" + text[place:])
    # The comment before `sorter` belongs to nothing, and its message names the line of what follows.
    text = SORTER.replace("module sorter", "// @mem in bulk\nmodule sorter")
    before = whole(text)
    assert any("on line" in one.message for one in before.facts.problems)
    place = text.index(MARK)
    check(text, before, text[:place] + "\n" + text[place:])


def test_other_macros_or_other_included_files_are_noticed() -> None:
    text = '`include "widths.vh"\nmodule a; reg [`W-1:0] m [3:0]; endmodule\nmodule b; wire w; endmodule\n'
    files = {"widths.vh": "`define W 8\n"}

    def find(name: str, _including: str) -> SourceText | None:
        return SourceText(name, files[name]) if name in files else None

    before = read_verilog(SourceText("a.sv", text), MacroTable(), find)
    new = text.replace("wire w", "wire w, v")
    files["widths.vh"] = "`define W 16\n"
    for macros in (MacroTable(), MacroTable.of({"W": "4"})):
        after = reread_verilog(text, before, SourceText("a.sv", new), macros, find)
        wanted = read_verilog(SourceText("a.sv", new), macros, find)
        assert all_of(after.facts) == all_of(wanted.facts)
        assert after.macros.macros["W"].body == "16"


def test_a_unit_written_as_a_macro_argument_is_not_taken_out_of_it() -> None:
    text = "`define TWICE(u) u u\n`TWICE(module a; wire w; endmodule)\nmodule b; endmodule\n"
    before = whole(text)
    check(text, before, text.replace("wire w", "wire w2"))


def test_words_newer_than_verilog_decide_for_the_whole_file() -> None:
    text = "module a; wire x; endmodule\nmodule b; wire y; endmodule\n"
    before = whole(text, "old.v")
    # `do` is a name in Verilog, a reserved word in SystemVerilog.
    new = text.replace("wire x", "wire do")
    after = check(text, before, new)
    check(new, after, new.replace("wire y", "wire y, z"))
    check(new, after, new.replace("wire y", "always_comb"))
