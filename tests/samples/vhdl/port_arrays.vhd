-- Arrays through ports: the memory is where its words are kept, its accesses are where they stand.
-- expect: port_arrays.loader.kept 64x8 banks=1 ports=1w1r clocks=port_arrays.clk read=synchronous
-- expect-not: port_arrays.words
-- expect-not: port_arrays.viewer.words
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

package port_arrays_types is
  type words_t is array (natural range <>) of std_logic_vector(7 downto 0);
end package;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.port_arrays_types.all;

entity port_arrays_viewer is
  port (
    clk   : in std_logic;
    at    : in unsigned(5 downto 0);
    words : in words_t(0 to 63);
    q     : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of port_arrays_viewer is
begin
  process (clk)
  begin
    if rising_edge(clk) then
      q <= words(to_integer(at));
    end if;
  end process;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.port_arrays_types.all;

entity port_arrays_loader is
  port (
    clk, we : in std_logic;
    at      : in unsigned(5 downto 0);
    d       : in std_logic_vector(7 downto 0);
    words   : out words_t(0 to 63)
  );
end entity;

architecture rtl of port_arrays_loader is
  signal kept : words_t(0 to 63);
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        kept(to_integer(at)) <= d;
      end if;
    end if;
  end process;

  words <= kept;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use work.port_arrays_types.all;

entity port_arrays is
  port (
    clk, we      : in std_logic;
    wr_at, rd_at : in unsigned(5 downto 0);
    d            : in std_logic_vector(7 downto 0);
    q            : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of port_arrays is
  signal words : words_t(0 to 63);
begin
  loader : entity work.port_arrays_loader port map (clk, we, wr_at, d, words);
  viewer : entity work.port_arrays_viewer port map (clk, rd_at, words, q);
end architecture;
