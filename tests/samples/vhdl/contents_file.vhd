-- expect: contents_file.line 64x16 banks=1 ports=1w1r clocks=contents_file.clk read=synchronous
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;
use std.textio.all;

entity contents_file is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(15 downto 0)
  );
end entity;

architecture rtl of contents_file is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);

  impure function loaded(name : string) return line_t is
    file source : text open read_mode is name;
    variable row : std.textio.line;
    variable words : line_t;
  begin
    for word in words'range loop
      exit when endfile(source);
      readline(source, row);
      hread(row, words(word));
    end loop;
    return words;
  end function;
  signal line : line_t := loaded("gains.hex");
begin
  process (clk)
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      q <= line(to_integer(read_at));
    end if;
  end process;
end architecture;
