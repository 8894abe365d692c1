-- expect: banks_loop.line 64x16 banks=4 ports=1w1r clocks=banks_loop.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity banks_loop is
  port (
    clk : in std_logic;
    we : in std_logic_vector(3 downto 0);
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(63 downto 0)
  );
end entity;

architecture rtl of banks_loop is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  type lines_t is array (0 to 3) of line_t;
  signal line : lines_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      for row in 0 to 3 loop
        if we(row) = '1' then
          line(row)(to_integer(write_at)) <= data;
        end if;
        q(16 * row + 15 downto 16 * row) <= line(row)(to_integer(read_at));
      end loop;
    end if;
  end process;
end architecture;
