-- expect: clock_asynchronous_reset.line 64x16 banks=1 ports=1w1r clocks=clock_asynchronous_reset.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_asynchronous_reset is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0);
    reset : in std_logic
  );
end entity;

architecture rtl of clock_asynchronous_reset is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk, reset)
  begin
    if reset = '1' then
      q <= (others => '0');
    elsif rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
