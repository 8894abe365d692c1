-- One line of a line-scan camera, written at the camera's pixel clock and read by the sorter.
library ieee;
use ieee.std_logic_1164.all;
use ieee.numeric_std.all;

entity line_buffer is
  generic (
    PIXELS     : positive := 3840;
    PIXEL_BITS : positive := 30);
  port (
    pixel_clk : in  std_logic;
    pixel_we  : in  std_logic;
    pixel_x   : in  natural range 0 to PIXELS - 1;
    pixel     : in  std_logic_vector(PIXEL_BITS - 1 downto 0);
    sort_clk  : in  std_logic;
    sort_x    : in  natural range 0 to PIXELS - 1;
    sorted    : out std_logic_vector(PIXEL_BITS - 1 downto 0));
end entity line_buffer;

architecture rtl of line_buffer is
  type line_t is array (0 to PIXELS - 1) of std_logic_vector(PIXEL_BITS - 1 downto 0);
  -- @mem in block; clocks pixel_clk, sort_clk; ports 1w 1r
  signal line : line_t;
  attribute ram_block : string;
  attribute ram_block of line : signal is "yes";
begin
  write_pixel : process (pixel_clk)
  begin
    if rising_edge(pixel_clk) then
      if pixel_we = '1' then
        line(pixel_x) <= pixel;
      end if;
    end if;
  end process write_pixel;

  read_pixel : process (sort_clk)
  begin
    if sort_clk'event and sort_clk = '1' then
      sorted <= line(sort_x);
    end if;
  end process;
end architecture rtl;
