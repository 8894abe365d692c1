library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity grain_classifier is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d, bias : in unsigned(39 downto 0);
    q : out unsigned(39 downto 0)
  );
end entity;

architecture rtl of grain_classifier is
  type grains_t is array (0 to 8191) of unsigned(39 downto 0);
  -- @mem in bulk
  signal grains : grains_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        grains(to_integer(wa)) <= d;
      end if;
      q <= grains(to_integer(ra)) + bias;
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity grain_classifier is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d, bias : in unsigned(39 downto 0);
    q : out unsigned(39 downto 0)
  );
end entity;

architecture rtl of grain_classifier is
  type grains_t is array (0 to 8191) of unsigned(39 downto 0);
  -- @mem in bulk
  signal grains : grains_t;
  signal word : unsigned(39 downto 0);
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        grains(to_integer(wa)) <= d;
      end if;
      word <= grains(to_integer(ra));
      q <= word + bias;
    end if;
  end process;
end architecture;
