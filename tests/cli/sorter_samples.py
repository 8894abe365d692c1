"""Small projects for the command line, and a way to run it within the test's process."""

from __future__ import annotations

from pathlib import Path

import pytest

from memlint.cli.main import main

BELT = """\
module belt (
    input  logic        clk, we,
    input  logic [12:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    // @mem in bulk; shape 8K x 40; ports 1w 1r; one clock
    logic [39:0] delay [0:8191];
    always_ff @(posedge clk) begin
        if (we) delay[wa] <= d;
        q <= delay[ra];
    end
endmodule
"""
"""8,192 x 40 is one block of `bulk` on the demo device, and fills it (design.md, section 3)."""

DRIFTED = BELT.replace("shape 8K", "shape 4K")
"""A warning: shape-drift."""

MISSPELT = BELT.replace("in bulk", "in bulky")
"""An error: unknown-tier."""

INCOMPLETE = BELT.replace("endmodule", "    jet_driver u_jets (.clk(clk));\nendmodule")
"""A note: unit-not-found."""


def project(folder: Path, source: str = BELT, config: str | None = 'device = "sorter-m"\n') -> Path:
    """A project of one source file, `rtl/belt.sv`."""
    (folder / "rtl").mkdir()
    (folder / "rtl" / "belt.sv").write_text(source, encoding="utf-8")
    if config is not None:
        (folder / "memlint.toml").write_text(config, encoding="utf-8")
    return folder


class Memlint:
    """Runs the command line in a folder and keeps what it wrote."""

    def __init__(self, capsys: pytest.CaptureFixture[str]) -> None:
        self.capsys = capsys
        self.out = ""
        self.err = ""

    def __call__(self, *arguments: str) -> int:
        code = main(arguments)
        self.out, self.err = self.capsys.readouterr()
        return code
