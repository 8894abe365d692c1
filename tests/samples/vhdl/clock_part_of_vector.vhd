-- Clocks that are parts of vectors, through port maps with ranges on either side.
-- expect: clock_part_of_vector.whole.words 64x8 banks=1 ports=1w1r clocks=clock_part_of_vector.clks[4],clock_part_of_vector.clks[5] read=synchronous
-- expect: clock_part_of_vector.parts.words 64x8 banks=1 ports=1w1r clocks=clock_part_of_vector.clks[3],clock_part_of_vector.other read=synchronous
-- expect: clock_part_of_vector.ranges.words 64x8 banks=1 ports=1w1r clocks=clock_part_of_vector.clks[6],clock_part_of_vector.clks[7] read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_part_store is
  port (
    clks         : in std_logic_vector(1 downto 0);
    we           : in std_logic;
    wr_at, rd_at : in unsigned(5 downto 0);
    d            : in std_logic_vector(7 downto 0);
    q            : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of clock_part_store is
  type words_t is array (0 to 63) of std_logic_vector(7 downto 0);
  signal words : words_t;
begin
  process (clks(0))
  begin
    if rising_edge(clks(0)) then
      if we = '1' then
        words(to_integer(wr_at)) <= d;
      end if;
    end if;
  end process;

  process (clks(1))
  begin
    if rising_edge(clks(1)) then
      q <= words(to_integer(rd_at));
    end if;
  end process;
end architecture;

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity clock_part_of_vector is
  port (
    clks         : in std_logic_vector(7 downto 0);
    other, we    : in std_logic;
    wr_at, rd_at : in unsigned(5 downto 0);
    d            : in std_logic_vector(7 downto 0);
    q, r, s      : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of clock_part_of_vector is
begin
  whole : entity work.clock_part_store
    port map (clks => clks(5 downto 4), we => we, wr_at => wr_at, rd_at => rd_at, d => d, q => q);
  parts : entity work.clock_part_store
    port map (
      clks(0) => other, clks(1) => clks(3), we => we, wr_at => wr_at, rd_at => rd_at, d => d, q => r
    );
  ranges : entity work.clock_part_store
    port map (
      clks(1 downto 0) => clks(7 downto 6), we => we, wr_at => wr_at, rd_at => rd_at, d => d, q => s
    );
end architecture;
