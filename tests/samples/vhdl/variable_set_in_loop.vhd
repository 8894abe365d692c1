-- expect-not: variable_set_in_loop.vote.hits
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity variable_set_in_loop is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(1 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of variable_set_in_loop is
  type hits_t is array (0 to 3) of std_logic_vector(1 downto 0);
begin
  vote : process (all)
    variable hits : hits_t;
  begin
    for eye in 0 to 3 loop
      if data(eye) = '1' then
        hits(eye) := std_logic_vector(to_unsigned(eye, 2));
      end if;
    end loop;
    q <= data;
    q(1 downto 0) <= hits(to_integer(read_at));
  end process;
end architecture;
