library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity valve_taps is
  port (
    clk : in std_logic;
    d : in std_logic_vector(7 downto 0);
    q : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of valve_taps is
  type taps_t is array (0 to 3) of std_logic_vector(7 downto 0);
  -- @mem in fabric
  signal taps : taps_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      taps(0) <= d;
      taps(1) <= taps(0);
      taps(2) <= taps(1);
      taps(3) <= taps(2);
    end if;
  end process;
  q <= taps(3);
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity valve_taps is
  port (
    clk : in std_logic;
    d : in std_logic_vector(7 downto 0);
    q : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of valve_taps is
  type taps_t is array (0 to 3) of std_logic_vector(7 downto 0);
  signal taps : taps_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      taps(0) <= d;
      taps(1) <= taps(0);
      taps(2) <= taps(1);
      taps(3) <= taps(2);
    end if;
  end process;
  q <= taps(3);
end architecture;
