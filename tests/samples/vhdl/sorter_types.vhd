-- What the grain sorter's units share: classes, colours, the table of valve delays.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

package sorter_types is
  constant VALVES      : positive := 16;
  constant CLASS_BITS  : positive := 3;
  constant DELAY_STEPS : positive;

  type grain_class is (good, cracked, mouldy, stone);
  subtype hue_t is unsigned(7 downto 0);
  type hue_range is record
    low, high : hue_t;
    class     : grain_class;
  end record hue_range;
  type hue_table is array (natural range <>) of hue_range;
  type per_class is array (grain_class) of natural;
  type valve_bits is array (VALVES - 1 downto 0) of std_logic;
  type reject_counts is array (grain_class range cracked to stone, 0 to VALVES - 1) of unsigned(23 downto 0);

  function log2(value : positive) return natural;
  function nought return natural;
  procedure count(signal total : inout unsigned; constant by : in natural := 1);
  impure function "and"(left : hue_t; right : integer) return hue_t;

  component delay_line is
    generic (STEPS : natural := 8);
    port (
      clk : in std_logic;
      d   : in std_logic_vector(7 downto 0) := (others => '0');
      q   : out std_logic_vector);
  end component delay_line;
end package sorter_types;

package body sorter_types is
  constant DELAY_STEPS : positive := 2 ** 5 - 1;

  function log2(value : positive) return natural is
    variable rest : natural := value - 1;
    variable bits : natural := 0;
  begin
    while rest > 0 loop
      rest := rest / 2;
      bits := bits + 1;
    end loop;
    return bits;
  end function log2;

  function nought return natural is
  begin
    return 0;
  end function;

  procedure count(signal total : inout unsigned; constant by : in natural := 1) is
  begin
    total <= total + by after 1 ns;
  end procedure;

  impure function "and"(left : hue_t; right : integer) return hue_t is
  begin
    return hue_t'(left) and to_unsigned(right, left'length);
  end function "and";
end package body;
