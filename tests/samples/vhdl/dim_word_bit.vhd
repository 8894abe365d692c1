-- expect: dim_word_bit.line 64x1 banks=1 ports=1w1r clocks=dim_word_bit.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_bit is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(0 downto 0);
    q : out std_logic_vector(0 downto 0)
  );
end entity;

architecture rtl of dim_word_bit is
  type line_t is array (0 to 63) of std_logic;
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data(0);
      end if;
      q(0) <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
