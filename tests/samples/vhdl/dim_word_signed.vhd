-- expect: dim_word_signed.line 64x16 banks=1 ports=1w1r clocks=dim_word_signed.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity dim_word_signed is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of dim_word_signed is
  type line_t is array (0 to 63) of signed(15 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= signed(data);
      end if;
      q <= std_logic_vector(line(to_integer(read_at)));
    end if;
  end process;
end architecture;
