-- expect: constant_type_in_package.line 64x16 banks=1 ports=1w1r clocks=constant_type_in_package.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;

package grain_types is
  subtype word_t is std_logic_vector(15 downto 0);
  type line_t is array (0 to 63) of word_t;
end package;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.grain_types.all;

entity constant_type_in_package is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of constant_type_in_package is
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
