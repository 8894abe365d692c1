-- Reject statistics: a package with generics, an instance of it, and a context that names them.
package statistics is
  generic (type count_t; BINS : positive := 64; function zero return count_t);
  type histogram is array (0 to BINS - 1) of count_t;
end package statistics;

library work;
use work.sorter_types.all;
package grain_statistics is new work.statistics
  generic map (count_t => natural, BINS => 4 * VALVES, zero => nought);

context sorter is
  library ieee;
  use ieee.std_logic_1164.all;
end context sorter;

-- synthesis translate_off
entity only_in_simulation is
end entity;
-- synthesis translate_on

context work.sorter;
use work.grain_statistics.all;
entity rejects is
  port (clk : in std_logic; bin : in natural; total : out natural);
begin
  assert bin < 256;
end entity rejects;

architecture rtl of rejects is
  -- @mem budget block <= 2
  -- @mem shape 256 x 32
  signal rejected : histogram := (others => 0);
  signal step : natural range 0 to 3;
begin
  clocked : process (clk)
    procedure add(position : natural) is
    begin
      rejected(position) <= rejected(position) + 1;
    end procedure add;
  begin
    if rising_edge(clk) then
      stepping : case? step is
        when 0 to 1 => step <= step + 1 when bin > 0 else 0;
        when 2 => step <= 3;
        when others => add(position => bin);
      end case? stepping;
      draining : while step > 3 loop
        exit draining when step = 4;
      end loop;
    end if;
  end process clocked;
  total <= rejected(bin mod 256);
end architecture rtl;
