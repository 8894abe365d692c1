"""What is not read is said once, and only where it may hide an access to an array."""

from __future__ import annotations

import pytest
from snippets import design_of, facts_of

from memlint.design.design import DesignOptions, elaborate_design
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

TOP = """
module top (input clk, we, input [5:0] a, input [7:0] d, output reg [7:0] q);
  reg [7:0] words [0:63];
  always @(posedge clk) begin if (we) words[a] <= d; q <= words[a]; end
  {items}
  always @(posedge clk) begin {statements} end
endmodule
"""


@pytest.mark.parametrize(
    ("items", "statements", "what"),
    [
        ("`CHECK(words)", "", "the undefined macro `CHECK"),
        ("", "`STORE(words, a, 8'h0);", "the undefined macro `STORE"),
        ("", "force words[3] = 8'h0;", "procedural force"),
        ("", "{<<{words[a]}} <= d;", "a streaming concatenation"),
        ("bind store checker u_check (.clk(clk), .m(words));", "", "`bind`"),
    ],
)
def test_a_construct_that_touches_an_array_is_named(items: str, statements: str, what: str) -> None:
    design = design_of(TOP.format(items=items, statements=statements))
    (unread,) = design.unread
    assert (unread.what, unread.names, unread.unit) == (what, ("words",), "top")
    # Nothing else is lost by it.
    assert [memory.path for memory in design.memories] == ["top.words"]


@pytest.mark.parametrize(
    ("items", "statements"),
    [
        ("`CHECK(clk)", "`LOG(a)"),
        ("`DECORATION", "`NOTHING;"),
        ("bind store checker u_check (.clk(clk));", ""),
        ("assert property (@(posedge clk) we |-> words[a] == d);", "assert (words[a] != 0);"),
        ("wire x = `CONSTANT;", ""),
    ],
)
def test_what_touches_no_array_is_passed_over(items: str, statements: str) -> None:
    text = TOP.format(items=items, statements=statements)
    assert not facts_of(text).problems
    assert not design_of(text).unread


def test_an_undefined_macro_swallows_nothing_behind_it() -> None:
    # Neither carries a `;` of its own; the declaration and the write behind them are read.
    text = """
    module top (input clk, input [5:0] a, input [7:0] d, output reg [7:0] q);
      `REGISTER(clk)
      reg [7:0] words [0:63];
      always @(posedge clk) begin
        `TRACE("write", a)
        words[a] <= d;
        q <= words[a];
      end
    endmodule
    """
    (memory,) = design_of(text).memories
    assert (memory.depth, memory.width, memory.read) == (64, 8, "synchronous")


def test_a_constant_or_an_input_array_is_not_hidden_by_what_is_not_read() -> None:
    text = """
    module top (input clk, input [7:0] seen [4], input [1:0] a, output [7:0] q);
      localparam [7:0] LEVELS [4] = '{1, 2, 3, 4};
      assign q = LEVELS[a];
      `CHECK(LEVELS, seen)
    endmodule
    """
    assert not design_of(text).unread


def test_a_missing_include_file_is_one_note_however_often_it_is_included() -> None:
    text = '`include "made.vh"\n`include "made.vh"\nmodule top; endmodule\n`include "made.vh"\n'
    facts = read_verilog(SourceText("top.v", text), MacroTable(), lambda name, including: None).facts
    (problem,) = facts.problems
    assert (problem.rule, problem.span.start) == ("source-not-read", 0)
    assert '"made.vh"' in problem.message
    assert [unit.name for unit in facts.units] == ["top"]


def test_words_of_systemverilog_are_names_only_where_that_reads_more() -> None:
    # A `.v` file in SystemVerilog stays that, though one thing in it is not understood.
    text = """
    module top (input logic clk, input logic [3:0] a, output logic q);
      logic m [16];
      always_ff @(posedge clk) begin m[a] <= q; q <= m[a]; end
      let both = clk;
      interconnect nothing known here;
    endmodule
    """
    (unit,) = facts_of(text, "top.v").units
    assert {getattr(item, "name", "") for item in unit.items} >= {"m"}


def test_a_file_that_means_systemverilog_is_never_read_as_older_code() -> None:
    # Undefined macros leave holes in its header; as Verilog-2005, `import` would be one more name.
    text = """
    module top
      import sorter_pkg::*;
      #(parameter mode_t MODE = FAST `MORE_PARAMETERS(MODE)
        , localparam WIDTH = `WIDTH_OF(MODE))
      (input clk, input [3:0] a, input [7:0] d, output reg [7:0] q);
      reg [7:0] words [0:15];
      always_comb begin
        if (a == 0) q = 0; else q = words[a];
      end
      always @(posedge clk) words[a] <= d;
    endmodule
    """
    (unit,) = facts_of(text, "top.v").units
    assert [port.name for port in unit.ports] == ["clk", "a", "d", "q"]
    assert {getattr(item, "name", "") for item in unit.items} >= {"words"}


def test_what_nests_too_deep_is_a_limit_whatever_it_is_called() -> None:
    deep = "(" * 200 + "3" + ")" * 200
    for items in (f"logic [{deep}:0] lane;", f"parameter W = 1, [{deep}:0] V = 2;"):
        (limit,) = design_of(TOP.format(items=items, statements="")).limits
        assert "nesting deeper than 150 was not read" in limit.message.replace("`", "")
    # The word alone makes no limit.
    design = design_of(TOP.format(items='logic words "two deep";', statements=""))
    assert not design.limits
    assert [one.names for one in design.unread] == [("words",)]


@pytest.mark.parametrize(
    ("body", "what"),
    [
        (f"strobe({'(' * 200}a{')' * 200});", "nesting too deep to follow"),
        ("b : block begin " * 200 + "end block; " * 200, "blocks nested more than"),
        ("g : if true generate " * 200 + "end generate; " * 200, "generates nested more than"),
    ],
)
def test_what_nests_too_deep_in_vhdl_is_a_limit(body: str, what: str) -> None:
    text = f"entity top is end;\narchitecture rtl of top is signal a : bit;\nbegin\n{body}\nend;\n"
    facts = read_vhdl(SourceText("top.vhd", text))
    limits = elaborate_design([facts], DesignOptions(tops=("top",))).limits
    assert [one for one in limits if what in one.message]
