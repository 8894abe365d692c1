-- expect: rom_in_function.gains 8x4 banks=1 ports=1r clocks=- read=asynchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity rom_in_function is
  port (
    clk : in std_logic;
    read_at : in unsigned(2 downto 0);
    q : out std_logic_vector(3 downto 0)
  );
end entity;

architecture rtl of rom_in_function is
  type gains_t is array (0 to 7) of std_logic_vector(3 downto 0);
  constant gains : gains_t := (x"1", x"2", x"4", x"8", x"8", x"4", x"2", x"1");

  function is_high(at : unsigned) return boolean is
  begin
    if gains(to_integer(at)) = x"8" then
      return true;
    end if;
    return false;
  end function;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if is_high(read_at) then
        q <= x"1";
      end if;
    end if;
  end process;
end architecture;
