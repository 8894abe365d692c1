library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity frame_store is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(3999 downto 0);
    q : out std_logic_vector(3999 downto 0)
  );
end entity;

architecture rtl of frame_store is
begin
  each : for i in 0 to 99 generate
    type pixels_t is array (0 to 8191) of std_logic_vector(39 downto 0);
    -- @mem in bulk
    signal pixels : pixels_t;
  begin
    process (clk)
    begin
      if rising_edge(clk) then
        if we = '1' then
          pixels(to_integer(wa)) <= d(40 * i + 39 downto 40 * i);
        end if;
        q(40 * i + 39 downto 40 * i) <= pixels(to_integer(ra));
      end if;
    end process;
  end generate;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity frame_store is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(1919 downto 0);
    q : out std_logic_vector(1919 downto 0)
  );
end entity;

architecture rtl of frame_store is
begin
  each : for i in 0 to 47 generate
    type pixels_t is array (0 to 8191) of std_logic_vector(39 downto 0);
    -- @mem in bulk
    signal pixels : pixels_t;
  begin
    process (clk)
    begin
      if rising_edge(clk) then
        if we = '1' then
          pixels(to_integer(wa)) <= d(40 * i + 39 downto 40 * i);
        end if;
        q(40 * i + 39 downto 40 * i) <= pixels(to_integer(ra));
      end if;
    end process;
  end generate;
end architecture;
