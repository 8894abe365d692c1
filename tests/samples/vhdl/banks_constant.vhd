-- expect: banks_constant.line 64x16 banks=2 ports=1w1r clocks=banks_constant.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity banks_constant is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of banks_constant is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  type lines_t is array (boolean) of line_t;
  signal line : lines_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(false)(to_integer(write_at)) <= data;
        line(true)(to_integer(write_at)) <= not data;
      end if;
      q <= line(false)(to_integer(read_at));
    end if;
  end process;
end architecture;
