-- expect: dim_word_fixed_point.line 64x16 banks=1 ports=1w1r clocks=dim_word_fixed_point.clk read=synchronous
-- 8 bits before the point and 8 behind it.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use ieee.fixed_pkg.all;

entity dim_word_fixed_point is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_word_fixed_point is
  type line_t is array (0 to 63) of ufixed(7 downto -8);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= to_ufixed(data, 7, -8);
      end if;
      q <= to_slv(line(to_integer(read_at)));
    end if;
  end process;
end architecture;
