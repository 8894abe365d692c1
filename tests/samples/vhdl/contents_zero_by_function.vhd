-- expect: contents_zero_by_function.line 64x16 banks=1 ports=1w1r clocks=contents_zero_by_function.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity contents_zero_by_function is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of contents_zero_by_function is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  function empty return line_t is
    variable words : line_t;
  begin
    for word in words'range loop
      words(word) := (others => '0');
    end loop;
    return words;
  end function;
  signal line : line_t := empty;
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
