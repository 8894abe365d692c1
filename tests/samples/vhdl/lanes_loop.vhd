-- expect: lanes_loop.line 64x16 banks=1 ports=1w1r clocks=lanes_loop.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity lanes_loop is
  port (
    clk : in std_logic;
    we : in std_logic_vector(1 downto 0);
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of lanes_loop is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      for lane in 0 to 1 loop
        if we(lane) = '1' then
          line(to_integer(write_at))(8 * lane + 7 downto 8 * lane) <= data(8 * lane + 7 downto 8 * lane);
        end if;
      end loop;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
