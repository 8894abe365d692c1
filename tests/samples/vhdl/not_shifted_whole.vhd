-- expect-not: not_shifted_whole.stages
-- Every word moves at every edge: registers with a multiplexer, never written word by word.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity not_shifted_whole is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(3 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of not_shifted_whole is
  type stages_t is array (0 to 15) of std_logic_vector(15 downto 0);
  signal stages : stages_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      stages <= data & stages(0 to 14);
      q <= stages(to_integer(read_at));
    end if;
  end process;
end architecture;
