-- expect: dim_word_enumeration.line 64x3 banks=1 ports=1w1r clocks=dim_word_enumeration.clk read=synchronous
-- Five values are numbered in 3 bits.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_enumeration is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(2 downto 0);
    q : out std_logic_vector(2 downto 0)
  );
end entity;

architecture rtl of dim_word_enumeration is
  type grain_t is (good, cracked, mouldy, stone, glass);
  type line_t is array (0 to 63) of grain_t;
  signal line : line_t;
  signal word : grain_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= grain_t'val(to_integer(unsigned(data)));
      end if;
      word <= line(to_integer(read_at));
    end if;
  end process;
  q <= std_logic_vector(to_unsigned(grain_t'pos(word), 3));
end architecture;
