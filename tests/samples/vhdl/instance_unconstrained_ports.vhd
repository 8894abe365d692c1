-- expect: instance_unconstrained_ports.store.line 64x16 banks=1 ports=1w1r clocks=instance_unconstrained_ports.clk read=synchronous
-- Ports without bounds take those of what they are connected to.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_ram is
  generic (
    LINES : positive := 1
  );
  port (
    clk, we : in std_logic;
    write_at, read_at : in unsigned;
    data : in std_logic_vector;
    q : out std_logic_vector
  );
end entity;

architecture rtl of line_ram is
  type line_t is array (0 to 2 ** write_at'length - 1) of std_logic_vector(data'length - 1 downto 0);
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

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity instance_unconstrained_ports is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_unconstrained_ports is

begin
  store : entity work.line_ram
    port map (clk => clk, we => we, write_at => write_at, read_at => read_at, data => data, q => q);
end architecture;
