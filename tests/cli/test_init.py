"""`memlint init`: a proposal that is a working memlint.toml, and drafts that are a working patch."""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from sorter_samples import BELT, Memlint

PLAIN = BELT.replace("    // @mem in bulk; shape 8K x 40; ports 1w 1r; one clock\n", "")
TOP = "module top (input logic clk); belt u_belt (.clk); endmodule\n"
BENCH = "module bench; logic clk; top u_top (.clk); endmodule\n"


def write(folder: Path, **texts: str) -> None:
    for name, text in texts.items():
        path = folder / name.replace("__", "/").replace("_dot_", ".")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def proposed(memlint: Memlint) -> dict[str, object]:
    assert memlint("init") == 0
    return tomllib.loads(memlint.out)


def test_sources_and_top_are_found_and_written_once(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path, rtl__belt_dot_sv=PLAIN, rtl__deep__top_dot_sv=TOP, old_dot_v="module old; endmodule\n")
    assert proposed(memlint) == {"sources": ["*.v", "rtl/**/*.sv"], "top": "top"}
    assert "taken for test benches: old" in memlint.out
    assert memlint.err == "memlint: wrote memlint.toml\n"
    written = (tmp_path / "memlint.toml").read_text(encoding="utf-8")
    assert written == memlint.out
    assert memlint("check", "--format", "json") == 0
    assert json.loads(memlint.out)["summary"]["roots"] == ["top"]


def test_an_existing_file_is_never_overwritten(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path, rtl__belt_dot_sv=PLAIN, memlint_dot_toml="# mine\n")
    assert proposed(memlint)["top"] == "belt"
    assert (tmp_path / "memlint.toml").read_text() == "# mine\n"
    assert "memlint.toml is there already and stays as it is" in memlint.err


def test_include_folders_are_those_that_something_includes_from(memlint: Memlint, tmp_path: Path) -> None:
    write(
        tmp_path,
        rtl__belt_dot_sv='`include "sizes.svh"\n`include "gone.svh"\n' + PLAIN,
        include__sizes_dot_svh='`include "deep/more.svh"\n',
        common__deep__more_dot_svh="`define MORE 1\n",
        unused__other_dot_svh="",
    )
    found = proposed(memlint)
    assert found["include_dirs"] == ["common", "include"]
    assert "# Not found here, or in several folders: gone.svh" in memlint.out


def test_file_lists_that_can_be_followed_are_kept(memlint: Memlint, tmp_path: Path) -> None:
    write(
        tmp_path,
        rtl__belt_dot_sv=PLAIN,
        rtl__top_dot_sv=TOP,
        more__bench_dot_sv=BENCH,
        all_dot_f="-f inner.f\nrtl/top.sv\n",
        inner_dot_f="rtl/belt.sv\n",
        stale_dot_f="rtl/renamed.sv\n",
    )
    found = proposed(memlint)
    assert found["file_lists"] == ["all.f"]
    assert found["sources"] == ["more/**/*.sv"]


def test_several_tops_are_named_but_not_chosen(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path, rtl__belt_dot_sv=PLAIN, rtl__other_dot_sv=PLAIN.replace("belt", "other"))
    assert "top" not in proposed(memlint)
    assert '# top = ["belt", "other"]\n' in memlint.out


@pytest.mark.parametrize("folder", ["empty", "gone"])
def test_a_folder_without_sources_is_a_clear_error(memlint: Memlint, tmp_path: Path, folder: str) -> None:
    (tmp_path / "empty").mkdir()
    assert memlint("init", folder) == 2
    assert memlint.err.startswith(f"memlint: {folder}: no ")
    assert not list(tmp_path.rglob("memlint.toml"))


TWO_DEPTHS = """\
module top (input logic clk, other, we, input logic [12:0] a, input logic [7:0] d, output logic [7:0] q, p);
  ram #(.WORDS(8192)) u_a (.wclk(clk), .rclk(clk), .we, .a, .d, .q(q));
  ram #(.WORDS(4096)) u_b (.wclk(clk), .rclk(other), .we, .a, .d, .q(p));
endmodule
module ram #(parameter int WORDS = 2) (
  input logic wclk, rclk, we, input logic [12:0] a, input logic [7:0] d, output logic [7:0] q
);
\t(* keep *)
\tlogic [7:0] mem [WORDS];
  always_ff @(posedge wclk) if (we) mem[a] <= d;
  always_ff @(posedge rclk) q <= mem[~a];
endmodule
"""


def annotated(folder: Path) -> bytes:
    command = [sys.executable, "-m", "memlint", "init", "--annotate"]
    return subprocess.run(command, cwd=folder, capture_output=True, check=True).stdout


def test_drafts_are_a_patch_and_write_nothing(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path, rtl__belt_dot_sv=PLAIN.replace("\n", "\r\n"))
    before = (tmp_path / "rtl" / "belt.sv").read_bytes()
    patch = annotated(tmp_path)
    assert (tmp_path / "rtl" / "belt.sv").read_bytes() == before
    assert not (tmp_path / "memlint.toml").exists()
    subprocess.run(["git", "init", "-q", "."], cwd=tmp_path, check=True)
    subprocess.run(["git", "apply", "-"], cwd=tmp_path, input=patch, check=True)
    after = (tmp_path / "rtl" / "belt.sv").read_bytes()
    written = b"    // @mem in block; shape 8K x 40; ports 1w 1r; one clock\r\n"
    assert after.replace(written, b"", 1) == before
    assert after.split(written)[1].startswith(b"    logic [39:0] delay")
    assert annotated(tmp_path) == b""
    memlint("check", "--format", "json")
    rules = {one["rule"] for one in json.loads(memlint.out)["findings"]}
    assert not rules & {"intent-unattached", "intent-syntax", "shape-drift", "port-drift", "clock-drift"}


def test_instances_that_differ_leave_out_what_they_differ_in(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path, rtl__ram_dot_sv=TWO_DEPTHS)
    memlint("init", "--annotate")
    added = [line for line in memlint.out.splitlines() if line.startswith("+") and "@mem" in line]
    assert added == ["+\t// @mem in block; ports 1w 1r"]


def test_a_vhdl_declaration_gets_a_vhdl_comment(memlint: Memlint, tmp_path: Path) -> None:
    sample = Path(__file__).parents[1] / "samples" / "rules" / "vhdl" / "intent-missing.vhd"
    text = sample.read_text(encoding="utf-8").partition("-- mended")[0]
    write(tmp_path, rtl__counts_dot_vhd=text)
    memlint("init", "--annotate")
    assert "+  -- @mem in block; shape 512 x 40; ports 1w 1r; one clock\n" in memlint.out


def test_nothing_to_draft_is_said(memlint: Memlint, tmp_path: Path) -> None:
    write(tmp_path, rtl__belt_dot_sv=BELT)
    assert memlint("init", "--annotate") == 0
    assert memlint.out == ""
    assert "nothing to draft: every memory of some size has an intent" in memlint.err
