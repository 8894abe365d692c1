"""Names in memlint.toml and on the command line that nothing in the sources has: said where they stand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from sorter_samples import Memlint

LINE = """module delay_line #(parameter int WORDS = 8192, parameter int LANES = 4, localparam int TOP = WORDS - 1) (
  input logic clk, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q);
  logic [39:0] line [0:TOP];
  always_ff @(posedge clk) begin if (we) line[wa] <= d; q <= line[ra]; end
endmodule
"""
VHDL = """package sorter_types is constant jets : integer := 128; end package;
"""
HEAD = 'sources = ["*.sv", "*.vhd"]\ntop = "delay_line"\n'


def said(memlint: Memlint, folder: Path, config: str, *arguments: str) -> list[tuple[int, int, str, str]]:
    """Line, column, message and help of what is found in memlint.toml."""
    (folder / "line.sv").write_text(LINE)
    (folder / "types.vhd").write_text(VHDL)
    (folder / "memlint.toml").write_text(config)
    assert memlint("check", "--format", "json", *arguments) in (0, 1), memlint.err
    return [
        (one["line"], one["column"], one["message"], one["help"][0])
        for one in json.loads(memlint.out)["findings"]
        if one["file"] == "memlint.toml"
    ]


def test_a_parameter_that_the_top_does_not_have(memlint: Memlint, tmp_path: Path) -> None:
    ((line, column, message, near),) = said(
        memlint, tmp_path, f"{HEAD}[parameters]\nLANES = 2\n  WORD = 4096\n"
    )
    assert (line, column) == (5, 3)
    assert message == (
        "`WORD` under `[parameters]` is no parameter of the top `delay_line`, so the design is judged without it"
    )
    assert near == "the nearest is `WORDS`"


def test_a_local_parameter_cannot_be_set(memlint: Memlint, tmp_path: Path) -> None:
    ((line, _, message, _),) = said(memlint, tmp_path, f"{HEAD}[parameters]\nTOP = 4095\n")
    assert line == 4
    assert "`TOP` under `[parameters]` is no parameter" in message


def test_parameters_of_a_top_that_the_command_line_leaves_out_are_for_another_run(
    memlint: Memlint, tmp_path: Path
) -> None:
    (tmp_path / "bench.sv").write_text("module bench; delay_line u (); endmodule\n")
    config = f"{HEAD}[parameters]\nWORDS = 4096\nWORD = 4096\n"
    found = said(memlint, tmp_path, config, "--top", "bench")
    assert [line for line, *_ in found] == [5]


@pytest.mark.parametrize(
    ("key", "message", "near"),
    [
        ("LANE = 4", "`LANE` under `[assume]` is no parameter of any unit or package", "`LANES`"),
        ('"delay_line.LANE" = 4', "`delay_line.LANE` under `[assume]` is no parameter of `delay_line`",
         "`LANES`"),
        ('"delay_lin.LANES" = 4', "is for a unit `delay_lin`, which is in none of the files read",
         "`delay_line`"),
        ("[assume.delay_line]\nLANS = 4", "`delay_line.LANS` under `[assume]` is no parameter of `delay_line`",
         "`LANES`"),
    ],
)  # fmt: skip
def test_an_assumption_that_matches_nothing(
    memlint: Memlint, tmp_path: Path, key: str, message: str, near: str
) -> None:
    ((line, _, found, hint),) = said(memlint, tmp_path, f"{HEAD}[assume]\n{key}\n")
    assert line == (5 if key.startswith("[") else 4)
    assert message in found
    assert near in hint


def test_assumptions_that_match_are_not_spoken_of(memlint: Memlint, tmp_path: Path) -> None:
    config = (
        f'{HEAD}[assume]\nLANES = 4\n"delay_line.WORDS" = 1\nTOP = 3\nDEPTH = 3\n"vendor_ram.DEPTH" = 3\n'
        '[[black_box]]\nunit = "vendor_ram"\ndepth = "2 * DEPTH"\nwidth = "8"\n'
    )
    assert said(memlint, tmp_path, config) == []


@pytest.mark.parametrize(
    ("value", "what"),
    [
        ("9" * 23, "`D` is an integer of more than 64 bits"),
        ("9" * 5000, "thousands of digits"),
    ],
)
def test_a_number_that_is_too_large_is_said_with_its_line(
    memlint: Memlint, tmp_path: Path, value: str, what: str
) -> None:
    (tmp_path / "line.sv").write_text(LINE)
    (tmp_path / "memlint.toml").write_text(f"{HEAD}[parameters]\nLANES = 1\nD = {value}\n")
    assert memlint("check") == 2
    assert "memlint.toml:5: " in memlint.err
    assert what in memlint.err


def test_the_top_of_the_command_line_is_blamed_and_not_that_of_the_file(
    memlint: Memlint, tmp_path: Path
) -> None:
    (tmp_path / "line.sv").write_text(LINE)
    (tmp_path / "memlint.toml").write_text(HEAD)
    assert memlint("check", "--top", "nope") == 2
    assert "--top: the top `nope` is in none of the" in memlint.err
    assert "memlint.toml" not in memlint.err


def test_the_top_of_the_file_is_blamed_at_its_line(memlint: Memlint, tmp_path: Path) -> None:
    (tmp_path / "line.sv").write_text(LINE)
    (tmp_path / "memlint.toml").write_text('sources = ["*.sv"]\ntop = "nope"\n')
    assert memlint("check") == 2
    assert "memlint.toml:2: the top `nope` is in none of the" in memlint.err
