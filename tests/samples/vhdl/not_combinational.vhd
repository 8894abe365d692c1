-- expect-not: not_combinational.sums
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity not_combinational is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(1 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of not_combinational is
  type sums_t is array (0 to 3) of unsigned(15 downto 0);
  signal sums : sums_t;
begin
  process (all)
  begin
    sums <= (others => (others => '0'));
    sums(to_integer(write_at)) <= unsigned(data);
  end process;
  q <= std_logic_vector(sums(to_integer(read_at)));
end architecture;
