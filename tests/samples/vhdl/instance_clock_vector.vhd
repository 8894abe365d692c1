-- expect: instance_clock_vector.store.line 64x16 banks=1 ports=1w1r clocks=instance_clock_vector.clks[1] read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_ram is
  generic (
    PIXELS : positive := 8;
    BITS : positive := 8
  );
  port (
    clk, we : in std_logic;
    write_at, read_at : in unsigned;
    data : in std_logic_vector(BITS - 1 downto 0);
    q : out std_logic_vector(BITS - 1 downto 0)
  );
end entity;

architecture rtl of line_ram is
  type line_t is array (0 to PIXELS - 1) of std_logic_vector(BITS - 1 downto 0);
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

entity instance_clock_vector is
  port (
    clks : in std_logic_vector(1 downto 0);
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_clock_vector is

begin
  store : entity work.line_ram
    generic map (PIXELS => 64, BITS => 16)
    port map (clk => clks(1), we => we, write_at => write_at, read_at => read_at, data => data, q => q);
end architecture;
