"""What the marks in the VHDL samples leave out: lanes, contents, resets, latches, intents, attributes.

All values were read by hand from the samples.
"""

from __future__ import annotations

import pytest
from corpus import SAMPLES, described, elaborated, read, samples

from memlint.design.design import DesignOptions, elaborate_design
from memlint.design.memory import Memory
from memlint.reading.intent.format import format_intent
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText


def memory(name: str) -> Memory:
    (sample,) = [one for one in samples("vhdl") if one.path == SAMPLES / "vhdl" / f"{name}.vhd"]
    (found,) = elaborated(sample, read(sample)).memories
    return found


@pytest.mark.parametrize(
    ("name", "lanes"),
    [
        ("lanes_loop", (8, 8)),
        ("lanes_slices", (10, 6)),
        ("lanes_bounds_in_variables", (4, 4, 4, 4)),
        # The last field of a record is the lowest.
        ("lanes_record_fields", (8, 8, 8)),
        ("clock_rising_edge", ()),
    ],
)
def test_lanes(name: str, lanes: tuple[int, ...]) -> None:
    assert memory(name).lanes == lanes


@pytest.mark.parametrize(
    ("name", "contents"),
    [
        ("clock_rising_edge", "none"),
        ("contents_zero", "zero"),
        ("contents_zero_by_function", "zero"),
        ("contents_aggregate", "given"),
        ("contents_function", "given"),
        ("contents_file", "given"),
        ("contents_constant", "given"),
        ("variable_initial", "given"),
        ("rom_constant", "given"),
        ("rom_signal", "given"),
        ("rom_in_process", "given"),
    ],
)
def test_contents(name: str, contents: str) -> None:
    assert memory(name).contents == contents


@pytest.mark.parametrize(
    ("name", "cleared"),
    [
        ("reset_aggregate", True),
        ("reset_loop", True),
        # These clear the register that takes the word, not the array.
        ("clock_asynchronous_reset", False),
        ("read_reset", False),
    ],
)
def test_a_reset_that_clears_the_array(name: str, cleared: bool) -> None:
    assert (memory(name).reset is not None) == cleared


@pytest.mark.parametrize(
    ("name", "edge"),
    [
        ("clock_rising_edge", "rising"),
        ("clock_falling_edge", "falling"),
        ("clock_event_one", "rising"),
        ("clock_event_zero", "falling"),
        ("clock_not_stable", "rising"),
        ("clock_negated", "rising"),
        ("clock_negated_event", "rising"),
        ("clock_wait_until_edge", "rising"),
        ("clock_wait_until_level", "rising"),
        ("clock_wait_until_event", "rising"),
        ("clock_wait_on", "rising"),
        ("clock_concurrent", "rising"),
        ("clock_inverted", "rising"),
    ],
)
def test_edges(name: str, edge: str) -> None:
    assert {clock.edge for clock in memory(name).clocks} == {edge}


def test_a_gated_clock_has_its_root() -> None:
    assert {clock.root for clock in memory("clock_gated").clocks} == {"clock_gated.clk"}


def test_a_latch() -> None:
    assert memory("write_latch").latch
    assert not memory("read_asynchronous").latch


@pytest.mark.parametrize(
    ("name", "attribute"),
    [
        ("attribute_ram_block_string", "block"),
        ("attribute_ram_block_boolean", "block"),
        ("attribute_rom_block", "block"),
        ("attribute_logic_block", "logic"),
        ("clock_rising_edge", None),
    ],
)
def test_attributes(name: str, attribute: str | None) -> None:
    assert memory(name).attribute == attribute


@pytest.mark.parametrize(
    ("name", "same_address"),
    [
        ("clock_rising_edge", "before"),
        ("read_address_registered", "after"),
        ("read_asynchronous", None),
    ],
)
def test_what_a_read_gives_when_the_same_word_is_written(name: str, same_address: str | None) -> None:
    assert memory(name).same_address == same_address


def test_an_intent_before_a_signal() -> None:
    (bound,) = memory("intent_before_signal").intents
    assert format_intent(bound.intent) == "in block; shape 64 x 16; ports 1w 1r; one clock"


def test_an_asynchronous_read_names_what_stands_in_between() -> None:
    def reasons(name: str) -> set[str]:
        ports = memory(name).ports
        return {one.reason for port in ports for one in port.accesses if one.asynchronous}

    assert reasons("read_through_logic") == {"goes through `^`"}
    assert reasons("read_two_process_logic") == {"goes through `+`"}


PROTECTED = """
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
entity store is
  port (clk : in std_logic; at : in unsigned(5 downto 0); q : out std_logic_vector(7 downto 0));
end entity;
architecture rtl of store is
  type store_t is protected
    impure function word(at : natural) return std_logic_vector;
  end protected;
  type store_t is protected body
    type words_t is array (0 to 63) of std_logic_vector(7 downto 0);
    variable words : words_t;
    impure function word(at : natural) return std_logic_vector is
    begin
      return words(at);
    end function;
  end protected body;
  shared variable line : store_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      q <= line.word(to_integer(at));
    end if;
  end process;
end architecture;
"""


PUT = """
    procedure put(at : natural; what : std_logic_vector(7 downto 0));
"""
PUT_BODY = """
    procedure put(at : natural; what : std_logic_vector(7 downto 0)) is
    begin
      words(at) := what;
    end procedure;
"""


def test_methods_of_a_protected_type_access_its_array() -> None:
    text = PROTECTED.replace("  type store_t is protected\n", f"  type store_t is protected{PUT}")
    text = text.replace("    variable words : words_t;", f"    variable words : words_t;{PUT_BODY}")
    text = text.replace("q <= line", "line.put(to_integer(at) + 1, x\"00\"); q <= line")
    design = elaborate_design([read_vhdl(SourceText("store.vhd", text))], DesignOptions())
    assert not design.unread
    assert described(design) == {
        "store.line.words": "64x8 banks=1 ports=1w1r clocks=store.clk read=synchronous"
    }


def test_a_protected_type_whose_array_nothing_writes_is_listed() -> None:
    design = elaborate_design([read_vhdl(SourceText("store.vhd", PROTECTED))], DesignOptions())
    (array,) = design.not_memories
    assert (array.path, array.depth, array.width) == ("store.line.words", 64, 8)
    assert array.reason == "nothing writes it and it has no contents"


def test_a_protected_shared_variable_is_not_passed_over_in_silence() -> None:
    # Its body stands in a package body that is not among the sources.
    start, end = PROTECTED.index("  type store_t is protected body"), PROTECTED.index("  shared variable")
    unread = PROTECTED[:start] + PROTECTED[end:]
    design = elaborate_design([read_vhdl(SourceText("store.vhd", unread))], DesignOptions())
    assert [(one.what, one.names) for one in design.unread] == [
        ("a shared variable of a protected type", ("line",))
    ]
    # One that no clocked process uses belongs to a test bench.
    bench = unread.replace("if rising_edge(clk) then", "if clk = '1' then")
    assert not elaborate_design([read_vhdl(SourceText("store.vhd", bench))], DesignOptions()).unread


GENERIC_INSIDE = """
library ieee;
use ieee.std_logic_1164.all;
package tables_generic is
  generic (WORDS, BITS : positive; type mark_t);
  type table_t is array (0 to WORDS - 1) of std_logic_vector(BITS - 1 downto 0);
  type marks_t is array (0 to WORDS - 1) of mark_t;
end package;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
entity store is
  port (
    clk : in std_logic; at : in unsigned(5 downto 0);
    d : in std_logic_vector(11 downto 0); q : out std_logic_vector(11 downto 0)
  );
end entity;
architecture rtl of store is
  package tables is new work.tables_generic
    generic map (WORDS => 40, BITS => 12, mark_t => unsigned(2 downto 0));
  signal gains : tables.table_t;
  signal marks : tables.marks_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      gains(to_integer(at)) <= d;
      q <= gains(to_integer(at));
      marks(to_integer(at)) <= at(2 downto 0);
    end if;
  end process;
end architecture;
"""


def test_an_instance_of_a_generic_package_inside_an_architecture() -> None:
    # By hand, and no sample: GHDL's dump prints the values of such arrays wrongly.
    design = elaborate_design([read_vhdl(SourceText("store.vhd", GENERIC_INSIDE))], DesignOptions())
    assert described(design) == {
        "store.gains": "40x12 banks=1 ports=1rw clocks=store.clk read=synchronous",
        "store.marks": "40x3 banks=1 ports=1w clocks=store.clk read=none",
    }
