-- expect: rom_in_process.lookup.gains 8x4 banks=1 ports=1r clocks=rom_in_process.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity rom_in_process is
  port (
    clk : in std_logic;
    read_at : in unsigned(2 downto 0);
    q : out std_logic_vector(3 downto 0)
  );
end entity;

architecture rtl of rom_in_process is
  type gains_t is array (0 to 7) of std_logic_vector(3 downto 0);
begin
  lookup : process (clk)
    constant gains : gains_t := (x"1", x"2", x"4", x"8", others => x"0");
  begin
    if rising_edge(clk) then
      q <= gains(to_integer(read_at));
    end if;
  end process;
end architecture;
