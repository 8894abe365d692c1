-- expect: banks_generate.line 64x16 banks=2 ports=1w1r clocks=banks_generate.clk read=synchronous
-- The writes choose the row, the reads take each: two banks with a write decode.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity banks_generate is
  port (
    clk : in std_logic;
    we : in std_logic;
    row_at : in unsigned(0 downto 0);
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(31 downto 0)
  );
end entity;

architecture rtl of banks_generate is
  type line_t is array (0 to 1, 0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  rows : for row in 0 to 1 generate
    process (clk)
    begin
      if rising_edge(clk) then
        q(16 * row + 15 downto 16 * row) <= line(row, to_integer(read_at));
      end if;
    end process;
  end generate;
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(row_at), to_integer(write_at)) <= data;
      end if;
    end if;
  end process;
end architecture;
