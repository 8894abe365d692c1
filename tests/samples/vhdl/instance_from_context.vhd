-- expect: instance_from_context.line 64x16 banks=1 ports=1w1r clocks=instance_from_context.clk read=synchronous
package camera_sizes is
  constant PIXELS : positive := 64;
end package;

context camera_context is
  library ieee;
  use ieee.std_logic_1164.all;
  use ieee.numeric_std.all;
end context;

context work.camera_context;
use work.camera_sizes.all;

entity instance_from_context is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_from_context is
  type line_t is array (0 to PIXELS - 1) of std_logic_vector(15 downto 0);
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
