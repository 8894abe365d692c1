library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity reject_counts is
  port (
    clk, we_a, we_b, we_c : in std_logic;
    wa, wb, wc, ra : in unsigned(9 downto 0);
    da, db, dc : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of reject_counts is
  type counts_t is array (0 to 1023) of std_logic_vector(39 downto 0);
  -- @mem in block
  signal counts : counts_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we_a = '1' then
        counts(to_integer(wa)) <= da;
      end if;
      if we_b = '1' then
        counts(to_integer(wb)) <= db;
      end if;
      if we_c = '1' then
        counts(to_integer(wc)) <= dc;
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
    clk, we_a, we_b, we_c : in std_logic;
    wa, wb, wc, ra : in unsigned(9 downto 0);
    da, db, dc : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of reject_counts is
  type counts_t is array (0 to 1023) of std_logic_vector(39 downto 0);
  -- @mem in block
  signal counts : counts_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we_a = '1' then
        counts(to_integer(wa)) <= da;
      elsif we_b = '1' then
        counts(to_integer(wb)) <= db;
      elsif we_c = '1' then
        counts(to_integer(wc)) <= dc;
      end if;
      q <= counts(to_integer(ra));
    end if;
  end process;
end architecture;
