library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity reject_counts is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(8 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of reject_counts is
  type counts_t is array (0 to 511) of std_logic_vector(39 downto 0);
  signal counts : counts_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        counts(to_integer(wa)) <= d;
      end if;
      q <= counts(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity reject_counts is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(8 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of reject_counts is
  type counts_t is array (0 to 511) of std_logic_vector(39 downto 0);
  -- @mem in block; shape 512 x 40; ports 1w 1r; one clock
  signal counts : counts_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        counts(to_integer(wa)) <= d;
      end if;
      q <= counts(to_integer(ra));
    end if;
  end process;
end architecture;
