-- expect: lanes_slices.line 64x16 banks=1 ports=1w1r clocks=lanes_slices.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity lanes_slices is
  port (
    clk : in std_logic;
    we : in std_logic_vector(1 downto 0);
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of lanes_slices is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we(0) = '1' then
        line(to_integer(write_at))(9 downto 0) <= data(9 downto 0);
      end if;
      if we(1) = '1' then
        line(to_integer(write_at))(15 downto 10) <= data(15 downto 10);
      end if;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
