-- expect: write_latch.line 64x16 banks=1 ports=1w1r clocks=- read=asynchronous
-- A word keeps its value while the enable is low: latches.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity write_latch is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of write_latch is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (all)
  begin
    if we = '1' then
      line(to_integer(write_at)) <= data;
    end if;
  end process;
  q <= line(to_integer(read_at));
end architecture;
