library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity delay_bank is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(16 downto 0);
    d : in std_logic_vector(279 downto 0);
    q : out std_logic_vector(279 downto 0)
  );
end entity;

architecture rtl of delay_bank is
begin
  each : for i in 0 to 6 generate
    type line_t is array (0 to 73727) of std_logic_vector(39 downto 0);
    -- @mem in bulk
    signal line : line_t;
  begin
    process (clk)
    begin
      if rising_edge(clk) then
        if we = '1' then
          line(to_integer(wa)) <= d(40 * i + 39 downto 40 * i);
        end if;
        q(40 * i + 39 downto 40 * i) <= line(to_integer(ra));
      end if;
    end process;
  end generate;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity delay_bank is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(15 downto 0);
    d : in std_logic_vector(279 downto 0);
    q : out std_logic_vector(279 downto 0)
  );
end entity;

architecture rtl of delay_bank is
begin
  each : for i in 0 to 6 generate
    type line_t is array (0 to 65535) of std_logic_vector(39 downto 0);
    -- @mem in bulk
    signal line : line_t;
  begin
    process (clk)
    begin
      if rising_edge(clk) then
        if we = '1' then
          line(to_integer(wa)) <= d(40 * i + 39 downto 40 * i);
        end if;
        q(40 * i + 39 downto 40 * i) <= line(to_integer(ra));
      end if;
    end process;
  end generate;
end architecture;
