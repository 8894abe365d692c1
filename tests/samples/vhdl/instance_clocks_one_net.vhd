-- expect: instance_clocks_one_net.store.line 64x16 banks=1 ports=1w1r clocks=instance_clocks_one_net.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity two_clock_ram is
  generic (
    PIXELS : positive := 8;
    BITS : positive := 8
  );
  port (
    write_clk, read_clk, we : in std_logic;
    write_at, read_at : in unsigned;
    data : in std_logic_vector(BITS - 1 downto 0);
    q : out std_logic_vector(BITS - 1 downto 0)
  );
end entity;

architecture rtl of two_clock_ram is
  type line_t is array (0 to PIXELS - 1) of std_logic_vector(BITS - 1 downto 0);
  signal line : line_t;
begin
  process (write_clk)
  begin
    if rising_edge(write_clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
    end if;
  end process;
  process (read_clk)
  begin
    if rising_edge(read_clk) then
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity instance_clocks_one_net is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_clocks_one_net is
  signal buffered : std_logic;
begin
  buffered <= clk;
  store : entity work.two_clock_ram
    generic map (PIXELS => 64, BITS => 16)
    port map (write_clk => clk, read_clk => buffered, we => we, write_at => write_at, read_at => read_at,
              data => data, q => q);
end architecture;
