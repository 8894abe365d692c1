"""Quick looks that spare a long one: they may not see less than it does."""

from __future__ import annotations

import pytest
from snippets import design_of, facts_of, only_memory

from memlint.design.contents import depends_on_signal
from memlint.design.scope import Scope
from memlint.design.values import Unknown
from memlint.reading.facts.items import ContinuousAssign

DECLARED = "parameter P = 3; localparam L = P + 1; logic [7:0] s; logic [7:0] t; string name;"

# Whether a signal keeps them from having a value: IEEE Std 1800-2017, 11.2.1 (constant expressions are made
# of constants) and 11.4.7 (`&&` and `||` settled by one operand).
EXPRESSIONS = [
    ("s", True),
    ("P", False),
    ("s[P]", True),
    ("s[3:0]", True),
    ("s + P", True),
    ("P == s", True),
    ("!s", True),
    ("s && t", True),
    ("s && 0", False),
    ("1 || s", False),
    ("P == 3", False),
    ("P[0]", False),
    ("{s, 1'b0}", False),
    (" + ".join(["P"] * 3000), False),
    (" + ".join(["s", *["P"] * 3000]), True),
]


@pytest.mark.parametrize(("text", "depends"), EXPRESSIONS, ids=[text[:20] for text, _ in EXPRESSIONS])
def test_what_depends_on_a_signal_has_no_value(text: str, depends: bool) -> None:
    (unit,) = facts_of(f"module top; {DECLARED} assign x = {text}; endmodule").units
    scope = Scope("systemverilog", None, lambda library, name: None, "top")
    scope.add_all(unit.parameters)
    scope.add_all(unit.items)
    (value,) = [one.value for one in unit.items if isinstance(one, ContinuousAssign)]
    assert depends_on_signal(value, scope) is depends
    if depends:
        assert isinstance(scope.evaluate(value), Unknown)


def test_a_function_may_name_an_array_elsewhere() -> None:
    # A hierarchical name inside a function (IEEE Std 1800-2017, 23.6), called in a unit without arrays.
    memory = only_memory("""
        module store (input clk, input [7:0] a, d);
          logic [7:0] mem [0:255];
          always @(posedge clk) mem[a] <= d;
        endmodule
        module top (input clk, input [7:0] a, b, d, output logic [7:0] q);
          store u (.clk(clk), .a(a), .d(d));
          function [7:0] look(input [7:0] at);
            look = u.mem[at];
          endfunction
          always @(posedge clk) q <= look(b);
        endmodule
    """)
    assert (memory.path, memory.read, [port.reads for port in memory.ports]) == (
        "top.u.mem",
        "synchronous",
        [False, True],
    )


def test_arrays_named_elsewhere_in_a_generate_loop() -> None:
    design = design_of("""
        module store (input clk, input [7:0] a, d);
          logic [7:0] mem [0:255];
          always @(posedge clk) mem[a] <= d;
        endmodule
        module top (input clk, input [7:0] a, b, d, output logic [7:0] q [0:3]);
          for (genvar i = 0; i < 4; i++) begin : g
            store u (.clk(clk), .a(a), .d(d));
            always @(posedge clk) q[i] <= g[i].u.mem[b];
          end
        endmodule
    """)
    assert {one.path: one.read for one in design.memories} == {
        f"top.g[{i}].u.mem": "synchronous" for i in range(4)
    }


def test_ways_that_part_and_rejoin_are_followed_once() -> None:
    # 2^12 ways from the array to its register, each holding the register's own value at every step.
    steps = "".join(
        f"wire [7:0] x{i} = s[{i}] ? w{i - 1} : q; wire [7:0] y{i} = s[{i + 1}] ? w{i - 1} : q;"
        f"logic [7:0] w{i}; always_comb if (s[0]) w{i} = x{i}; else w{i} = y{i};\n"
        for i in range(1, 13)
    )
    memory = only_memory(f"""
        module top (input clk, input [7:0] a, d, input [31:0] s, output logic [7:0] q);
          logic [7:0] mem [0:255];
          always @(posedge clk) mem[a] <= d;
          wire [7:0] w0 = mem[a];
          {steps}
          always @(posedge clk) q <= w12;
        endmodule
    """)
    assert memory.read == "synchronous"
