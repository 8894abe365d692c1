"""A registered address that is used elsewhere too: the reason names the register and the other use.

Rule (b) of design.md, "Reads": the register must feed nothing else, else it cannot move into the memory.
"""

from __future__ import annotations

import pytest
from snippets import design_of, only_memory

from memlint.design.memory import Access, Memory

MODULE = """
module top (input logic clk, we, input logic [5:0] wa, ra, input logic [7:0] d, output logic [7:0] q,
            output logic [5:0] shown, output logic far);
  logic [7:0] m [64];
  logic [7:0] other [64];
  logic [5:0] at, at2;
  always_ff @(posedge clk) begin if (we) m[wa] <= d; at <= ra; end
  assign q = m[at];
"""


def _read(memory: Memory) -> Access:
    (access,) = [one for port in memory.ports for one in port.accesses if one.kind == "read"]
    return access


@pytest.mark.parametrize(
    ("body", "told", "where"),
    [
        ("assign far = at > 6'd40;", "goes through `>`", "at"),
        ("assign shown = at;", "goes to `shown`", "at"),
        ("always_ff @(posedge clk) at2 <= at;", "goes to `at2`", "at"),
        ("always_ff @(posedge clk) if (at[0]) far <= we;", "decides a condition", "at[0]"),
        ("always_ff @(posedge clk) if (we) other[at] <= d;", "addresses a write to `other`", "at"),
        ("assign far = d[at[2:0]];", "selects from `d`", "at[2:0]"),
        ("look u (.at(at), .far);", "goes into `u`", "at"),
    ],
)
def test_the_other_use_is_named(body: str, told: str, where: str) -> None:
    below = "module look (input logic [5:0] at, output logic far); assign far = ^at; endmodule\n"
    text = f"{below}{MODULE}{body}\nendmodule"
    (memory,) = [one for one in design_of(text).memories if one.name == "m"]
    access = _read(memory)
    assert memory.read == "asynchronous"
    assert access.reason == (
        "leaves the design through the port `q` without a register, "
        f"and its address register `at` also {told}"
    )
    (also,) = access.also
    assert also.text == f"the address register `at` also {told}"
    assert also.span is not None
    assert text[also.span.start : also.span.end] == where


def test_an_address_register_of_its_own_needs_no_reason() -> None:
    access = _read(only_memory(f"{MODULE}assign shown = ra;\nendmodule"))
    assert (access.asynchronous, access.reason, access.also) == (False, "", ())


def test_a_register_that_is_an_output_itself() -> None:
    text = """
module top (input logic clk, we, input logic [5:0] wa, ra, input logic [7:0] d, output logic [7:0] q,
            output logic [5:0] at);
  logic [7:0] m [64];
  always_ff @(posedge clk) begin if (we) m[wa] <= d; at <= ra; end
  assign q = m[at];
endmodule
"""
    assert _read(only_memory(text)).reason.endswith(
        "and its address register `at` also leaves `top` through the port `at`"
    )
