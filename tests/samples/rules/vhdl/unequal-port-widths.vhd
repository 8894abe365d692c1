library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity telemetry_pack is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of telemetry_pack is
  type words_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk; ports 1w(40) 1r(10)
  signal words : words_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        words(to_integer(wa)) <= d;
      end if;
      q <= words(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity telemetry_pack is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of telemetry_pack is
  type words_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk; ports 1w 1r
  signal words : words_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        words(to_integer(wa)) <= d;
      end if;
      q <= words(to_integer(ra));
    end if;
  end process;
end architecture;
