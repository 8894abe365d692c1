library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity jet_drive is
  port (
    clk : in std_logic;
    open_mask : in std_logic_vector(7 downto 0);
    jets : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of jet_drive is
begin
  driver : entity work.valve_driver port map (clk => clk, mask => open_mask, jets => jets);
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity valve_driver is
  port (
    clk : in std_logic;
    mask : in std_logic_vector(7 downto 0);
    jets : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of valve_driver is
begin
  process (clk)
  begin
    if rising_edge(clk) then
      jets <= mask;
    end if;
  end process;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity jet_drive is
  port (
    clk : in std_logic;
    open_mask : in std_logic_vector(7 downto 0);
    jets : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of jet_drive is
begin
  driver : entity work.valve_driver port map (clk => clk, mask => open_mask, jets => jets);
end architecture;
