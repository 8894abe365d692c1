"""VHDL and Verilog in one hierarchy: units found, parameters and generics carried, clocks and data traced.

Expected values were worked by hand from the sources below.
"""

from __future__ import annotations

import pytest

from memlint.design.design import Design, DesignOptions, elaborate_design
from memlint.design.memory import Memory
from memlint.design.sharing import counts
from memlint.reading.facts.items import FileFacts
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText

VERILOG_STORE = """
module Line_Store #(parameter WORDS = 4, parameter Bits = 4) (
  input wire Clk, input wire we, input wire [9:0] write_at, input wire [9:0] read_at,
  input wire [Bits-1:0] data, output wire [Bits-1:0] q
);
  reg [Bits-1:0] line [0:WORDS-1];
  always @(posedge Clk) if (we) line[write_at] <= data;
  assign q = line[read_at];
endmodule
"""
VHDL_STORE = """
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity Line_Store is
  generic (WORDS : positive := 4; Bits : positive := 4);
  port (
    Clk, we : in std_logic;
    write_at, read_at : in unsigned(9 downto 0);
    data : in std_logic_vector(Bits - 1 downto 0);
    q : out std_logic_vector(Bits - 1 downto 0)
  );
end entity;

architecture rtl of Line_Store is
  type line_t is array (0 to WORDS - 1) of std_logic_vector(Bits - 1 downto 0);
  signal line : line_t;
begin
  process (Clk) begin
    if rising_edge(Clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
    end if;
  end process;
  q <= line(to_integer(read_at));
end architecture;
"""
COMPONENT = """
  component line_store is
    generic (words : positive := 64; bits : positive := 12);
    port (clk, we : in std_logic; write_at, read_at : in std_logic_vector(9 downto 0);
          data : in std_logic_vector(bits - 1 downto 0); q : out std_logic_vector(bits - 1 downto 0));
  end component;
"""
PORT_MAP = "port map (clk => pixel_clk, we => we, write_at => at, read_at => at, data => data, q => word)"


def vhdl_top(declared: str, instance: str) -> str:
    return f"""
library ieee;
use ieee.std_logic_1164.all;

entity camera is
  port (pixel_clk, we : in std_logic; at : in std_logic_vector(9 downto 0);
        data : in std_logic_vector(11 downto 0); q : out std_logic_vector(11 downto 0));
end entity;

architecture rtl of camera is
{declared}
  signal word : std_logic_vector(11 downto 0);
  signal held : std_logic_vector(9 downto 0);
begin
  {instance}
  process (pixel_clk) begin
    if rising_edge(pixel_clk) then
      held <= at xor "0000000001";
      q <= word;
    end if;
  end process;
end architecture;
"""


VERILOG_TOP = """
module camera (
  input wire pixel_clk, input wire we, input wire [9:0] at, input wire [11:0] data, output reg [11:0] q
);
  wire [11:0] word;
  reg [9:0] held;
  line_store #(.WORDS(640), .bits(12)) store (
    .clk(pixel_clk), .WE(we), .write_at(at), .read_at(at), .data(data), .q(word)
  );
  always @(posedge pixel_clk) begin
    held <= ~at;
    q <= word;
  end
endmodule
"""


def facts(name: str, text: str) -> FileFacts:
    source = SourceText(name, text)
    if name.endswith(".vhd"):
        found = read_vhdl(source)
    else:
        found = read_verilog(source, MacroTable(), lambda name, including: None).facts
    assert not found.problems
    return found


def design(files: dict[str, str], top: str = "camera", libraries: dict[str, str] | None = None) -> Design:
    read = [facts(name, text) for name, text in files.items()]
    tops = (top,) if top else ()
    return elaborate_design(read, DesignOptions(tops=tops, libraries=libraries or {}))


def only(found: Design) -> Memory:
    assert not found.missing
    (memory,) = found.memories
    return memory


def check(memory: Memory, depth: int, width: int) -> None:
    assert (memory.path, memory.depth, memory.width) == ("camera.store.line", depth, width)
    assert {clock.net for clock in memory.clocks} == {"camera.pixel_clk"}
    assert memory.read == "synchronous"
    # The unit has two address ports, whatever they are connected to.
    assert counts(memory.ports) == {"w": 1, "r": 1}


@pytest.mark.parametrize(
    "instance",
    [
        f"store : entity work.line_store generic map (words => 640, bits => 12) {PORT_MAP};",
        f"store : entity work.LINE_STORE generic map (Words => 5 * 128, BITS => data'length) {PORT_MAP};",
        f"store : entity work.line_store generic map (640, 12) {PORT_MAP};",
        "store : entity work.line_store generic map (640, 12) port map (pixel_clk, we, at, at, data, word);",
    ],
)
def test_an_entity_instance_of_a_module(instance: str) -> None:
    # VHDL names are in any case, the module's own are as it writes them.
    found = design({"store.v": VERILOG_STORE, "camera.vhd": vhdl_top("", instance)})
    check(only(found), 640, 12)


@pytest.mark.parametrize(
    ("instance", "depth"),
    [
        (f"store : line_store generic map (words => 640) {PORT_MAP};", 640),
        (f"store : component line_store generic map (320) {PORT_MAP};", 320),
        # The component's default counts, not the module's.
        (f"store : line_store {PORT_MAP};", 64),
    ],
)
def test_a_component_instance_of_a_module(instance: str, depth: int) -> None:
    found = design({"camera.vhd": vhdl_top(COMPONENT, instance), "store.v": VERILOG_STORE})
    check(only(found), depth, 12)


def test_a_module_instantiates_an_entity() -> None:
    check(only(design({"store.vhd": VHDL_STORE, "camera.v": VERILOG_TOP})), 640, 12)


def test_an_entity_below_a_module_below_an_entity() -> None:
    top = vhdl_top("", f"store : entity work.middle generic map (640, 12) {PORT_MAP};")
    middle = """
    module middle #(parameter N = 1, parameter W = 1) (
      input clk, input we, input [9:0] write_at, input [9:0] read_at, input [W-1:0] data, output [W-1:0] q
    );
      line_store #(.words(N), .bits(W)) inner (.*);
    endmodule
    """
    memory = only(design({"camera.vhd": top, "middle.sv": middle, "store.vhd": VHDL_STORE}))
    assert (memory.path, memory.depth, memory.width) == ("camera.store.inner.line", 640, 12)
    assert {clock.net for clock in memory.clocks} == {"camera.pixel_clk"}
    assert memory.read == "synchronous"


def test_data_that_goes_through_logic_in_the_other_language() -> None:
    instance = f"store : entity work.line_store generic map (640, 12) {PORT_MAP};"
    top = vhdl_top("", instance).replace("q <= word;", "q <= word xor data;")
    memory = only(design({"store.v": VERILOG_STORE, "camera.vhd": top}))
    assert memory.read == "asynchronous"
    top = VERILOG_TOP.replace("q <= word;", "q <= word + 1;")
    memory = only(design({"store.vhd": VHDL_STORE, "camera.v": top}))
    assert memory.read == "asynchronous"


def test_an_address_registered_in_the_other_language() -> None:
    # The word goes through logic, but the address comes out of a register that feeds nothing else.
    instance = f"store : entity work.line_store generic map (640, 12) {PORT_MAP};"
    top = vhdl_top("", instance.replace("read_at => at", "read_at => held"))
    memory = only(design({"store.v": VERILOG_STORE, "camera.vhd": top.replace("<= word;", "<= not word;")}))
    assert memory.read == "synchronous"
    assert counts(memory.ports) == {"w": 1, "r": 1}
    top = VERILOG_TOP.replace(".read_at(at)", ".read_at(held)").replace("q <= word;", "q <= word + 1;")
    memory = only(design({"store.vhd": VHDL_STORE, "camera.v": top}))
    assert memory.read == "synchronous"
    assert counts(memory.ports) == {"w": 1, "r": 1}


def test_two_clocks_that_are_one_net_in_the_other_language() -> None:
    store = VHDL_STORE.replace("Clk, we", "Clk, clk_b, we").replace(
        "  q <= line(to_integer(read_at));",
        "  process (clk_b) begin\n    if rising_edge(clk_b) then\n      q <= line(to_integer(read_at));\n"
        "    end if;\n  end process;",
    )
    top = VERILOG_TOP.replace(".clk(pixel_clk)", ".clk(pixel_clk), .clk_b(other)").replace(
        "wire [11:0] word;", "wire [11:0] word; wire other; assign other = pixel_clk;"
    )
    memory = only(design({"store.vhd": store, "camera.v": top}))
    assert {clock.net for clock in memory.clocks} == {"camera.pixel_clk"}


def test_a_generic_of_another_kind_than_the_parameter() -> None:
    more = 'parameter WORDS = 4, parameter KIND = "", FAST = 0'
    module = VERILOG_STORE.replace("parameter WORDS = 4", more)
    module = module.replace("0:WORDS-1", '0:(KIND == "wide" && FAST ? 2 * WORDS : WORDS)-1')
    instance = (
        'store : entity work.line_store generic map (words => 640, kind => "wide", fast => 1, bits => 12) '
        f"{PORT_MAP};"
    )
    check(only(design({"store.v": module, "camera.vhd": vhdl_top("", instance)})), 1280, 12)


def test_a_parameter_gives_a_boolean_generic_its_value() -> None:
    entity = VHDL_STORE.replace("WORDS : positive := 4;", "WORDS : positive := 4; WIDE : boolean := false;")
    entity = entity.replace(
        "architecture rtl of Line_Store is",
        "architecture rtl of Line_Store is\n"
        "  function many(wide : boolean) return positive is\n  begin\n"
        "    if wide then return 2 * WORDS; end if;\n    return WORDS;\n  end function;",
    ).replace("0 to WORDS - 1", "0 to many(WIDE) - 1")
    top = VERILOG_TOP.replace(".WORDS(640)", ".WORDS(640), .wide(1)")
    check(only(design({"store.vhd": entity, "camera.v": top})), 1280, 12)


def test_a_unit_instantiated_from_the_other_language_is_no_root() -> None:
    found = design({"store.v": VERILOG_STORE, "camera.vhd": vhdl_top("", f"s : line_store {PORT_MAP};")}, "")
    assert found.roots == ("camera",)
    assert design({"store.vhd": VHDL_STORE, "camera.v": VERILOG_TOP}, "").roots == ("camera",)
