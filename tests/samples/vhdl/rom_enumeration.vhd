-- expect: rom_enumeration.gains 5x4 banks=1 ports=1r clocks=rom_enumeration.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity rom_enumeration is
  port (
    clk : in std_logic;
    read_at : in unsigned(2 downto 0);
    q : out std_logic_vector(3 downto 0)
  );
end entity;

architecture rtl of rom_enumeration is
  type grain_t is (good, cracked, mouldy, stone, glass);
  type gains_t is array (grain_t) of std_logic_vector(3 downto 0);
  constant gains : gains_t := (good => x"0", cracked => x"3", mouldy => x"3", others => x"f");
  signal grain : grain_t;
begin
  grain <= grain_t'val(to_integer(read_at));
  process (clk)
  begin
    if rising_edge(clk) then
      q <= gains(grain);
    end if;
  end process;
end architecture;
