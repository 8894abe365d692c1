-- expect: read_two_process_logic.line 64x16 banks=1 ports=1w1r clocks=read_two_process_logic.clk read=asynchronous
-- The same word also goes through an adder.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_two_process_logic is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of read_two_process_logic is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;

  type state_t is record
    word : std_logic_vector(15 downto 0);
    count : unsigned(7 downto 0);
  end record;
  signal r, r_in : state_t;
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      r <= r_in;
    end if;
  end process;
  process (all)
    variable v : state_t;
  begin
    v := r;
    v.word := line(to_integer(read_at));
    v.count := unsigned(v.word(7 downto 0)) + 1;
    r_in <= v;
  end process;
  q <= r.word;
end architecture;
