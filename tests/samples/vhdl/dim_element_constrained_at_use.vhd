-- expect: dim_element_constrained_at_use.line 64x16 banks=1 ports=1w1r clocks=dim_element_constrained_at_use.clk read=synchronous
-- VHDL-2008: the element is constrained where the array is used.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_element_constrained_at_use is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_element_constrained_at_use is
  type words_t is array (natural range <>) of std_logic_vector;
  signal line : words_t(0 to 63)(15 downto 0);
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
