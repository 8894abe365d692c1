library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity camera_channel is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(13 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of camera_channel is
  type pixels_t is array (0 to 16383) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal pixels : pixels_t;
  -- @mem budget bulk <= 1
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        pixels(to_integer(wa)) <= d;
      end if;
      q <= pixels(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity camera_channel is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(13 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of camera_channel is
  type pixels_t is array (0 to 16383) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal pixels : pixels_t;
  -- @mem budget bulk <= 2
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        pixels(to_integer(wa)) <= d;
      end if;
      q <= pixels(to_integer(ra));
    end if;
  end process;
end architecture;
