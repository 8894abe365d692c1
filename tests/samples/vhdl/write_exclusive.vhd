-- expect: write_exclusive.line 64x16 banks=1 ports=1w1r clocks=write_exclusive.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity write_exclusive is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0);
    mode : in std_logic_vector(1 downto 0)
  );
end entity;

architecture rtl of write_exclusive is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      case mode is
        when "01" => line(to_integer(write_at)) <= data;
        when "10" => line(to_integer(not write_at)) <= data;
        when others => null;
      end case;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
