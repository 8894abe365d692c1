"""Nothing is imported that the run does not need: a small check is run before every commit and on every save."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

PLAIN = """\
module grain_lines(input clk, input [7:0] a, d, output reg [7:0] q);
    reg [7:0] lines [0:255];
    always @(posedge clk) begin
        lines[a] <= d;
        q <= lines[a];
    end
endmodule
"""


def imported(folder: Path, *arguments: str) -> set[str]:
    """The modules that a run of memlint imports."""
    command = [sys.executable, "-X", "importtime", "-m", "memlint", *arguments]
    ran = subprocess.run(command, cwd=folder, capture_output=True, text=True)
    assert ran.returncode in (0, 1), ran.stderr
    return {line.rpartition("|")[2].strip() for line in ran.stderr.splitlines() if line.startswith("import time:")}


def test_one_source_without_intents_needs_no_grammar_and_no_models(tmp_path: Path) -> None:
    (tmp_path / "lines.sv").write_text(PLAIN)
    found = imported(tmp_path, "check", "lines.sv", "--no-cache")
    assert "memlint.design.design" in found
    assert not found & {
        "lark", "pydantic", "pygls", "lsprotocol", "asyncio", "subprocess", "concurrent.futures", "csv",
        "memlint.reading.vhdl.read", "memlint.cli.fix", "memlint.mapping.plan",
        "memlint.reports.sarif", "memlint.reports.json_output", "memlint.engine.git",
    }  # fmt: skip


def test_an_answer_out_of_the_cache_needs_neither_parser_nor_engine(tmp_path: Path) -> None:
    (tmp_path / "lines.sv").write_text(PLAIN)
    arguments = ("check", "lines.sv", "--cache-dir", "kept")
    imported(tmp_path, *arguments)
    found = imported(tmp_path, *arguments)
    assert "memlint.engine.cache.outcome" in found
    # `re`, `typing`, `dataclasses` and `pathlib` take as long as the rest of such a run.
    assert not found & {
        "argparse", "re", "typing", "dataclasses", "pathlib", "json", "tomllib", "lark", "pydantic",
        "memlint.engine.engine", "memlint.engine.trees", "memlint.cli.check", "memlint.cli.common",
    }  # fmt: skip
