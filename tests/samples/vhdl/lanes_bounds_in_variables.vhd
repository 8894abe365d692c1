-- expect: lanes_bounds_in_variables.line 64x16 banks=1 ports=1w1r clocks=lanes_bounds_in_variables.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity lanes_bounds_in_variables is
  port (
    clk : in std_logic;
    we : in std_logic_vector(3 downto 0);
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of lanes_bounds_in_variables is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
    variable low, high : natural range 0 to 15;
  begin
    if rising_edge(clk) then
      for lane in we'range loop
        low := lane * 4;
        high := low + 3;
        if we(lane) = '1' then
          line(to_integer(write_at))(high downto low) <= data(high downto low);
        end if;
      end loop;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
