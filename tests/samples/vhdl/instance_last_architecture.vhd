-- expect: instance_last_architecture.store.words 4x16 banks=1 ports=1w1r clocks=instance_last_architecture.clk read=synchronous
-- Without a name the architecture analysed last is meant (IEEE Std 1076-2008, 7.3.3).
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

architecture small of line_ram is
  type line_t is array (0 to 3) of std_logic_vector(BITS - 1 downto 0);
  signal words : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        words(to_integer(write_at(1 downto 0))) <= data;
      end if;
      q <= words(to_integer(read_at(1 downto 0)));
    end if;
  end process;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity instance_last_architecture is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_last_architecture is

begin
  store : entity work.line_ram
    generic map (BITS => 16)
    port map (clk => clk, we => we, write_at => write_at, read_at => read_at, data => data, q => q);
end architecture;
