-- expect: read_two_process.line 64x16 banks=1 ports=1w1r clocks=read_two_process.clk read=synchronous
-- The word ends in the register `r`, by way of a variable and a signal of the same record.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_two_process is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of read_two_process is
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
    v.count := r.count + 1;
    v.word := line(to_integer(read_at));
    r_in <= v;
  end process;
  q <= r.word;
end architecture;
