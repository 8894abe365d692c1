-- expect: clock_two.line 64x16 banks=1 ports=1w1r clocks=clock_two.pixel_clk,clock_two.sort_clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_two is
  port (
    pixel_clk, sort_clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of clock_two is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (pixel_clk)
  begin
    if rising_edge(pixel_clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
    end if;
  end process;
  process (sort_clk)
  begin
    if rising_edge(sort_clk) then
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
