-- A project's own log2 for integers, beside standard packages whose log2 is for reals.
-- expect: tray.lines 64x8 banks=1 ports=1w1r clocks=tray.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;

package sizes is
  function log2(i : natural) return integer;
end package;

package body sizes is
  function log2(i : natural) return integer is
    variable left   : integer := i;
    variable result : integer := 0;
  begin
    while left > 1 loop
      result := result + 1;
      left   := left / 2;
    end loop;
    return result;
  end function;
end package body;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
library work;
use work.sizes.all;

entity tray is
  generic (GRAINS : natural := 64);
  port (
    clk   : in  std_logic;
    we    : in  std_logic;
    wr_at : in  unsigned(log2(GRAINS) - 1 downto 0);
    rd_at : in  unsigned(log2(GRAINS) - 1 downto 0);
    d     : in  std_logic_vector(7 downto 0);
    q     : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of tray is
  type line_t is array (0 to 2 ** log2(GRAINS) - 1) of std_logic_vector(7 downto 0);
  signal lines : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        lines(to_integer(wr_at)) <= d;
      end if;
      q <= lines(to_integer(rd_at));
    end if;
  end process;
end architecture;
