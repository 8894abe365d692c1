-- expect: intent_before_signal.line 64x16 banks=1 ports=1w1r clocks=intent_before_signal.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity intent_before_signal is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of intent_before_signal is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  -- @mem in block; shape 64 x 16; ports 1w 1r; one clock
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
