-- expect: clock_concurrent.line 64x16 banks=1 ports=1w1r clocks=clock_concurrent.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_concurrent is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of clock_concurrent is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  line(to_integer(write_at)) <= data when rising_edge(clk) and we = '1';
  q <= line(to_integer(read_at)) when rising_edge(clk);
end architecture;
