"""Which findings may only be there because source is not: what a commit hook must not fail over."""

from __future__ import annotations

from memlint.engine import check_text
from memlint.engine.missing import may_be_of_missing_source

WITHOUT_UNITS = """\
module top (input logic we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q);
  logic clk, other;
  clock_source u_clock_source (.clk, .other);
  //@mem in bulk; one clock; shape 4K x 40
  logic [39:0] line [8192];
  always_ff @(posedge clk) if (we) line[wa] <= d;
  always_ff @(posedge other) q <= line[ra];
  lamp u_lamp (.clk);
endmodule
module lamp (input logic clk);
  //@mem in attic; shap 1 x 1
  logic [7:0] unused [4];
endmodule
"""
WITHOUT_PACKAGE = """\
module top (input logic clk, we, input logic [12:0] a, input logic [39:0] d, output logic [39:0] q);
  //@mem in bulk; shape 4K x 40
  logic [39:0] line [8192];
  //@mem in bulk
  logic [39:0] held [sorter_pkg::WORDS];
  always_ff @(posedge clk) begin
    if (we) line[a] <= d;
    q <= line[a];
    held[a] <= d;
  end
endmodule
"""


def by_rule(text: str, files_missing: bool = False) -> dict[str, bool]:
    judged = check_text(text)
    return {one.rule: may_be_of_missing_source(one, judged, files_missing) for one in judged.findings}


def test_without_a_unit_connections_are_in_doubt_and_shapes_are_not() -> None:
    doubted = by_rule(WITHOUT_UNITS)
    assert doubted["clock-drift"] and doubted["two-clocks-on-one-clock-tier"] and doubted["unit-not-found"]
    assert not doubted["shape-drift"] and not doubted["intent-syntax"]


def test_without_a_package_only_what_the_comment_says_is_sure() -> None:
    doubted = by_rule(WITHOUT_PACKAGE)
    assert doubted["shape-unresolved"] and doubted["shape-drift"]


def test_without_an_included_file_likewise() -> None:
    complete = WITHOUT_PACKAGE.replace("sorter_pkg::WORDS", "64")
    assert not by_rule(complete)["shape-drift"]
    assert by_rule('`include "generated.svh"\n' + complete)["shape-drift"]
    assert by_rule(complete, files_missing=True)["shape-drift"]
