-- expect: alias_address.line 64x16 banks=1 ports=1w1r clocks=alias_address.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity alias_address is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(9 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of alias_address is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  alias write_pixel : unsigned(5 downto 0) is write_at(9 downto 4);
  alias read_pixel : unsigned(5 downto 0) is read_at(9 downto 4);
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_pixel)) <= data;
      end if;
      q <= line(to_integer(read_pixel));
    end if;
  end process;
end architecture;
