-- expect: rom_function.gains 8x4 banks=1 ports=1r clocks=rom_function.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use ieee.math_real.all;

entity rom_function is
  port (
    clk : in std_logic;
    read_at : in unsigned(2 downto 0);
    q : out std_logic_vector(3 downto 0)
  );
end entity;

architecture rtl of rom_function is
  type gains_t is array (0 to 7) of std_logic_vector(3 downto 0);

  function gamma return gains_t is
    variable words : gains_t;
  begin
    for word in gains_t'range loop
      words(word) := std_logic_vector(to_unsigned(integer(sqrt(real(word * 32))), 4));
    end loop;
    return words;
  end function;
  constant gains : gains_t := gamma;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      q <= gains(to_integer(read_at));
    end if;
  end process;
end architecture;
