-- expect: read_address_integer.line 64x16 banks=1 ports=1w1r clocks=read_address_integer.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_address_integer is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of read_address_integer is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  signal held : integer range 0 to 63;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      held <= to_integer(read_at);
    end if;
  end process;
  q <= line(held);
end architecture;
