-- expect: instance_record_ports.store.line 64x16 banks=1 ports=1rw clocks=instance_record_ports.clk read=synchronous
-- The clock goes in through a field of a record.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

package bundles is
  type timing_t is record
    clk, reset : std_logic;
  end record;
  type request_t is record
    we : std_logic;
    at : unsigned(5 downto 0);
    data : std_logic_vector(15 downto 0);
  end record;
end package;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.bundles.all;

entity bundled_ram is
  port (
    timing : in timing_t;
    request : in request_t;
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of bundled_ram is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
begin
  process (timing.clk)
  begin
    if rising_edge(timing.clk) then
      if request.we = '1' then
        line(to_integer(request.at)) <= request.data;
      end if;
      q <= line(to_integer(request.at));
    end if;
  end process;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.bundles.all;

entity instance_record_ports is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of instance_record_ports is
  signal timing : timing_t;
  signal request : request_t;
begin
  timing.clk <= clk;
  timing.reset <= '0';
  request <= (we, write_at, data);
  store : entity work.bundled_ram port map (timing => timing, request => request, q => q);
end architecture;
