-- expect: rom_asynchronous.gains 8x4 banks=1 ports=1r clocks=- read=asynchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity rom_asynchronous is
  port (
    clk : in std_logic;
    read_at : in unsigned(2 downto 0);
    q : out std_logic_vector(3 downto 0)
  );
end entity;

architecture rtl of rom_asynchronous is
  type gains_t is array (0 to 7) of std_logic_vector(3 downto 0);
  constant gains : gains_t := (x"1", x"2", x"4", x"8", x"8", x"4", x"2", x"1");
begin
  q <= gains(to_integer(read_at));
end architecture;
