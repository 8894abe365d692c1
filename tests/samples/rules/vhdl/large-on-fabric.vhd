library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity gain_table is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(10 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of gain_table is
  type gains_t is array (0 to 2047) of std_logic_vector(39 downto 0);
  -- @mem in fabric
  signal gains : gains_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        gains(to_integer(wa)) <= d;
      end if;
      q <= gains(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity gain_table is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(10 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of gain_table is
  type gains_t is array (0 to 2047) of std_logic_vector(39 downto 0);
  -- @mem in block
  signal gains : gains_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        gains(to_integer(wa)) <= d;
      end if;
      q <= gains(to_integer(ra));
    end if;
  end process;
end architecture;
