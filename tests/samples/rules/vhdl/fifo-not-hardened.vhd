library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity telemetry_queue is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of telemetry_queue is
  type queue_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk; fifo
  signal queue : queue_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        queue(to_integer(wa)) <= d;
      end if;
      q <= queue(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity telemetry_queue is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(8 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of telemetry_queue is
  type queue_t is array (0 to 511) of std_logic_vector(39 downto 0);
  -- @mem in block; fifo
  signal queue : queue_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        queue(to_integer(wa)) <= d;
      end if;
      q <= queue(to_integer(ra));
    end if;
  end process;
end architecture;
