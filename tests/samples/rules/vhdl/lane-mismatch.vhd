library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity classifier_weights is
  port (
    clk : in std_logic;
    we : in std_logic_vector(3 downto 0);
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of classifier_weights is
  type weights_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal weights : weights_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      for i in 0 to 3 loop
        if we(i) = '1' then
          weights(to_integer(wa))(10 * i + 9 downto 10 * i) <= d(10 * i + 9 downto 10 * i);
        end if;
      end loop;
      q <= weights(to_integer(ra));
    end if;
  end process;
end architecture;

-- mended

library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity classifier_weights is
  port (
    clk, we : in std_logic;
    wa, ra : in unsigned(12 downto 0);
    d : in std_logic_vector(39 downto 0);
    q : out std_logic_vector(39 downto 0)
  );
end entity;

architecture rtl of classifier_weights is
  type weights_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  -- @mem in bulk
  signal weights : weights_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        weights(to_integer(wa)) <= d;
      end if;
      q <= weights(to_integer(ra));
    end if;
  end process;
end architecture;
