-- expect: read_variable_reused.line 64x16 banks=1 ports=1w2r clocks=read_variable_reused.clk read=synchronous
-- One variable, two addresses.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_variable_reused is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0);
    q2 : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of read_variable_reused is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
    variable at : natural range 0 to 63;
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      at := to_integer(read_at);
      q <= line(at);
      at := to_integer(not read_at);
      q2 <= line(at);
    end if;
  end process;
end architecture;
