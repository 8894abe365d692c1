-- expect: constant_package_body_after.line 64x16 banks=1 ports=1w1r clocks=constant_package_body_after.clk read=synchronous
package optics_pkg is
  constant PIXELS : positive := 64;
  constant BITS : positive := 16;
end package;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.optics_pkg;
use work.optics_pkg.BITS;

entity constant_package_body_after is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of constant_package_body_after is
  type line_t is array (0 to optics_pkg.PIXELS - 1) of std_logic_vector(BITS - 1 downto 0);
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
