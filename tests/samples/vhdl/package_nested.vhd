-- A type from a package inside a package, its constants too.
-- expect: package_nested.line 128x9 banks=1 ports=1rw clocks=package_nested.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

package package_nested_outer is
  package shapes is
    constant DEPTH : natural := 128;
    type line_t is array (0 to DEPTH - 1) of std_logic_vector(8 downto 0);
  end package;
end package;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.package_nested_outer.all;

entity package_nested is
  port (
    clk, we : in std_logic;
    at      : in unsigned(6 downto 0);
    d       : in std_logic_vector(8 downto 0);
    q       : out std_logic_vector(8 downto 0)
  );
end entity;

architecture rtl of package_nested is
  signal line : shapes.line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(at)) <= d;
      end if;
      q <= line(to_integer(at));
    end if;
  end process;
end architecture;
