-- expect: variable_in_process.histogram.line 64x16 banks=1 ports=1w1r clocks=variable_in_process.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity variable_in_process is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of variable_in_process is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
begin
  histogram : process (clk)
    variable line : line_t;
  begin
    if rising_edge(clk) then
      q <= line(to_integer(read_at));
      if we = '1' then
        line(to_integer(write_at)) := data;
      end if;
    end if;
  end process;
end architecture;
