-- expect-not: not_pipeline.stages
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity not_pipeline is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of not_pipeline is
  type stages_t is array (0 to 3) of std_logic_vector(15 downto 0);
  signal stages : stages_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      stages(0) <= data;
      for stage in 1 to 3 loop
        stages(stage) <= stages(stage - 1);
      end loop;
      q <= stages(3);
    end if;
  end process;
end architecture;
