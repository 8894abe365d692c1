-- expect: read_variable_address.line 64x16 banks=1 ports=1rw clocks=read_variable_address.clk read=synchronous
-- The variable is another name of the port's address.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_variable_address is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of read_variable_address is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
    variable at : natural range 0 to 63;
  begin
    if rising_edge(clk) then
      at := to_integer(write_at);
      if we = '1' then
        line(at) <= data;
      end if;
      q <= line(to_integer(write_at));
    end if;
  end process;
end architecture;
