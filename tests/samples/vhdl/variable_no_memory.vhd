-- expect-not: variable_no_memory.vote.hits
-- A variable of a combinational process holds nothing from one run to the next.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity variable_no_memory is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(1 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of variable_no_memory is
  type hits_t is array (0 to 3) of std_logic_vector(15 downto 0);
begin
  vote : process (all)
    variable hits : hits_t;
  begin
    hits := (others => (others => '0'));
    hits(to_integer(read_at)) := data;
    q <= hits(to_integer(write_at));
  end process;
end architecture;
