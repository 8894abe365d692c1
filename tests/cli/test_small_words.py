"""What is said where there is little to say: no commit yet, a name's tail, one word, one reason."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from sorter_samples import Memlint

RAM = """module ram_wrap (input logic clk, we, input logic [9:0] wa, ra, input logic [31:0] d, output logic [31:0] q);
  logic [31:0] mem [0:1023];
  always_ff @(posedge clk) begin if (we) mem[wa] <= d; q <= mem[ra]; end
endmodule
module top (input logic clk, we, input logic [9:0] wa, ra, input logic [31:0] d, output logic [31:0] q1, q2);
  INTENT
  ram_wrap u_near (.clk, .we, .wa, .ra, .d, .q(q1));
  ram_wrap u_far (.clk, .we, .wa, .ra, .d, .q(q2));
  logic [1:0] regs [4];
  always_ff @(posedge clk) regs[wa[1:0]] <= d[1:0];
  assign q2[0] = regs[ra[1:0]][0];
endmodule
"""


def write(folder: Path, intent: str = "") -> None:
    (folder / "top.sv").write_text(RAM.replace("INTENT", intent))


def test_a_repository_without_commits(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path)
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)
    assert memlint("compare", "HEAD") == 2
    assert "There is no commit yet in the repository" in memlint.err
    assert "fetch" not in memlint.err


@pytest.mark.parametrize(
    ("tail", "path"),
    [("u_far.mem", "top.u_far.mem"), ("u_far", "top.u_far.mem"), ("regs", "top.regs")],
)
def test_the_unique_tail_of_a_path_is_enough(
    memlint: Memlint, tmp_path: Path, tail: str, path: str
) -> None:
    write(tmp_path)
    assert memlint("explain", tail) == 0
    assert memlint.out.startswith(f"{path}\n")


def test_a_tail_that_several_paths_have_names_them(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path)
    assert memlint("explain", "mem") == 2
    assert "top.u_far.mem" in memlint.err
    assert "top.u_near.mem" in memlint.err


def test_a_plan_names_the_reason_that_applies(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path)
    memlint("plan")
    assert "8 bits, at most 64 (assumed_tier.registers_bits) go to registers: left in registers" in (
        " ".join(memlint.out.split())
    )


def test_a_wrapper_with_an_intent_on_one_instance_is_not_left_out_in_silence(
    memlint: Memlint, tmp_path: Path
) -> None:
    write(tmp_path, "// @mem in block")
    assert memlint("init", "--annotate") == 0
    said = " ".join(memlint.err.split())
    assert "top.sv:2: no draft for `mem` of `ram_wrap`: 1 of its 2 instances has an intent already" in said
    assert "top.u_far.mem" in said
    assert "top.u_near.mem" not in said


def test_the_picture_of_units_tells_instances_apart(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path)
    assert memlint("report", "--output", "page.html") == 0
    page = (tmp_path / "page.html").read_text()
    figure = page[page.index("Treemap of the bits") :]
    figure = figure[: figure.index("</svg>")]
    assert ">u_near<" in figure
    assert ">u_far<" in figure
    assert ">mem<" not in figure
