-- expect: dim_array_of_arrays.line 128x16 banks=1 ports=1w1r clocks=dim_array_of_arrays.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_array_of_arrays is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(6 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_array_of_arrays is
  type line_t is array (0 to 31) of std_logic_vector(15 downto 0);
  type lines_t is array (0 to 3) of line_t;
  signal line : lines_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at(6 downto 5)))(to_integer(write_at(4 downto 0))) <= data;
      end if;
      q <= line(to_integer(read_at(6 downto 5)))(to_integer(read_at(4 downto 0)));
    end if;
  end process;
end architecture;
