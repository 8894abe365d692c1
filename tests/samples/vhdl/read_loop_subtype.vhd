-- expect: read_loop_subtype.line 64x16 banks=1 ports=1w3r clocks=read_loop_subtype.clk read=synchronous
-- The address is made up part by part, anew in each of three rounds.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity read_loop_subtype is
  port (
    clk : in std_logic;
    we : in std_logic;
    write_at, read_at : in unsigned(5 downto 0);
    data : in std_logic_vector(15 downto 0);
    q : out std_logic_vector(47 downto 0)
  );
end entity;

architecture rtl of read_loop_subtype is
  type line_t is array (0 to 63) of std_logic_vector(15 downto 0);
  signal line : line_t;
  subtype eye_t is natural range 0 to 2;
  type places_t is array (eye_t) of unsigned(5 downto 0);
  signal places : places_t;
begin
  places <= (read_at, not read_at, read_at xor write_at);

  process (clk)
    variable at : unsigned(5 downto 0);
  begin
    if rising_edge(clk) then
      if we = '1' then
        line(to_integer(write_at)) <= data;
      end if;
      for eye in eye_t loop
        at(5 downto 3) := places(eye)(2 downto 0);
        if we = '1' then
          at(2 downto 0) := places(eye)(5 downto 3);
        else
          at(2 downto 0) := "000";
        end if;
        q(16 * eye + 15 downto 16 * eye) <= line(to_integer(at));
      end loop;
    end if;
  end process;
end architecture;
