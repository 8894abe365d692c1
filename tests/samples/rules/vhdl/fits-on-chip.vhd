library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity background_store is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(14 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of background_store is
  type background_t is array (0 to 32767) of std_logic_vector(39 downto 0);
  -- @mem in external
  signal background : background_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        background(to_integer(wa)) <= d;
      end if;
      q <= background(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity background_store is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(14 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of background_store is
  type background_t is array (0 to 32767) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal background : background_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        background(to_integer(wa)) <= d;
      end if;
      q <= background(to_integer(ra));
    end if;
  end process;
end architecture;
