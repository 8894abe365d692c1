-- expect: dim_word_signed_integer.line 64x8 banks=1 ports=1w1r clocks=dim_word_signed_integer.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_signed_integer is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(7 downto 0);
    q : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of dim_word_signed_integer is
  type line_t is array (0 to 63) of integer range -128 to 127;
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= to_integer(signed(data));
      end if;
      q <= std_logic_vector(to_signed(line(to_integer(read_at)), 8));
    end if;
  end process;
end architecture;
