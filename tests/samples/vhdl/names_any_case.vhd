-- expect: names_any_case.line 64x16 banks=1 ports=1w1r clocks=names_any_case.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity names_any_case is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of names_any_case is
  TYPE Line_T IS ARRAY (0 TO 63) OF STD_LOGIC_VECTOR(15 DOWNTO 0);
  SIGNAL Line : LINE_T;
begin
  process (Clk)
  begin
    if RISING_EDGE(CLK) then
      if we = '1' then
        LINE(to_integer(Write_At)) <= data;
      end if;
      q <= LINE(to_integer(read_at));
    end if;
  end process;
end architecture;
