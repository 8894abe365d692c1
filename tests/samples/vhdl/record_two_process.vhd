-- Two-process style with the array inside the record of all registers.
-- expect: record_two_process.r.words 64x8 banks=1 ports=1w1r clocks=record_two_process.clk read=synchronous
-- expect-not: record_two_process.r_in.words
-- expect-not: record_two_process.comb.v.words
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity record_two_process is
  port (
    clk, we      : in std_logic;
    wr_at, rd_at : in unsigned(5 downto 0);
    d            : in std_logic_vector(7 downto 0);
    q            : out std_logic_vector(7 downto 0)
  );
end entity;

architecture rtl of record_two_process is
  type words_t is array (0 to 63) of std_logic_vector(7 downto 0);
  type registers_t is record
    words : words_t;
    word  : std_logic_vector(7 downto 0);
  end record;
  signal r, r_in : registers_t;
begin
  comb : process (r, we, wr_at, rd_at, d)
    variable v : registers_t;
  begin
    v := r;
    v.word := r.words(to_integer(rd_at));
    if we = '1' then
      v.words(to_integer(wr_at)) := d;
    end if;
    r_in <= v;
    q <= r.word;
  end process;

  process (clk)
  begin
    if rising_edge(clk) then
      r <= r_in;
    end if;
  end process;
end architecture;
