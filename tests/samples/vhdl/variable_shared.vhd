-- expect: variable_shared.line 64x16 banks=1 ports=2rw clocks=variable_shared.clk_a,variable_shared.clk_b read=synchronous
-- True dual port on two clocks.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity variable_shared is
  port (
    clk_a, clk_b : in std_logic;
    we_a, we_b : in std_logic;
    at_a, at_b : in unsigned(5 downto 0);
    data_a, data_b : in std_logic_vector(15 downto 0);
    q_a, q_b : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of variable_shared is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  shared variable line : line_t;
begin
  port_a : process (clk_a)
  begin
    if rising_edge(clk_a) then
      q_a <= line(to_integer(at_a));
      if we_a = '1' then
        line(to_integer(at_a)) := data_a;
      end if;
    end if;
  end process;

  port_b : process (clk_b)
  begin
    if rising_edge(clk_b) then
      q_b <= line(to_integer(at_b));
      if we_b = '1' then
        line(to_integer(at_b)) := data_b;
      end if;
    end if;
  end process;
end architecture;
