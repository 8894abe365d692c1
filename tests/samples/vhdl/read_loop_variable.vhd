-- expect: read_loop_variable.line 64x16 banks=1 ports=1w2r clocks=read_loop_variable.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_loop_variable is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at : in unsigned(5 downto 0);
    read_at : in unsigned(11 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(31 downto 0)
  );
end entity;

architecture rtl of read_loop_variable is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (clk)
    variable at : unsigned(5 downto 0);
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      for eye in 0 to 1 loop
        at := read_at(6 * eye + 5 downto 6 * eye);
        q(16 * eye + 15 downto 16 * eye) <= line(to_integer(at));
      end loop;
    end if;
  end process;
end architecture;
