-- expect: instance_component_by_position.store.line 64x16 banks=1 ports=1w1r clocks=instance_component_by_position.clk read=synchronous
-- Positions are the component's, which has another order than the entity.
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

entity instance_component_by_position is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_component_by_position is
  component line_ram is
    generic (
      BITS : positive := 16;
      PIXELS : positive := 32
    );
    port (
      clk, we : in std_logic;
      data : in std_logic_vector(15 downto 0);
      write_at, read_at : in unsigned(5 downto 0);
      q : out std_logic_vector(15 downto 0)
    );
  end component;
begin
  store : line_ram
    generic map (16, 64)
    port map (clk, we, data, write_at, read_at, q);
end architecture;
