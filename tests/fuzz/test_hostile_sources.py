"""Sources that ask for more than anyone would wait for: each ends at a limit that names itself.

The limits are ours (common practice, no source). What each input asks for stands beside it.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from memlint.engine import open_project
from memlint.engine.judgement import Judgement
from memlint.text.files import LARGEST_FILE

WRITE = "always @(posedge clk) mem[a] <= d;"
PORTS = "input clk, input [7:0] a, d"


def with_shape(bound: str, before: str = "") -> str:
    """A module whose memory's depth is `bound`."""
    return f"module m({PORTS});\n{before}\nreg [7:0] mem [0:{bound}];\n{WRITE}\nendmodule\n"


def with_length(range: str, before: str = "") -> str:
    """An architecture whose memory has the index range `range`."""
    return f"""library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity e is port (clk: in std_logic; a: in unsigned(7 downto 0); d: in std_logic_vector(7 downto 0)); end;
architecture r of e is
{before}
type t is array ({range}) of std_logic_vector(7 downto 0);
signal mem: t;
begin
process (clk) begin if rising_edge(clk) then mem(to_integer(a)) <= d; end if; end process;
end;
"""


def judged(folder: Path, text: str, file: str = "a.sv") -> Judgement:
    (folder / file).write_text(text)
    return open_project([str(folder)]).judge()


def messages(judgement: Judgement) -> str:
    return "\n".join(one.message for one in judgement.findings)


DOUBLED = "typedef struct packed { logic a, b; } t0;\n" + "".join(
    f"typedef struct packed {{ t{at - 1} a, b; }} t{at};\n" for at in range(1, 60)
)
UNIT = f"module s({PORTS}); reg [7:0] mem [0:255]; {WRITE} endmodule\n"

VERILOG = {
    # 2^40 digits and more in a number
    "power": (with_shape("99999999**99999999**2"), ""),
    "power of a vector": (with_shape("(70000'd3 ** 70000'd99999)"), "more than is evaluated"),
    "shift by 2^40": (with_shape("(64'd1 << (64'd1 << 40))"), ""),
    "replication of 10^9": (with_shape("{1000000000{1'b1}}"), "1000000000 bits is too long to evaluate"),
    "a size of 10^9 bits": (with_shape("1000000000'h" + "f" * 300_000), "is not known"),
    "200,000 digits": (with_shape("9" * 200_000), "is not known"),
    "exponent of 10^9": (with_shape("1e999999999"), "is not known"),
    "a bound of 2,400,000 bits": (with_shape('"' + "a" * 300_000 + '"'), "is not known"),
    "a bound of 4,000 bits": (with_shape("(4000'd1 << 3999)"), "more than 64 bits"),
    "2^5000 bits": (f"module m({PORTS}); reg {'[0:1]' * 5000} mem [0:255]; {WRITE} endmodule", "2^64 bits"),
    # nesting
    "100,000 parentheses": (with_shape("(" * 100_000 + "255" + ")" * 100_000), "nesting deeper than"),
    "100,000 operands": (with_shape("1+" * 100_000 + "1"), ""),
    "20,000 blocks": (f"module m({PORTS}); initial {'begin ' * 20_000} {'end ' * 20_000} endmodule", ""),
    "5,000 generate blocks": (f"module m({PORTS}); {'if (1) begin ' * 5000} {'end ' * 5000} endmodule", ""),
    "2,000 types that name each other": (
        f"module m({PORTS}); typedef logic t0; "
        + "".join(f"typedef t{at - 1} t{at}; " for at in range(1, 2000))
        + f"t1999 mem [0:255]; {WRITE} endmodule",
        "",
    ),
    "a struct of 2^60 bits in 60 types": (
        f"module m({PORTS});\n{DOUBLED} t59 mem [0:255]; {WRITE} endmodule",
        "a struct of more than 4,000 fields",
    ),
    # constant functions
    "a function without an end": (
        with_shape("f(1)", "function integer f(input integer x); while (1) f = f + 1; endfunction"),
        "takes more than 200000 steps",
    ),
    "a function that calls itself twice": (
        with_shape("f(1)", "function automatic integer f(input integer x); f = f(x) + f(x); endfunction"),
        "",
    ),
    # instances and loops
    "10^9 generate blocks": (
        f"{UNIT}module m({PORTS}); for (genvar i = 0; i < 1000000000; i = i + 1) s u(clk, a, d); endmodule",
        "runs more than 65,536 times: nothing of this generate loop was read",
    ),
    "10^6 nested generate blocks": (
        f"{UNIT}module m({PORTS}); for (genvar i = 0; i < 1000; i = i + 1) begin "
        "for (genvar j = 0; j < 1000; j = j + 1) begin wire w; end end endmodule",
        "more than 20,000 generate blocks",
    ),
    "an array of 10^6 instances": (
        f"{UNIT}module m({PORTS}); s u [0:999999] (clk, a, d); endmodule",
        "`u` is an array of 1,000,000 instances, the most is 65,536",
    ),
    "2^30 instances of 31 units": (
        "module m0; endmodule\n"
        + "".join(f"module m{at}; m{at - 1} a(), b(); endmodule\n" for at in range(1, 31)),
        "more than 100,000 instances",
    ),
    "a loop without an end": (f"module m({PORTS}); reg [7:0] mem [0:255]; always @(posedge clk) while (1) mem[a] <= d; endmodule", ""),
    # what a word is followed through
    "2^200 ways from a word to a register": (
        f"module m({PORTS}, output reg [7:0] q); reg [7:0] mem [0:255]; {WRITE} wire [7:0] w0 = mem[a];\n"
        + "".join(f"wire [7:0] w{at} = {{w{at - 1}[3:0], w{at - 1}[7:4]}};\n" for at in range(1, 200))
        + "always @(posedge clk) q <= w199; endmodule",
        "",
    ),
    "20,000 names of a clock": (
        f"module m({PORTS}); reg [7:0] mem [0:255]; wire c0 = clk;\n"
        + "".join(f"wire c{at} = c{at - 1};\n" for at in range(1, 20_000))
        + "always @(posedge c19999) mem[a] <= d; endmodule",
        "",
    ),
    "variables that name each other": (
        f"module m({PORTS}, output reg [7:0] q); reg [7:0] mem [0:255]; reg [7:0] x, y;\n"
        "always @(posedge clk) begin mem[a] <= d; x = mem[a]; y = x; x = y; q <= x; end endmodule",
        "",
    ),
    # macros
    "10^19 tokens of macros": (
        "`define A0 x x x x x x x x x x\n"
        + "".join(f"`define A{at} {f'`A{at - 1} ' * 10}\n" for at in range(1, 20))
        + "module m; `A19 endmodule\n",
        "macros put in more than 2000000 tokens",
    ),
    "a macro that uses itself": ("`define A `B\n`define B `A\nmodule m; `A endmodule\n", "`A"),
    # intents
    "an intent of 60,000 characters": (
        f"module m({PORTS});\n//@mem shape {'1M*' * 20_000}1 x 8\nreg [7:0] mem [0:255]; {WRITE} endmodule",
        "the most is 10,000",
    ),
    "10^9 ports": (
        f"module m({PORTS});\n//@mem ports 999999999w\nreg [7:0] mem [0:255]; {WRITE} endmodule",
        "no memory has so many ports",
    ),
}

VHDL = {
    "power": (with_length("0 to 2**100"), "more than 64 bits"),
    "power of a power": (with_length("0 to 2**2**40"), "is not known"),
    "20,000 parentheses": (with_length("0 to " + "(" * 20_000 + "5" + ")" * 20_000), "is not known"),
    "100,000 digits": (with_length("0 to " + "9" * 100_000), "too many digits"),
    "exponent of 10^9": (with_length("0 to 1E999999999"), "too many digits"),
    "a function without an end": (
        with_length(
            "0 to f(1)",
            "function f(x: integer) return integer is begin while true loop null; end loop; return 1; end;",
        ),
        "steps",
    ),
    "a name of 10^6 letters": (with_length("0 to 255", f"signal {'a' * 1_000_000}: bit;"), ""),
    "40 array types": (
        with_length(
            "0 to 255",
            "type t0 is array (0 to 9) of bit;\n"
            + "".join(f"type t{at} is array (0 to 9) of t{at - 1};\n" for at in range(1, 40))
            + "signal z: t39;",
        ),
        "",
    ),
    "an entity that instantiates itself": (
        "entity e is generic (n: integer := 1); end; architecture r of e is begin "
        "u: entity work.e generic map (n + 1); v: entity work.e generic map (n + 2); end;",
        "deeper than 100 instances",
    ),
}


@pytest.mark.parametrize("name", VERILOG)
def test_a_verilog_source_ends_at_a_limit(name: str, tmp_path: Path) -> None:
    text, said = VERILOG[name]
    assert said in messages(judged(tmp_path, text))


@pytest.mark.parametrize("name", VHDL)
def test_a_vhdl_source_ends_at_a_limit(name: str, tmp_path: Path) -> None:
    text, said = VHDL[name]
    assert said in messages(judged(tmp_path, text, "a.vhd"))


def test_files_that_include_themselves_twice(tmp_path: Path) -> None:
    (tmp_path / "b.svh").write_text('`include "b.svh"\n`include "b.svh"\n')
    assert "include each other" in messages(judged(tmp_path, '`include "b.svh"\nmodule m; endmodule\n'))


def test_included_files_of_2_to_the_30_tokens(tmp_path: Path) -> None:
    (tmp_path / "i0.svh").write_text("wire w;\n")
    for at in range(1, 31):
        (tmp_path / f"i{at}.svh").write_text(f'`include "i{at - 1}.svh"\n' * 2)
    found = messages(judged(tmp_path, 'module m;\n`include "i30.svh"\nendmodule\n'))
    assert "included files put in more than 5000000 tokens" in found


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no named pipes")
@pytest.mark.parametrize("where", ["include", "source"])
def test_a_pipe_is_not_waited_for(where: str, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / ("f.svh" if where == "include" else "f.sv"))
    found = messages(judged(tmp_path, '`include "f.svh"\nmodule m; endmodule\n'))
    assert 'included file "f.svh" is not found' in found


@pytest.mark.skipif(not os.path.exists("/dev/zero"), reason="this system has no /dev/zero")
def test_a_device_that_never_ends_is_not_read(tmp_path: Path) -> None:
    found = messages(judged(tmp_path, '`include "/dev/zero"\nmodule m; endmodule\n'))
    assert 'included file "/dev/zero" is not found' in found


def test_a_file_that_is_too_large_is_a_finding_and_the_others_are_read(tmp_path: Path) -> None:
    with (tmp_path / "big.sv").open("wb") as file:
        file.truncate(LARGEST_FILE + 1)
    judgement = judged(tmp_path, with_shape("255"))
    [finding] = [one for one in judgement.findings if one.span.file == "big.sv"]
    assert finding.rule == "source-not-read"
    assert f"{LARGEST_FILE + 1:,} bytes, the most is {LARGEST_FILE:,}" in finding.message
    assert finding.help
    assert [view.memory.path for view in judgement.memories] == ["m.mem"]


def test_problems_carry_a_remedy(tmp_path: Path) -> None:
    for text, said in VERILOG.values():
        if said.endswith("instances") or "generate" in said:
            for one in judged(tmp_path, text).findings:
                assert one.help, one.message


def test_the_same_limit_in_many_instances_is_one_finding(tmp_path: Path) -> None:
    looped = f"module s({PORTS}); for (genvar i = 0; i < 70000; i = i + 1) wire w; endmodule\n"
    text = f"{looped}module m({PORTS}); s u(clk, a, d), v(clk, a, d); endmodule"
    found = [one for one in judged(tmp_path, text).findings if one.rule == "source-not-read"]
    assert len(found) == 1
