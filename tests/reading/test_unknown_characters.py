"""Characters that are no part of a language: never quiet where they take a declaration away."""

from __future__ import annotations

import pytest

from memlint.engine.engine import check_text
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Finding, Severity

MODULE = """module delay_line (input logic clk, we, input logic [3:0] wa, ra, input logic [7:0] d, output logic [7:0] q);
  {}
  always_ff @(posedge clk) begin if (we) {m}[wa] <= d; q <= {m}[ra]; end
endmodule
"""
ENTITY = """library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity delay_line is port (clk, we : in std_logic; wa, ra : in unsigned(3 downto 0);
  d : in std_logic_vector(7 downto 0); q : out std_logic_vector(7 downto 0)); end;
architecture rtl of delay_line is
  type words is array (0 to 15) of std_logic_vector(7 downto 0);
  signal {m} : words;
begin
  process (clk) begin
    if rising_edge(clk) then
      if we = '1' then {m}(to_integer(wa)) <= d; end if;
      q <= {m}(to_integer(ra));
    end if;
  end process;
end;
"""


def not_read(judged: Judgement) -> list[Finding]:
    return [one for one in judged.findings if one.rule == "source-not-read"]


@pytest.mark.parametrize("file", ["line.v", "line.sv"])
def test_a_verilog_identifier_is_ascii(file: str) -> None:
    """IEEE Std 1800-2017, 5.6: a simple identifier is of letters, digits, `$` and `_`, of the set of 5.2."""
    text = MODULE.format("reg [7:0] mém [0:15];", m="mém")
    (found,) = not_read(check_text(text, file))
    assert found.message.startswith("`é` (U+00E9, latin small letter e with acute) in `mém`")
    assert text[found.span.start : found.span.end] == "mém"
    assert found.severity is Severity.WARNING


@pytest.mark.parametrize(
    ("declaration", "shown"),
    [
        ("reg [7:0] m¤ [0:15];", "`¤` (U+00A4"),
        ("reg ¤ [7:0] m [0:15];", "`¤` (U+00A4"),
        ("reg [7:0] m [0:15]\x01;", "the character U+0001"),
        ("reg [7:0] \\ [0:15];", "`\\` (U+005C"),
        ("reg [7:0] m [0:15–1];", "`–` (U+2013, en dash) in `15–1`"),
        ("`define WORDS 1§6\n  reg [7:0] m [`WORDS];", "`§` (U+00A7"),
    ],
)
def test_no_character_takes_a_verilog_declaration_away_in_silence(declaration: str, shown: str) -> None:
    judged = check_text(MODULE.format(declaration, m="m"))
    assert any(one.message.startswith(shown) for one in not_read(judged)), not_read(judged)


def test_comments_strings_and_code_left_out_may_hold_any_character() -> None:
    said = '// délai\n  /* ¤ */ initial $display("mém");\n`ifdef NEVER\n  reg mém;\n`endif\n'
    judged = check_text(MODULE.format(f"{said}  logic [7:0] m [16];", m="m"))
    assert not_read(judged) == []
    assert len(judged.memories) == 1


def test_an_escaped_verilog_identifier_may_hold_any_printable_ascii_and_is_read_with_more() -> None:
    judged = check_text(MODULE.format("logic [7:0] \\mém [16];", m="\\mém "))
    assert not_read(judged) == []
    assert len(judged.memories) == 1


@pytest.mark.parametrize("name", ["mém", "Élan", "straße_2", "ÿ"])
def test_a_vhdl_identifier_may_hold_latin_1_letters(name: str) -> None:
    """IEEE Std 1076-2008, 15.2 and 15.4.2: letters are those of ISO/IEC 8859-1; case makes no difference."""
    judged = check_text(ENTITY.format(m=name), "line.vhd")
    assert not_read(judged) == []
    assert [view.memory.path for view in judged.memories] == [f"delay_line.{name.lower()}"]


@pytest.mark.parametrize("name", ["m€m", "m§", "m$", "m~"])
def test_no_character_takes_a_vhdl_declaration_away_in_silence(name: str) -> None:
    judged = check_text(ENTITY.format(m=name), "line.vhd")
    found = [one for one in not_read(judged) if one.severity is Severity.WARNING]
    assert len(found) == 1
    assert f"in `{name}`" in found[0].message
