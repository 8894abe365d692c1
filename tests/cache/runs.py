"""A small project, and runs of the command line in this process that may use the cache."""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import pytest

from memlint.cli import main as front

SOURCE = """\
`include "sizes.svh"
module grain_lines(input clk, we, input [7:0] a, input [`WIDTH-1:0] d, output reg [`WIDTH-1:0] q);
    //@mem in bulk; shape 256 x 8
    reg [`WIDTH-1:0] lines [0:255];
    always @(posedge clk) begin
        if (we) lines[a] <= d;
        q <= lines[a];
    end
endmodule
"""
CONFIG = 'device = "sorter.toml"\nfile_lists = ["rtl.f"]\n'
PROFILE = 'extend = "sorter-m"\n[device]\nname = "own"\n'


def project(folder: Path) -> Path:
    """A project with a source, an included file, a file list and a profile of its own."""
    (folder / "rtl").mkdir(parents=True)
    (folder / "inc").mkdir()
    (folder / "rtl" / "lines.sv").write_text(SOURCE)
    (folder / "rtl" / "sizes.svh").write_text("`define WIDTH 8\n")
    (folder / "rtl.f").write_text("+incdir+inc\n$SORTER_RTL/lines.sv\n")
    (folder / "memlint.toml").write_text(CONFIG)
    (folder / "sorter.toml").write_text(PROFILE)
    return folder


@dataclass(frozen=True)
class Ran:
    """What a run gave, and whether it came out of the cache."""

    code: int
    out: str
    err: str
    from_cache: bool

    @property
    def answer(self) -> tuple[int, str, str]:
        return self.code, self.out, self.err


class CommandLine:
    """Runs `memlint` as a shell does, its folder for caches set."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.monkeypatch = monkeypatch
        self.capsys = capsys

    def __call__(self, *arguments: str) -> Ran:
        parsed: list[str] = []
        whole = front._parsed

        def noted(*given: object) -> int:
            parsed.append("")
            return whole(*given)  # type: ignore[arg-type]

        with self.monkeypatch.context() as patch:
            patch.setattr(front, "_parsed", noted)
            patch.setattr(sys, "argv", ["memlint", *arguments])
            code = front.main()
        out, err = self.capsys.readouterr()
        return Ran(code, out, err, not parsed)
