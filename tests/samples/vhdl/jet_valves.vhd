-- The air-jet valves fire a fixed time after the camera has seen a grain: one delay line a valve.
library ieee, work;
use ieee.std_logic_1164.all;

entity telemetry is
  generic (DEPTH, WIDTH : positive := 8);
  port (clk : in std_logic; data : out std_logic_vector(WIDTH - 1 downto 0); ready : out std_logic);
end entity;

architecture fast of telemetry is
begin
end architecture;

library ieee, work;
use ieee.std_logic_1164.all, ieee.numeric_std.all;
use work.sorter_types.all;

entity jet_valves is
  port (clk, rst : in std_logic; fire : in std_logic_vector(VALVES - 1 downto 0);
        jets : out std_logic_vector(VALVES - 1 downto 0));
end jet_valves;

architecture structure of jet_valves is
  type tap_t is array (0 to 1023) of std_logic;
  type taps_t is array (natural range <>) of tap_t;
  shared variable taps : taps_t(0 to VALVES - 1);
  signal address, last : unsigned(9 downto 0) := (others => '0');
  type timers_t is protected
    impure function now_us return natural;
  end protected timers_t;
  type timers_t is protected body
    variable us : natural := 0;
    impure function now_us return natural is
    begin
      if us > 10 then
        us := 0;
      end if;
      return us;
    end function;
  end protected body timers_t;
  for all : delay_line use open;
begin
  address <= (others => '0') when rst = '1' else address + 1 when rising_edge(clk);

  per_valve : for v in fire'range generate
    signal tapped, echo : std_logic_vector(7 downto 0);
  begin
    process (clk) is
    begin
      if rising_edge(clk) then
        jets(v) <= taps(v)(to_integer(address));
        taps(v)(to_integer(address)) := fire(v);
      end if;
    end process;

    -- @mem on store: in fabric; why "short, and one a valve"
    fine : delay_line
      generic map (STEPS => 8)
      port map (clk => clk, d(7 downto 1) => "0000000", d(0) => fire(v), q => tapped);

    spare : block is
      signal unused : std_logic;
    begin
      unused <= tapped(0) nand tapped(1);
    end block spare;

    last_valve : case v generate
      when 0 | VALVES - 1 => ends : component delay_line port map (clk, tapped, echo);
      when others =>
    end generate;
  end generate per_valve;

  assert VALVES > 1 report "one valve is too few" severity failure;
  telemetry : entity work.telemetry(fast) generic map (16, WIDTH => 10)
    port map (clk => clk, unsigned(data) => last, ready => open);
end architecture structure;

configuration with_fine_delay of jet_valves is
  for structure
    for per_valve
      for all : delay_line use open; end for;
    end for;
  end for;
end configuration with_fine_delay;
