"""Constant functions of SystemVerilog, and where their interpretation stops."""

from __future__ import annotations

import pytest
from scope_sources import systemverilog
from slang_constants import parameters

from memlint.design.values import Int, Unknown

FUNCTIONS = """
  typedef enum logic [1:0] {DARK, PALE = 2, GLASS} grain_t;
  typedef struct packed { logic [7:0] red; logic [7:0] green; } pixel_t;
  localparam int TABLE [4] = '{1, 2, 4, 8};
  localparam int GRID [2][3] = '{'{1, 2, 3}, '{4, 5, 6}};
  function automatic int sum(input int v [4]); sum = 0; foreach (v[i]) sum += v[i]; endfunction
  function automatic int weighted();
    int s = 0;
    foreach (GRID[i, j]) s += GRID[i][j] * (i + 1);
    return s;
  endfunction
  function automatic int first_bit(input logic [31:0] v);
    for (int i = 0; i < 32; i++) begin
      if (!v[i]) continue;
      return i;
    end
    return -1;
  endfunction
  function automatic int collatz(int n);
    int steps;
    steps = 0;
    do begin
      n = n % 2 ? 3 * n + 1 : n / 2;
      steps++;
    end while (n != 1);
    return steps;
  endfunction
  function automatic int choose(int n);
    case (n)
      1, 2: return 10;
      3: return 20;
      default: return 30;
    endcase
  endfunction
  function automatic int lanes(grain_t g);
    unique case (g)
      DARK: lanes = 1;
      PALE: lanes = 2;
      default: lanes = 3;
    endcase
  endfunction
  function automatic int doubled(int n); doubled = 1; repeat (n) doubled = doubled * 2; endfunction
  function automatic int past(int n);
    int i;
    i = 0;
    forever begin
      i = i + 3;
      if (i > n) break;
    end
    return i;
  endfunction
  function automatic pixel_t pixel(int a);
    pixel = '0;
    pixel.red = a;
    pixel.green[3:0] = a >> 4;
    return pixel;
  endfunction
  function automatic int halves(logic [7:0] v);
    logic [3:0] hi, lo;
    {hi, lo} = v;
    return hi * 100 + lo;
  endfunction
  function automatic int filled(int n);
    int a [4];
    for (int i = 0; i < 4; i++) a[i] = i * n;
    a[2] += 5;
    return a[0] + a[1] + a[2] + a[3];
  endfunction
  function automatic [15:0] checksum(input [7:0] d, input [15:0] c);
    integer i;
    begin
      checksum = c ^ {d, 8'h0};
      for (i = 0; i < 8; i = i + 1)
        checksum = checksum[15] ? (checksum << 1) ^ 16'h1021 : checksum << 1;
    end
  endfunction
  function integer address_bits;
    input integer depth;
    begin
      depth = depth - 1;
      for (address_bits = 0; depth > 0; address_bits = address_bits + 1) depth = depth >> 1;
    end
  endfunction
  function automatic int steps(int n); n++; ++n; n <<= 2; n -= 1; n ^= 3; return n; endfunction
  function automatic int hidden(int n);
    int t = 1;
    begin
      int t;
      t = 50;
    end
    return t + n;
  endfunction
  function automatic int ackermann(int m, int n);
    if (m == 0) return n + 1;
    if (n == 0) return ackermann(m - 1, 1);
    return ackermann(m - 1, ackermann(m, n - 1));
  endfunction
  function [7:0] mirrored(input [7:0] x);
    integer i;
    for (i = 0; i < 8; i = i + 1) mirrored[i] = x[7 - i];
  endfunction
  function automatic int with_default(int a, int b = 7); return a * b; endfunction
"""
CALLS = {
    "SUM": "sum(TABLE)",
    "WEIGHTED": "weighted()",
    "FIRST_BIT": "first_bit(32'h40)",
    "NO_BIT": "first_bit(0)",
    "COLLATZ": "collatz(27)",
    "CHOSEN": "choose(2) + choose(3) + choose(9)",
    "LANES": "lanes(GLASS)",
    "DOUBLED": "doubled(10)",
    "PAST": "past(100)",
    "PIXEL": "pixel(8'h5a)",
    "HALVES": "halves(8'h93)",
    "FILLED": "filled(3)",
    "CHECKSUM": "checksum(8'h31, 16'hffff)",
    "ADDRESS_BITS": "address_bits(1000)",
    "STEPS": "steps(5)",
    "HIDDEN": "hidden(3)",
    "ACKERMANN": "ackermann(2, 3)",
    "MIRRORED": "mirrored(8'h13)",
    "DEFAULTED": "with_default(3) + with_default(.b(2), .a(5))",
}
TEXT = (
    "module dut;"
    + FUNCTIONS
    + "\n".join(f"  localparam {name} = {call};" for name, call in CALLS.items())
    + "\nendmodule"
)
REFERENCE = parameters(TEXT)


@pytest.mark.parametrize("name", CALLS)
def test_a_function_gives_what_the_reference_gives(name: str) -> None:
    """Source: pyslang, which interprets the same text."""
    found = systemverilog(TEXT).value(name)
    assert isinstance(found, Int)
    assert (found.value, found.width) == (REFERENCE[name].value, REFERENCE[name].width)


def test_a_task_like_function_hands_back_its_outputs() -> None:
    """13.4.1 and 13.5: outputs are copied back when the call ends."""
    scope = systemverilog(
        "module m;"
        " function automatic void split(input logic [7:0] v, output logic [3:0] hi, output logic [3:0] lo);"
        " {hi, lo} = v; endfunction"
        " function automatic int both(logic [7:0] v);"
        " logic [3:0] a, b; split(v, a, b); return a * 100 + b; endfunction"
        " localparam P = both(8'h93); endmodule"
    )
    assert scope.value("P") == Int(903, 32, True)


def unknown(body: str, call: str = "f(3)", before: str = "") -> Unknown:
    found = systemverilog(f"module m; {before} {body} localparam P = {call}; endmodule").value("P")
    assert isinstance(found, Unknown)
    assert found.span is not None
    return found


def test_a_loop_without_end_stops_at_the_limit() -> None:
    found = unknown("function automatic int f(int n); while (1) n = n + 1; return n; endfunction")
    assert found.reason == "`f` takes more than 200000 steps"


def test_an_empty_loop_without_end_stops_as_well() -> None:
    assert (
        "steps" in unknown("function automatic int f(int n); forever begin end return n; endfunction").reason
    )


def test_recursion_without_end_stops_at_the_limit() -> None:
    found = unknown("function automatic int f(int n); return f(n + 1); endfunction")
    assert found.reason == "calls of `f` nest deeper than 200"


def test_a_function_that_reads_a_signal_names_it() -> None:
    found = unknown("function automatic int f(int n); return n + s; endfunction", before="logic [3:0] s;")
    assert found.reason == "`s` is not a constant"


def test_a_function_that_writes_outside_is_not_evaluated() -> None:
    found = unknown("function automatic int f(int n); s = n; return n; endfunction", before="logic [3:0] s;")
    assert found.reason == "`f` assigns `s`, which is no variable of its own"


def test_a_variable_read_before_it_is_set_is_unknown() -> None:
    """6.8, table 6-7: four-state variables start as x, two-state ones as 0."""
    found = unknown("function automatic int f(int n); logic [3:0] t; t[2:0] = 7; return t; endfunction")
    assert found.reason == "`t` is read before all of it is set"
    scope = systemverilog(
        "module m; function automatic int f(); int t; return t; endfunction localparam P = f(); endmodule"
    )
    assert scope.value("P") == Int(0, 32, True)


def test_bits_already_set_can_be_read_while_others_are_not() -> None:
    scope = systemverilog(
        "module m; function automatic [3:0] gray(input [3:0] n);"
        " gray[3] = n[3]; for (int i = 2; i >= 0; i--) gray[i] = n[i + 1] ^ n[i]; endfunction"
        " localparam P = gray(4'd5); endmodule"
    )
    assert scope.value("P") == Int(7, 4, False)


def test_a_file_reader_is_named() -> None:
    found = unknown(
        'function automatic int load(int n); int f; f = n; $readmemh("x.hex", t); return f; endfunction',
        "load(3)",
    )
    assert found.reason == "file reading function `load`"


def test_a_missing_parameter_inside_a_function_is_still_named() -> None:
    found = unknown(
        "function automatic int f(int n); return n * DEPTH; endfunction", before="parameter DEPTH;"
    )
    assert (found.reason, found.needs) == ("`DEPTH` has no value", "m.DEPTH")


def test_an_unknown_condition_stops_the_function_with_its_reason() -> None:
    found = unknown(
        "function automatic int f(int n); if (DEPTH > n) return 1; return 2; endfunction",
        before="parameter DEPTH;",
    )
    assert found.needs == "m.DEPTH"


def test_too_few_arguments_are_reported() -> None:
    found = unknown("function automatic int f(int a, int b); return a + b; endfunction")
    assert "`f`" in found.reason


def test_a_table_of_many_entries_is_filled_in_place() -> None:
    """A loop over 4,096 elements stays far below the limit of steps."""
    scope = systemverilog(
        "module m; typedef int table_t [4096];"
        " function automatic table_t squares();"
        " for (int i = 0; i < 4096; i++) squares[i] = i * i; endfunction"
        " localparam table_t T = squares(); localparam P = T[100]; endmodule"
    )
    assert scope.value("P") == Int(10000, 32, True)
