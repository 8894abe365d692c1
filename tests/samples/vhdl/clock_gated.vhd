-- expect: clock_gated.line 64x16 banks=1 ports=1w1r clocks=clock_gated.gated read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_gated is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of clock_gated is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  signal gated : std_logic;
begin
  gated <= clk and we;
  process (gated)
  begin
    if rising_edge(gated) then
      line(to_integer(write_at)) <= data;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
