-- expect: variable_initial.store.line 64x16 banks=1 ports=1rw clocks=variable_initial.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity variable_initial is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of variable_initial is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
begin
  store : process (clk)
    variable line : line_t := (others => x"8000");
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) := data;
      end if;
      q <= line(to_integer(write_at));
    end if;
  end process;
end architecture;
