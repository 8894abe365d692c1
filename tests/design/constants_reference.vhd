library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use ieee.math_real.all;

package sort_pkg is
  type lane_t is (idle, fill, eject, clear);
  type int_array is array (natural range <>) of integer;
  subtype word_t is std_logic_vector(11 downto 0);
  type words_t is array (natural range <>) of word_t;
  type cfg_t is record
    lanes : positive;
    depth : natural;
    kind : lane_t;
    gain : real;
    mask : std_logic_vector(3 downto 0);
  end record;
  constant STANDARD_CFG : cfg_t := (lanes => 6, depth => 1000, kind => eject, gain => 2.5, mask => "1010");
  constant LATER : integer;
  constant SIZES : int_array := (4, 8, 15, 16, 23, 42);
  function log2c(n : natural) return natural;
  function ite(c : boolean; a, b : integer) return integer;
  function ite(c : boolean; a, b : string) return string;
  function ite(c : boolean; a, b : real) return real;
  function sum(v : int_array) return integer;
  function gray(n : natural; w : positive) return unsigned;
  function init(n : natural) return words_t;
end package;
package body sort_pkg is
  constant LATER : integer := 77;
  function log2c(n : natural) return natural is
    variable r : natural := 0;
    variable v : natural := 1;
  begin
    while v < n loop
      v := v * 2;
      r := r + 1;
    end loop;
    return r;
  end function;
  function ite(c : boolean; a, b : integer) return integer is begin
    if c then return a; else return b; end if; end function;
  function ite(c : boolean; a, b : string) return string is begin
    if c then return a; else return b; end if; end function;
  function ite(c : boolean; a, b : real) return real is begin
    if c then return a; else return b; end if; end function;
  function sum(v : int_array) return integer is variable t : integer := 0; begin
    for i in v'range loop
      next when v(i) = 15;
      t := t + v(i);
      exit when i = v'high - 1;
    end loop;
    return t;
  end function;
  function gray(n : natural; w : positive) return unsigned is
    variable u : unsigned(w - 1 downto 0) := to_unsigned(n, w);
    variable g : unsigned(w - 1 downto 0);
  begin
    g(w - 1) := u(w - 1);
    for i in w - 2 downto 0 loop
      g(i) := u(i + 1) xor u(i);
    end loop;
    return g;
  end function;
  function init(n : natural) return words_t is
    variable m : words_t(0 to n - 1) := (others => (others => '0'));
    procedure put(variable x : inout words_t; i : integer) is begin
      x(i) := std_logic_vector(to_unsigned(i * i, 12));
    end procedure;
  begin
    for i in m'range loop put(m, i); end loop;
    return m;
  end function;
end package body;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use ieee.math_real.all;
use work.sort_pkg.all;

entity dut is
  generic (N : positive := 1000; NAME_G : string := "tele"; R : real := 0.75; CFG : cfg_t := STANDARD_CFG);
end entity;
architecture rtl of dut is
  constant ADDRESS_BITS : integer := log2c(N);
  constant BY_REALS : integer := integer(ceil(log2(real(N))));
  constant FROM_RECORD : integer := CFG.depth * CFG.lanes + LATER;
  constant SUMMED : integer := sum(SIZES);
  constant CHOSEN_TEXT : string := ite(N > 500, "long", "short");
  constant TEXT_LENGTH : integer := CHOSEN_TEXT'length;
  constant GRAY_CODE : unsigned := gray(11, 5);
  constant GRAY_NUMBER : integer := to_integer(GRAY_CODE);
  constant MODULO : integer := (-7) mod 3;
  constant REMAINDER : integer := (-7) rem 3;
  constant QUOTIENT : integer := -7 / 2;
  constant POWER : integer := 2 ** 10 - 1;
  constant POSITION : integer := lane_t'pos(CFG.kind);
  constant LAST_POSITION : integer := lane_t'pos(lane_t'right);
  constant BOUNDS : integer := SIZES'length + SIZES'right + SIZES'low;
  constant WORDS : words_t := init(64);
  constant SQUARE_OF_9 : integer := to_integer(unsigned(WORDS(9)));
  constant ALL_BITS : integer := WORDS'length * WORDS(0)'length;
  constant PATTERN : std_logic_vector(7 downto 0) := x"A5";
  constant UPPER_HALF : integer := to_integer(unsigned(PATTERN(7 downto 4)));
  constant AS_SIGNED : integer := to_integer(signed(PATTERN));
  constant LARGER : integer := maximum(SIZES(0), SIZES(5));
  constant BY_BIT : integer := ite(PATTERN(0) = '1', 3, 4);
  constant ROUNDED : integer := integer(round(R * 10.0));
  constant TIE : integer := integer(2.5);
  constant JOINED : integer := to_integer(unsigned(std_logic_vector'(CFG.mask & "01")));
  constant HOLDS : boolean := ADDRESS_BITS = 10 and not (BY_REALS = 9);
  constant HOLDS_POSITION : integer := boolean'pos(HOLDS);
  constant EXTENDED : integer := to_integer(resize(signed'("1000"), 8));
  constant PRODUCT : integer := to_integer(unsigned'("0110") * 5);
  constant WORD_LENGTH : integer := word_t'length;
  constant SQUARED : integer := (abs (-5)) ** 2;
  constant SHIFTED_LEFT : integer := to_integer(shift_left(to_unsigned(3, 8), 4));
  constant SHIFTED_RIGHT : integer := to_integer(shift_right(to_signed(-16, 8), 2));
  constant GAINED : integer := integer(CFG.gain * 4.0);
  constant INTEGER_HIGH : integer := integer'high;
  constant NATURAL_LOW : integer := natural'low;
  constant POSITIVE_LEFT : integer := positive'left;
  constant KEYED : int_array(3 downto 0) := (3 => 7, 1 => 9, others => 2);
  constant KEYED_SUM : integer := KEYED(3) + KEYED(2) * 10 + KEYED(1) * 100;
  constant MASKED : integer := to_integer(unsigned(std_logic_vector'(PATTERN and x"0F")));
  constant ROOT : integer := integer(floor(sqrt(real(N))));
  constant CUT : integer := integer(trunc(-2.7));
  constant APPENDED : int_array := SIZES & 5;
  constant LAST_APPENDED : integer := APPENDED(6);
  constant BY_POSITION : integer := lane_t'pos(lane_t'val(2));
  constant LETTER : integer := character'pos('A');
  constant SPELLED : string := "ab" & 'c' & integer'image(42);
  constant SPELLED_LENGTH : integer := SPELLED'length;
  constant LOGICAL_SHIFT : integer := to_integer(unsigned(PATTERN) srl 3);
  type grid_t is array (0 to 3, 7 downto 0) of integer;
  constant GRID_LENGTHS : integer := grid_t'length(2) * 10 + grid_t'length(1);
  constant GRID : grid_t := (others => (others => 3));
  constant GRID_CELL : integer := GRID(1, 2);
  type by_lane is array (lane_t) of integer;
  constant PER_LANE : by_lane := (idle => 1, eject => 5, others => 0);
  constant LANE_SUM : integer := PER_LANE(eject) + PER_LANE(fill);
  constant LANE_COUNT : integer := by_lane'length;
  subtype few_t is lane_t range fill to eject;
  constant FEW_POSITIONS : integer := few_t'pos(few_t'right) + few_t'pos(few_t'left);
  constant BITS_JOINED : integer := to_integer(to_unsigned(5, 4) & "11");
  constant SMALLER : integer := minimum(ADDRESS_BITS, 3);
  constant GENERIC_LENGTH : integer := NAME_G'length;
  alias upper : std_logic_vector(3 downto 0) is PATTERN(7 downto 4);
  constant ALIASED : integer := to_integer(unsigned(upper));
  constant ALL_ONES : std_logic_vector(N - 990 downto 1) := (others => '1');
  constant ALL_ONES_NUMBER : integer := to_integer(unsigned(ALL_ONES));
  constant ALL_ONES_LEFT : integer := ALL_ONES'left;
  constant LOGARITHMS : integer := integer(log10(1000.0)) + integer(log(8.0, 2.0));
  constant BASED : integer := 16#FF# + 2#101# + 1_000;
  constant PERIOD : time := 10 ns;
  constant PERIOD_PS : integer := PERIOD / 1 ps;
  constant EQUAL : boolean := PATTERN(7 downto 4) = "1010";
  constant EQUAL_POSITION : integer := boolean'pos(EQUAL);
begin
-- SHOW
end architecture;