"""`memlint explain`: a rule's documentation, and how a memory's answers came about."""

from __future__ import annotations

from pathlib import Path

import pytest
from sorter_samples import Memlint, project

from memlint.rules.base import all_rules
from memlint.rules.docs import documentation

RAM = """\
module ram #(parameter int DEPTH = 16) (
    input  logic clk, we,
    input  logic [12:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    //@mem in block; ports 1w 1r
    logic [39:0] mem [0:DEPTH-1];
    always_ff @(posedge clk) begin
        if (we) mem[wa] <= d;
        q <= mem[ra];
    end
endmodule

module belt (
    input  logic proc_clk, we,
    input  logic [12:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    logic [3:0] pipe [0:1];
    //@mem in bulk
    ram #(.DEPTH(8192)) u_ram (.clk(proc_clk), .we, .wa, .ra, .d, .q);
    always_ff @(posedge proc_clk) begin
        pipe[0] <= d[3:0];
        pipe[1] <= pipe[0];
    end
endmodule
"""


@pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.name)
def test_every_rule_can_be_explained(memlint: Memlint, rule: object) -> None:
    name = getattr(rule, "name", "")
    assert memlint("explain", name) == 0
    assert memlint.out.startswith(f"{name}\n")
    assert "Raises it" in memlint.out
    assert "Mended" in memlint.out


def test_a_rule_is_told_with_its_severity_samples_and_settings(memlint: Memlint) -> None:
    assert memlint("explain", "shallow-wide") == 0
    rule = next(one for one in all_rules() if one.name == "shallow-wide")
    about = documentation(rule)
    words = " ".join(memlint.out.split())
    assert about.summary in words
    assert " ".join(about.why.split()) in words
    assert "Family shape, warning by default." in words
    assert " ".join(about.example.split()) in words
    assert "under [rules.shallow-wide]" in words
    assert "shallow_fill = 0.25" in words
    assert memlint("explain", "intent-missing") == 0
    assert "off by default" in memlint.out


def explained(memlint: Memlint, folder: Path, path: str, source: str = RAM) -> dict[str, str]:
    """What is said beside each label, on one line."""
    project(folder, source)
    assert memlint("explain", path) == 0
    said: dict[str, str] = {}
    label = ""
    for line in memlint.out.splitlines()[1:]:
        label = line[:14].strip() or label
        said[label] = f"{said.get(label, '')} {line[14:].strip()}".strip()
        if not line:
            break
    return said


def test_a_memory_is_explained_line_by_line(memlint: Memlint, tmp_path: Path) -> None:
    said = explained(memlint, tmp_path, "belt.u_ram.mem")
    assert said["declared"] == "rtl/belt.sv:8:18 in unit ram (systemverilog)"
    # 8,192 * 40 = 327,680 bits = 320 * 1,024.
    assert said["shape"].startswith("8,192 x 40, 327,680 bits (320 Kibit)")
    assert "rtl/belt.sv:1:28 `DEPTH` is 8,192" in said["shape"]
    assert "rtl/belt.sv:23:11 `DEPTH` is set here for `belt.u_ram`" in said["shape"]
    assert said["ports"].startswith("1w 1r, after sharing")
    assert "rtl/belt.sv:10:17 w: write at address `wa` on belt.proc_clk (rising)" in said["ports"]
    assert "rtl/belt.sv:11:14 r: read at address `ra` on belt.proc_clk (rising)" in said["ports"]
    assert said["clocks"] == "belt.proc_clk (rising)"
    assert said["read"] == "synchronous"
    assert said["tier"] == "bulk, named by `in bulk`"
    assert said["count"] == "1 block, 100 % full"
    assert "block" in said["elsewhere"]


def test_the_statement_that_won_stands_first_and_the_other_says_it_lost(
    memlint: Memlint, tmp_path: Path
) -> None:
    intent = explained(memlint, tmp_path, "belt.u_ram.mem")["intent"]
    outer = "rtl/belt.sv:22:5 the instance belt.u_ram says `in bulk`"
    inner = "rtl/belt.sv:7:5 the declaration says `in block` (overruled by the one before); `ports 1w 1r`"
    assert intent == f"{outer} {inner}"


def test_an_array_that_is_no_memory_says_why(memlint: Memlint, tmp_path: Path) -> None:
    said = explained(memlint, tmp_path, "belt.pipe")
    assert "constants" in said["no memory"]


def test_an_asynchronous_read_names_the_logic_in_between(memlint: Memlint, tmp_path: Path) -> None:
    source = RAM.replace("        q <= mem[ra];\n    end", "    end\n    assign q = mem[ra] + 1;")
    project(tmp_path, source)
    assert memlint("explain", "belt.u_ram.mem") == 0
    assert "r: read at address `ra`, asynchronous: the word " in " ".join(memlint.out.split())


def test_an_assumed_tier_says_which_numbers_and_thresholds_decided(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, RAM.replace("//@mem in block; ports 1w 1r", "").replace("//@mem in bulk", ""))
    assert memlint("explain", "belt.u_ram.mem") == 0
    text = " ".join(memlint.out.split())
    assert "block, assumed: neither an intent nor an attribute names a tier" in text
    # 8,192 * 40 = 327,680; the thresholds are those of the design page, section "Tier".
    assert (
        "327,680 bits are more than the 1,024 (assumed_tier.fabric_bits) and 8,192 words more than the 32 "
        "(assumed_tier.fabric_depth) that go to fabric block is the first of role block that takes it"
    ) in text


def test_like_reads_of_one_statement_are_told_once(memlint: Memlint, tmp_path: Path) -> None:
    source = RAM.replace("        q <= mem[ra];\n    end", "    end").replace(
        "endmodule\n\nmodule belt",
        "    for (genvar i = 0; i < 5; i++) always_ff @(posedge clk) q[8*i+:8] <= mem[ra ^ i][7:0];\n"
        "endmodule\n\nmodule belt",
    )
    project(tmp_path, source)
    assert memlint("explain", "belt.u_ram.mem") == 0
    assert memlint.out.count("r: read at address") == 1
    assert "(5 ports)" in memlint.out


def test_a_shape_that_is_not_known_says_why(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, RAM.replace("DEPTH = 16", "DEPTH").replace("#(.DEPTH(8192)) ", ""))
    assert memlint("explain", "belt.u_ram.mem") == 0
    assert "unknown depth, 40 bits wide: " in " ".join(memlint.out.split())


def test_all_rules_are_one_page(memlint: Memlint) -> None:
    assert memlint("explain", "--all", "--format", "markdown") == 0
    assert memlint.out.startswith("# Rules\n\n| rule | family | severity | finds |\n")
    assert memlint("explain", "--all") == 0
    assert all(f"\n{rule.name}\n" in f"\n{memlint.out}" for rule in all_rules())
    assert memlint("explain", "shape-drift", "--format", "markdown") == 0
    assert "\n## shape-drift\n" in memlint.out


def test_a_rule_or_all_of_them_but_not_both_nor_neither(memlint: Memlint) -> None:
    assert memlint("explain") == 2
    assert memlint("explain", "--all", "shape-drift") == 2


def test_a_memory_is_not_explained_in_markdown(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("explain", "belt.delay", "--format", "markdown") == 2
    assert "rules are explained in it" in memlint.err


PLANNED = """\
module replay (input logic proc_clk, host_clk);
    // @mem plan rejects; in block; shape 1K x 24; ports 1w 1r
endmodule
"""


def test_the_ports_of_a_plan_have_no_address(memlint: Memlint, tmp_path: Path) -> None:
    said = explained(memlint, tmp_path, "replay.rejects", PLANNED)
    place = "rtl/belt.sv:2:13"
    assert said["ports"] == f"1w 1r, after sharing {place} w: write {place} r: read"
    assert said["clocks"] == "unknown: the plan states none"


@pytest.mark.parametrize(
    "stated, told",
    [
        ("one clock", "one, whose net is not stated"),
        ("clocks proc_clk, host_clk", "replay.proc_clk (rising) replay.host_clk (rising)"),
    ],
)
def test_the_clocks_of_a_plan_are_those_it_states(
    memlint: Memlint, tmp_path: Path, stated: str, told: str
) -> None:
    source = PLANNED.replace("1w 1r", f"1w 1r; {stated}")
    assert explained(memlint, tmp_path, "replay.rejects", source)["clocks"] == told
