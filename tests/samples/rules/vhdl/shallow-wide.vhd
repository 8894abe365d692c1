library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_sums is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(6 downto 0);
    d : in std_logic_vector(479 downto 0);
    q : out std_logic_vector(479 downto 0)
  );
end entity;

architecture rtl of line_sums is
  type sums_t is array (0 to 127) of std_logic_vector(479 downto 0);
  -- @mem in bulk
  signal sums : sums_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        sums(to_integer(wa)) <= d;
      end if;
      q <= sums(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_sums is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of line_sums is
  type sums_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal sums : sums_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        sums(to_integer(wa)) <= d;
      end if;
      q <= sums(to_integer(ra));
    end if;
  end process;
end architecture;
