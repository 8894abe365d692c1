-- expect: fifo.line 64x16 banks=1 ports=1w1r clocks=fifo.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity fifo is
  port (
    clk, we, take : in std_logic;
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of fifo is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  signal head, tail : unsigned(5 downto 0) := (others => '0');
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(head)) <= data;
        head <= head + 1;
      end if;
      if take = '1' then
        q <= line(to_integer(tail));
        tail <= tail + 1;
      end if;
    end if;
  end process;
end architecture;
