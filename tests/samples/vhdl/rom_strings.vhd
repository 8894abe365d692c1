-- expect: rom_strings.gains 4x16 banks=1 ports=1r clocks=rom_strings.clk read=synchronous
-- A character is 8 bits.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity rom_strings is
  port (
    clk : in std_logic;
    read_at : in unsigned(1 downto 0);
    q : out std_logic_vector(3 downto 0)
  );
end entity;

architecture rtl of rom_strings is
  type gains_t is array (0 to 3) of string(1 to 2);
  constant gains : gains_t := ("ok", "no", "??", "--");
  signal text_out : string(1 to 2);
begin
  process (clk)
  begin
    if rising_edge(clk) then
      text_out <= gains(to_integer(read_at));
    end if;
  end process;
  q <= x"1" when text_out = "ok" else x"0";
end architecture;
