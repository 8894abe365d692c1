library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity background_store is
  port (
    clk, we_a, we_b : in std_logic;
    aa, ab : in unsigned(12 downto 0);
    da, db : in std_logic_vector(32 downto 0);
    qa, qb : out std_logic_vector(32 downto 0)
  );
end entity;

architecture rtl of background_store is
  type rows_t is array (0 to 8191) of std_logic_vector(32 downto 0);
  -- @mem in bulk; ecc; same address never
  shared variable rows : rows_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      qa <= rows(to_integer(aa));
      if we_a = '1' then
        rows(to_integer(aa)) := da;
      end if;
    end if;
  end process;
  process (clk)
  begin
    if rising_edge(clk) then
      qb <= rows(to_integer(ab));
      if we_b = '1' then
        rows(to_integer(ab)) := db;
      end if;
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity background_store is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(32 downto 0);
    q : out std_logic_vector(32 downto 0)
  );
end entity;

architecture rtl of background_store is
  type rows_t is array (0 to 8191) of std_logic_vector(32 downto 0);
  -- @mem in bulk; ecc
  signal rows : rows_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        rows(to_integer(wa)) <= d;
      end if;
      q <= rows(to_integer(ra));
    end if;
  end process;
end architecture;
