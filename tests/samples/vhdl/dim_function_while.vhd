-- expect: dim_function_while.line 64x16 banks=1 ports=1w1r clocks=dim_function_while.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_function_while is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_function_while is
  function log2(n : positive) return natural is
    variable power, count : natural := 0;
  begin
    power := 1;
    while power < n loop
      power := power * 2;
      count := count + 1;
    end loop;
    return count;
  end function;
  constant BITS : natural := log2(60000);
  type line_t is array (0 to 2 ** log2(50) - 1) of std_logic_vector(BITS - 1 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
