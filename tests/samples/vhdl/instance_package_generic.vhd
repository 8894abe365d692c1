-- expect: instance_package_generic.line 64x16 banks=1 ports=1w1r clocks=instance_package_generic.clk read=synchronous
package line_sizes is
  generic (
    PIXELS : positive := 4;
    BITS : positive
  );
  constant WORDS : positive := 2 * PIXELS;
  constant WIDTH : positive := BITS + 1;
end package;

package camera_sizes is new work.line_sizes
  generic map (PIXELS => 32, BITS => 15);

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.camera_sizes.all;

entity instance_package_generic is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_package_generic is
  type line_t is array (0 to WORDS - 1) of std_logic_vector(WIDTH - 1 downto 0);
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
