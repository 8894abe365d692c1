-- expect: dim_word_natural.line 64x31 banks=1 ports=1w1r clocks=dim_word_natural.clk read=synchronous
-- natural is 0 to 2**31 - 1.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_natural is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(30 downto 0);
    q : out std_logic_vector(30 downto 0)
  );
end entity;

architecture rtl of dim_word_natural is
  type line_t is array (0 to 63) of natural;
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= to_integer(unsigned(data));
      end if;
      q <= std_logic_vector(to_unsigned(line(to_integer(read_at)), 31));
    end if;
  end process;
end architecture;
