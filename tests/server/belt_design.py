"""A design of three units for what spans files: a top, a store in two sizes, a plan and a budget."""

from __future__ import annotations

from pathlib import Path

TOP = """\
module belt_top (input logic c, r, w, input logic [15:0] a, b, input logic [39:0] d);
    // @mem budget bulk <= 3
    // @mem plan trend; shape 2 * 1024 x 40; in bulk

    line_store #(.WORDS(8192)) u_short (.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q());
    // @mem on words: in bulk; clocks c
    line_store #(.WORDS(16384)) u_long (.cam_clk(c), .proc_clk(c), .we(w), .wa(a), .ra(b), .d(d), .q());
endmodule
"""

STORE = """\
module line_store #(parameter int WORDS = 65536) (
    input  logic        cam_clk, proc_clk, we,
    input  logic [15:0] wa, ra,
    input  logic [39:0] d,
    output logic [39:0] q
);
    // @mem in bulk; clocks cam_clk, proc_clk; read within 1 cycle; accept shallow-wide because "is \N{EAR OF RICE}"
    logic [39:0] words [0:WORDS-1];
    always_ff @(posedge cam_clk) if (we) words[wa] <= d;
    always_ff @(posedge proc_clk) q <= words[ra];
endmodule
"""


def write_design(folder: Path) -> tuple[Path, Path]:
    """Writes it over the sources of a project; the top and the store."""
    for path in (folder / "rtl").iterdir():
        path.unlink()
    top, store = folder / "rtl" / "belt_top.sv", folder / "rtl" / "line_store.sv"
    top.write_text(TOP)
    store.write_text(STORE)
    return top, store
