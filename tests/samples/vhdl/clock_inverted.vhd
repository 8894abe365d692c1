-- expect: clock_inverted.line 64x16 banks=1 ports=1w1r clocks=clock_inverted.clk read=synchronous
-- The falling edge of the inverted clock is the rising edge of the clock.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_inverted is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of clock_inverted is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  signal n_clk : std_logic;
begin
  n_clk <= not clk;
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
    end if;
  end process;
  process (n_clk)
  begin
    if falling_edge(n_clk) then
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
