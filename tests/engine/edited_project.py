"""A small project with everything that one file may know of another, and random edits of its texts."""

from __future__ import annotations

import random
import re
from dataclasses import dataclass, field

FILES = {
    "rtl/a_defs.svh": """`define WORD 12
`define RAM(name) logic [`WORD-1:0] name [0:63];
""",
    "rtl/b_unit.sv": """// What every unit sees.
import lines_pkg::*;
parameter int LANES = 4;
""",
    "rtl/c_pkg.sv": """package base_pkg;
  parameter int DEPTH = 128;
  typedef struct packed { logic [7:0] red; logic [7:0] green; } pixel_t;
  function automatic int twice(int x); return 2 * x; endfunction
endpackage
package lines_pkg;
  import base_pkg::*;
  parameter int LINE = twice(DEPTH);
  parameter pixel_t DARK = '{red: 3, green: 5};
  typedef enum logic [1:0] {IDLE, RUN, DONE} phase_t;
endpackage
""",
    "rtl/d_store.sv": """module store #(parameter int WORDS = 64, parameter int WIDTH = 8) (
  input logic clk, we, input logic [9:0] wa, ra, input logic [WIDTH-1:0] d, output logic [WIDTH-1:0] q);
  // @mem in block; read within 1 cycle
  logic [WIDTH-1:0] mem [0:WORDS-1];
  always_ff @(posedge clk) begin
    if (we) mem[wa] <= d;
    q <= mem[ra];
  end
endmodule
module gate (input logic clk, en, output logic gclk);
  assign gclk = clk & en;
endmodule
""",
    "rtl/e_bus.sv": """interface bus_if #(parameter int W = 16) (input logic clk);
  logic [W-1:0] data; logic [7:0] addr; logic we;
  logic [W-1:0] kept [0:255];
  modport master (output data, addr, we, input clk);
  modport slave (input data, addr, we, clk);
endinterface
module taker (bus_if.slave bus, output logic [15:0] q);
  logic [$bits(bus.data)-1:0] table_q [0:LINE-1];
  always_ff @(posedge bus.clk) begin
    if (bus.we) table_q[bus.addr] <= bus.data;
    q <= table_q[bus.addr];
  end
endmodule
""",
    "rtl/f_mid.sv": """`include "a_defs.svh"
module mid import lines_pkg::*; #(parameter int N = 2, parameter logic [15:0] SEED = 0) (
  input logic clk, rst, we, input logic [9:0] a, input logic [15:0] d, output logic [15:0] q);
  // @mem budget block <= 3
  logic gclk;
  gate u_gate (.clk(clk), .en(we), .gclk(gclk));
  for (genvar i = 0; i < N; i++) begin : lane
    // @mem shape 64 x 8; in fabric
    store #(.WORDS(LINE), .WIDTH(8 + i)) u_store (.clk(gclk), .we(we), .wa(a), .ra(a), .d(d[7:0]), .q());
  end
  `RAM(scratch)
  pixel_t shades [0:DEPTH-1];
  always @(posedge clk) begin
    if (we) scratch[a] <= d; else q <= scratch[a];
    if (we) shades[a] <= d;
  end
  assign q[15:8] = shades[a].red;
endmodule
""",
    "rtl/g_rom.sv": """module rom (input logic [7:0] a, output logic [11:0] q);
  localparam logic [11:0] TABLE [0:255] = '{default: 7};
  assign q = TABLE[a];
endmodule
module tree #(parameter int LEVEL = 3) (input logic clk, we, input logic [5:0] a, input logic [3:0] d);
  logic [3:0] mem [0:(8 << LEVEL)-1];
  logic [3:0] q;
  always_ff @(posedge clk) begin if (we) mem[a] <= d; q <= mem[a]; end
  if (LEVEL > 0) tree #(.LEVEL(LEVEL - 1)) below (.clk(clk), .we(we), .a(a), .d(q));
endmodule
""",
    "rtl/h_top.sv": """module top #(parameter int WIDE = 24) (
  input logic clk, rst, we, input logic [9:0] a, input logic [63:0] d, output logic [63:0] q);
  logic fast, slow;
  assign fast = clk;
  bus_if #(.W(16)) bus (.clk(fast));
  assign bus.data = d[15:0]; assign bus.addr = a[7:0]; assign bus.we = we;
  taker u_taker (.bus(bus), .q(q[15:0]));
  mid #(.N(3), .SEED(lines_pkg::DARK)) u_mid (.clk(fast), .rst(rst), .we(we), .a(a), .d(d[15:0]), .q(q[31:16]));
  // @mem on mem: in bulk; accept shallow-wide because "as planned"
  store #(.WORDS(2048), .WIDTH(WIDE)) u_big (.clk(clk), .we(we), .wa(a), .ra(a), .d(d[23:0]), .q());
  store u_pair [1:0] (.clk(clk), .we(we), .wa(a), .ra(a), .d(d[15:0]), .q(q[47:32]));
  rom u_rom (.a(a[7:0]), .q());
  tree #(.LEVEL(2)) u_tree (.clk(slow), .we(we), .a(a[5:0]), .d(d[3:0]));
  vendor_ram #(.D(512), .W(WIDE)) u_ram (.clk(clk));
  counted u_count (.clk(clk), .a(a), .d(d[7:0]), .q());
  always_ff @(posedge clk) bus.kept[a[7:0]] <= d[15:0];
  logic [15:0] seen;
  always_ff @(posedge fast) seen <= bus.kept[a[7:0]] ^ u_mid.lane[0].u_store.mem[a];
  // @mem plan spare; shape 1K x WIDE
  // @mem plan more; shape 1K x 20; clocks clk
endmodule
""",
    "rtl/i_pkg.vhd": """library ieee; use ieee.std_logic_1164.all;
package sizes is
  constant WORDS : natural := 256;
  subtype word is std_logic_vector(11 downto 0);
  type bank is array (natural range <>) of word;
end package;
""",
    "rtl/j_counted.vhd": """library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all; use work.sizes.all;
entity counted is
  generic (DEPTH : natural := WORDS);
  port (clk : in std_logic; a : in std_logic_vector(9 downto 0); d : in std_logic_vector(7 downto 0);
        q : out word);
end entity;
architecture rtl of counted is
  -- @mem in block
  signal bins : bank(0 to DEPTH - 1);
begin
  process (clk) begin
    if rising_edge(clk) then
      bins(to_integer(unsigned(a))) <= "0000" & d;
      q <= bins(to_integer(unsigned(a)));
    end if;
  end process;
end architecture;
""",
    "rtl/k_spare.sv": """// Nobody instantiates it.
module spare (input logic clk, we, input logic [9:0] a, input logic [7:0] d, output logic [7:0] q);
  // @mem in bulk; shape 1K x 9
  logic [7:0] held [0:1023];
  always_ff @(posedge clk) begin if (we) held[a] <= d; q <= held[a]; end
  store u_more (.clk(clk), .we(we), .wa(a), .ra(a), .d(d), .q());
endmodule
""",
}

ONE_FILE = "rtl/m_all.sv"
# Below a unit of the same file, with what tells places: intents on instances, units that are not there,
# what is not read, values that are not known.
MORE = """module leaf #(parameter int D = 32, parameter int W = 8) (
  input logic clk, we, input logic [9:0] a, input logic [W-1:0] d, output logic [W-1:0] q);
  logic [W-1:0] words [0:D-1];
  logic [7:0] seen [0:3];
  always_ff @(posedge clk) begin if (we) words[a] <= d; q <= words[a]; end
endmodule
module branch #(parameter int D = 32) (input logic clk, en, we, input logic [9:0] a, input logic [7:0] d);
  // @mem budget fabric <= 2
  // @mem plan later; shape 1K x 8; clocks clk
  logic gated;
  gate u_gate (.clk(clk), .en(en), .gclk(gated));
  // @mem in block; accept shallow-wide because "small"
  leaf #(.D(D)) u_leaf (.clk(gated), .we(we), .a(a), .d(d), .q());
  // @mem on wrong: in bulk
  leaf #(.D(not_known)) u_other (.clk(clk), .we(we), .a(a), .d(d), .q());
  absent_unit u_absent (.clk(clk), .d(d));
  logic [7:0] hist [0:D-1]; randomize with { hist };
  always_ff @(posedge clk) if (we) hist[a] <= d;
  property p; hist[0]; endproperty
endmodule
module spy (input logic clk, input logic [9:0] a, output logic [7:0] q);
  branch #(.D(96)) u_branch (.clk(clk), .en(a[0]), .we(a[1]), .a(a), .d(8'd0));
  always_ff @(posedge clk) q <= u_branch.hist[a] ^ u_branch.u_leaf.words[a];
endmodule
"""


def in_one_file(pick: random.Random) -> dict[str, str]:
    """The same project with nearly all Verilog units in one file, in any order."""
    apart = ("rtl/a_defs.svh", "rtl/b_unit.sv", "rtl/c_pkg.sv")
    texts = [text for name, text in FILES.items() if name.endswith(".sv") and name not in apart]
    texts.append(MORE)
    pick.shuffle(texts)
    others = {name: text for name, text in FILES.items() if name in apart or not name.endswith(".sv")}
    return {**others, ONE_FILE: "".join(texts)}


_LINES = (
    "  // @mem in bulk", "  // @mem shape 128 x 8; ports 1w 1r", "  // @mem budget block <= 1", "endmodule",
    "  store u_new (.clk(clk), .we(we), .wa(a), .ra(a), .d(d[7:0]), .q());", "`define WORD 20", "`undef WORD",
    "  logic [7:0] extra [0:99]; always_ff @(posedge clk) extra[a] <= d;", "import base_pkg::*;", "begin", "end",
    "module store; endmodule", "  defparam u_big.WORDS = 96;", "package base_pkg; parameter int DEPTH = 3; endpackage",
    "  bus_if more (.clk(clk));", "`ifdef WORD", "`endif", "parameter int LINE = 40;", "  /*", "  */",
    "module vendor_ram #(parameter D = 2) (input logic clk); logic [7:0] m [0:D-1]; endmodule",
    "  // @mem why \"so\"", "  initial mem[0] = 1;", "  assign fast = rst;", "  mid u_again (.clk(clk), .d(d));",
    "  assign u_mid.u_gate.en = 1;",
)  # fmt: skip
_WORD = re.compile(r"[A-Za-z_]\w*")
_NUMBER = re.compile(r"(?<![\w'])\d+")


@dataclass
class EditedProject:
    """The texts of a project by name, in an order that edits may change; `often` is edited more than others."""

    random: random.Random
    texts: dict[str, str]
    original: dict[str, str] = field(default_factory=dict)
    history: list[dict[str, str]] = field(default_factory=list)
    often: str = ""

    def __post_init__(self) -> None:
        self.original = self.original or dict(self.texts)

    def edit(self) -> str:
        """One edit; what was done, for a message."""
        if self.history and self.random.random() < 0.12:
            self.texts = self.history.pop()
            return "undo"
        self.history.append(dict(self.texts))
        del self.history[:-20]
        kinds = ("number", "word", "line out", "line in", "line twice", "move", "blank", "cut", "file", "restore")
        kind = self.random.choices(kinds, (25, 15, 8, 12, 4, 4, 8, 6, 4, 14))[0]
        if kind == "file":
            return self._file()
        if kind == "restore":
            name = self.random.choice(sorted(self.original))
            self.texts[name] = self.original[name]
            return f"restore {name}"
        name = self.random.choice(sorted(self.texts)) if self.texts else ""
        if not name:
            self.texts = dict(self.original)
            return "restore all"
        if self.often in self.texts and self.random.random() < 0.7:
            name = self.often
        self.texts[name] = self._changed(kind, self.texts[name])
        return f"{kind} in {name}"

    def _file(self) -> str:
        name = self.random.choice(sorted(self.texts or self.original))
        text = self.texts.pop(name, self.original.get(name, ""))
        if self.random.random() < 0.5:
            return f"{name} is gone"
        ending = name.rpartition(".")[2]
        other = f"rtl/{self.random.choice('abcdefghijkxyz')}_moved.{ending}"
        self.texts[other] = text
        return f"{name} is {other} now"

    def _changed(self, kind: str, text: str) -> str:
        pick = self.random
        if kind in ("number", "word"):
            found = list((_NUMBER if kind == "number" else _WORD).finditer(text))
            if not found:
                return text
            at = pick.choice(found)
            pool = "".join(self.original.values())
            new = str(pick.choice((0, 1, 2, 3, 8, 9, 64, 100, 4096)))
            if kind == "word":
                new = pick.choice(_WORD.findall(pick.choice((text, pool))))
            return text[: at.start()] + new + text[at.end() :]
        if kind == "cut":
            start = pick.randint(0, len(text))
            return text[:start] + text[start + pick.randint(1, 30) :]
        lines = text.split("\n")
        at = pick.randrange(len(lines))
        match kind:
            case "line out":
                del lines[at]
            case "line in":
                lines.insert(at, pick.choice(_LINES))
            case "line twice":
                lines.insert(at, lines[at])
            case "move":
                lines.insert(pick.randrange(len(lines)), lines.pop(at))
            case _:
                lines.insert(at, pick.choice(("", "  // a remark", " ")))
        return "\n".join(lines)
