"""Mistakes planted one at a time in annotated copies of open-source cores.

The copies exist in memory only: texts of the packages with an intent beside the array. Each is silent
first; then one edit, of the kind that slips into a project, must be found by the rule that is about it.
Every edit names the line it replaces, and fails if the package does not have that line exactly once.
What the demo device takes (sorter-m.toml): a bulk block is 8192 x 40, on one clock, with enables for ten
bits; a block of the tier `block` is 24 Kibit.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from test_noise import project

from memlint.engine import Engine
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Severity

Edit = tuple[str, str, str]
"""A file's name, the text to replace, what takes its place."""

RAM = "   reg [31:0] \t\tmem [0:depth/4-1]"
RAM_INTENT = (
    "   //@mem in bulk; shape 8K x 32; ports 1rw; one clock; read within 1 cycles; write lanes 8\n"
    '   //@mem holds 32 KiB; why "program and data"\n'
)
RF = "   reg [width-1:0] \t\t   memory [0:depth-1];"
RF_INTENT = "   //@mem in block; shape 576 x 2; ports 1w 1r; clocks i_clk; same address before\n"
CACHE = "reg [31:0] banks_0 [0:1023];"
CACHE_INTENT = "\n  // @mem in block; shape 1K x 32; ports 1w 1r; one clock\n"
REGFILE = "reg [31:0] RegFilePlugin_regFile [0:31]"
REGFILE_INTENT = "\n  // @mem in fabric; shape 32 x 32; ports 1w 2r; read within 1 cycles\n"
STORE = "   mor1kx_store_buffer\n     #(\n       .DEPTH_WIDTH(OPTION_STORE_BUFFER_DEPTH_WIDTH),"
STORE_INTENT = "   // @mem on fifo_ram.mem: in block; fifo; shape 256 x 101; ports 1w 1r\n"
DPRAM = "   reg [DATA_WIDTH-1:0]     mem[(1<<ADDR_WIDTH)-1:0];"
BTC = "        signal btc_memory : btc_mem_type;"
BTC_INTENT = "        -- @mem in block; shape 1K x 116; ports 1w 1r; one clock; read within 1 cycles\n"
GPR = "    signal registers : regfile := (others => (others => '0'));"
ACCEPT = 'accept shallow-wide because "three copies of a small file, next to the units that read it"'
GPR_INTENT = f"    -- @mem in block; shape 64 x 64; ports 1w 3r; {ACCEPT}\n"
TLB_INTENT = (
    "   // @mem in block; clocks clk_a, clk_b; ports 2rw; same address any\n"
    '   // @mem accept shallow-wide because "two full ports, which fabric does not have"\n'
)

ANNOTATED: dict[str, tuple[Edit, ...]] = {
    "serv": (
        # A controller with 32 KiB of memory that is loaded by a bus, not at power-up.
        ("servant.v", 'parameter memfile = "zephyr_hello.hex";', 'parameter memfile = "";'),
        ("servant.v", "parameter memsize = 8192;", "parameter memsize = 32768;"),
        ("servant.v", "   wire \ttimer_irq;", "   //@mem budget bulk <= 2, block <= 1\n   wire \ttimer_irq;"),
        ("servant_ram.v", RAM, RAM_INTENT + RAM),
        ("serv_rf_ram.v", RF, RF_INTENT + RF),
    ),
    "vexriscv": (
        ("VexRiscv_LinuxDebug.v", CACHE, CACHE_INTENT + CACHE),
        ("VexRiscv_LinuxDebug.v", REGFILE, REGFILE_INTENT + REGFILE),
    ),
    "mor1kx": (
        ("mor1kx_lsu_cappuccino.v", STORE, STORE_INTENT + STORE),
        ("mor1kx_true_dpram_sclk.v", DPRAM, TLB_INTENT + DPRAM),
    ),
    "microwatt": (
        ("fetch1.vhdl", BTC, BTC_INTENT + BTC),
        ("register_file.vhdl", GPR, GPR_INTENT + GPR),
    ),
    "picosoc": (
        ("picosoc.v", "\treg [31:0] mem [0:WORDS-1];", "\t// @mem in block\n\treg [31:0] mem [0:WORDS-1];"),
        (
            "picorv32.v",
            "\treg [31:0] cpuregs [0:regfile_size-1];",
            "\t// @mem in fabric; shape 32 x 32; ports 1w 2r; read within 0 cycles\n"
            "\treg [31:0] cpuregs [0:regfile_size-1];",
        ),
    ),
}


@dataclass(frozen=True)
class Mistake:
    """What was done, to which core, and the rule that has to say so at `least` that severity."""

    what: str
    core: str
    rule: str
    edits: tuple[Edit, ...]
    least: Severity = Severity.WARNING


def memsize(size: int) -> Edit:
    return ("servant.v", "parameter memsize = 32768;", f"parameter memsize = {size};")


SERV_READ = "      o_wb_rdt <= mem[addr];\n   end\n"
VEX = "VexRiscv_LinuxDebug.v"
VEX_READ = "      _zz_banks_0_port1 <= banks_0[_zz_fetchStage_read_banksValue_0_dataMem];"

MISTAKES = (
    Mistake(
        "the read moves to a second clock, in a tier with one",
        "serv",
        "two-clocks-on-one-clock-tier",
        (
            ("servant_ram.v", SERV_READ, "   end\n   always @(posedge i_rd_clk) o_wb_rdt <= mem[addr];\n"),
            (
                "servant_ram.v",
                "   (input wire \t\ti_wb_clk,",
                "   (input wire i_rd_clk,\n    input wire i_wb_clk,",
            ),
            (
                "servant.v",
                "      .i_wb_clk (wb_clk),\n      .i_wb_rst (wb_rst),\n      .i_wb_adr (wb_mem_adr[",
                "      .i_wb_clk (wb_clk), .i_rd_clk (fast_clk),\n      .i_wb_rst (wb_rst),\n"
                "      .i_wb_adr (wb_mem_adr[",
            ),
            ("servant.v", " input wire  wb_clk,", " input wire  wb_clk, fast_clk,"),
        ),
    ),
    Mistake(
        "one word too many",
        "serv",
        "shape-drift",
        (("servant_ram.v", "mem [0:depth/4-1]", "mem [0:depth/4]"),),
    ),
    Mistake(
        "one word too many, and nobody stated the shape",
        "serv",
        "just-over-boundary",
        (
            ("servant_ram.v", "mem [0:depth/4-1]", "mem [0:depth/4]"),
            ("servant_ram.v", "in bulk; shape 8K x 32;", "in bulk;"),
        ),
    ),
    Mistake(
        "the read loses its register",
        "serv",
        "asynchronous-read",
        (("servant_ram.v", SERV_READ, "   end\n   always @(*) o_wb_rdt = mem[addr] ^ {32{i_wb_rst}};\n"),),
    ),
    Mistake(
        "a reset over the array",
        "serv",
        "reset-clears-array",
        (
            (
                "serv_rf_ram.v",
                "      if (i_wen)\n",
                "      if (i_rst) for (i=0;i<depth;i=i+1) memory[i] <= 0; else if (i_wen)\n",
            ),
            ("serv_rf_ram.v", "   (input wire i_clk,", "   (input wire i_rst, input wire i_clk,"),
            ("serv_rf_ram.v", "   reg regzero;", "   reg regzero;\n   integer i;"),
        ),
    ),
    Mistake(
        "a program file, in a tier that comes up with anything",
        "serv",
        "no-initial-contents",
        (("servant.v", 'parameter memfile = "";', 'parameter memfile = "zephyr_hello.hex";'),),
    ),
    Mistake("the memory outgrows its unit's budget", "serv", "unit-over-budget", (memsize(131072),)),
    Mistake("half the memory is enough for today's program", "serv", "holds-too-little", (memsize(16384),)),
    Mistake("more memory than the device has", "serv", "device-over-budget", (memsize(4194304),)),
    Mistake("a chain longer than a column", "serv", "chain-over-column", (memsize(1048576),)),
    Mistake("a chain that needs registers of its own", "serv", "chain-misses-latency", (memsize(262144),)),
    Mistake(
        "a tier of another device",
        "serv",
        "unknown-tier",
        (("servant_ram.v", "//@mem in bulk;", "//@mem in big;"),),
    ),
    Mistake(
        "a misspelt clause",
        "serv",
        "intent-syntax",
        (("serv_rf_ram.v", "shape 576 x 2;", "shpae 576 x 2;"),),
    ),
    Mistake(
        "code inserted between an intent and its array",
        "serv",
        "intent-unattached",
        (("serv_rf_ram.v", RF, "   wire unused = i_wen;\n" + RF),),
    ),
    Mistake(
        "lanes of twelve bits on enables for ten",
        "serv",
        "lane-mismatch",
        (
            ("servant_ram.v", "mem[addr][7:0]   <= i_wb_dat[7:0];", "mem[addr][11:0] <= i_wb_dat[11:0];"),
            ("servant_ram.v", "mem[addr][15:8]  <= i_wb_dat[15:8];", "mem[addr][23:12] <= i_wb_dat[23:12];"),
            ("servant_ram.v", "      if (we[2]) mem[addr][23:16] <= i_wb_dat[23:16];\n", ""),
            ("servant_ram.v", "; write lanes 8\n", "\n"),
        ),
    ),
    Mistake(
        "ECC, where bytes are written one by one through one port",
        "serv",
        "ecc-does-not-fit",
        (("servant_ram.v", "//@mem in bulk;", "//@mem in bulk; ecc;"),),
    ),
    Mistake(
        "a third read with an address of its own",
        "vexriscv",
        "port-drift",
        (
            (VEX, VEX_READ, VEX_READ + "\n      spy <= banks_0[lineLoader_write_tag_0_payload_address];"),
            (VEX, CACHE, CACHE + "\n  reg [31:0] spy;"),
        ),
    ),
    Mistake(
        "an attribute that asks for logic",
        "vexriscv",
        "attribute-disagrees",
        ((VEX, CACHE, "(* logic_block *) " + CACHE),),
    ),
    Mistake(
        "a clause pasted twice",
        "vexriscv",
        "intent-repeats-clause",
        ((VEX, CACHE_INTENT, CACHE_INTENT + "  // @mem in block\n"),),
    ),
    Mistake(
        "the finding is gone, its acceptance stays",
        "microwatt",
        "acceptance-unused",
        (("register_file.vhdl", "@mem in block;", "@mem in fabric;"),),
    ),
    Mistake(
        "the second port moves to another clock two levels up",
        "mor1kx",
        "clock-drift",
        (
            ("mor1kx_true_dpram_sclk.v", "clocks clk_a, clk_b;", "one clock;"),
            (
                "mor1kx_dmmu.v",
                "       .clk_b  (clk),\n       .addr_b (dtlb_match_huge_addr),",
                "       .clk_b  (spr_bus_stb_i),\n       .addr_b (dtlb_match_huge_addr),",
            ),
        ),
    ),
    Mistake(
        "a port is renamed and the intent keeps its old name",
        "mor1kx",
        "clock-drift",
        (("mor1kx_true_dpram_sclk.v", "clocks clk_a, clk_b;", "clocks clka, clk_b;"),),
    ),
    Mistake(
        "two write ports more",
        "mor1kx",
        "too-many-ports",
        (
            (
                "mor1kx_true_dpram_sclk.v",
                "   assign dout_b = rdata_b;",
                "   assign dout_b = rdata_b;\n   always @(posedge clk_a) begin\n"
                "      if (din_a[0]) mem[din_b[ADDR_WIDTH-1:0]] <= din_a;\n"
                "      if (din_a[1]) mem[din_a[ADDR_WIDTH-1:0]] <= din_b;\n   end",
            ),
        ),
    ),
    Mistake(
        "a FIFO on a tier without FIFO logic",
        "mor1kx",
        "fifo-not-hardened",
        (("mor1kx_lsu_cappuccino.v", "in block; fifo;", "in fabric; fifo;"),),
        Severity.NOTE,
    ),
    Mistake(
        "a parameter doubles a table",
        "microwatt",
        "shape-drift",
        (
            (
                "fetch1.vhdl",
                "constant BTC_ADDR_BITS : integer := 10;",
                "constant BTC_ADDR_BITS : integer := 11;",
            ),
        ),
    ),
    Mistake(
        "a fourth reader",
        "microwatt",
        "port-drift",
        (
            (
                "register_file.vhdl",
                "            prev_write_data <= w_in.write_data;",
                "            prev_write_data <= registers(to_integer(unsigned(dbg_gpr_addr(5 downto 0))));",
            ),
        ),
    ),
    Mistake(
        "a reset over a VHDL array",
        "microwatt",
        "reset-clears-array",
        (
            (
                "fetch1.vhdl",
                "                if btc_wr = '1' then\n\t\t    assert not is_X(btc_wr_addr) report "
                '"Writing to unknown address" severity FAILURE;\n                    btc_memory(',
                "                if rst = '1' then\n"
                "                    btc_memory <= (others => (others => '0'));\n"
                "                elsif btc_wr = '1' then\n                    btc_memory(",
            ),
        ),
    ),
    Mistake(
        "a short table planned for the big blocks",
        "microwatt",
        "shallow-wide",
        (("fetch1.vhdl", "@mem in block;", "@mem in bulk;"),),
    ),
    Mistake(
        "an asynchronous read planned for block RAM",
        "picosoc",
        "asynchronous-read",
        (("picorv32.v", "// @mem in fabric;", "// @mem in block;"),),
    ),
)
MISSED: dict[str, str] = {}
"""Mistakes that are not found, and why."""


def replaced(text: str, old: str, new: str) -> str:
    assert text.count(old) == 1, f"{text.count(old)} times in the source: {old!r}"
    return text.replace(old, new)


class Copy:
    """An annotated copy of a core in memory, which takes a mistake and gives it back."""

    def __init__(self, core: str) -> None:
        settings, files = project(core)
        self.files = {Path(file).name: file for file in files}
        self.texts: dict[str, str] = {}
        for name, old, new in ANNOTATED[core]:
            self.texts[name] = replaced(self.text(name), old, new)
        overlay = {self.files[name]: text for name, text in self.texts.items()}
        self.engine = Engine(settings, overlay, files)

    def text(self, name: str) -> str:
        if name in self.texts:
            return self.texts[name]
        return Path(self.files[name]).read_bytes().decode("utf-8", "surrogateescape")

    def judge(self, edits: tuple[Edit, ...] = ()) -> Judgement:
        changed: dict[str, str] = {}
        for name, old, new in edits:
            changed[name] = replaced(changed.get(name, self.text(name)), old, new)
        try:
            for name, text in changed.items():
                self.engine.set_text(self.files[name], text)
            return self.engine.judge()
        finally:
            for name in changed:
                self.engine.set_text(self.files[name], self.texts.get(name))


@cache
def copy(core: str) -> Copy:
    return Copy(core)


def marked(mistake: Mistake) -> object:
    reason = MISSED.get(mistake.what)
    marks = [pytest.mark.xfail(reason=reason, strict=True)] if reason else []
    return pytest.param(mistake, id=f"{mistake.core}: {mistake.what}", marks=marks)


@pytest.mark.parametrize("core", ANNOTATED)
def test_the_annotated_copy_is_silent(core: str) -> None:
    judgement = copy(core).judge()
    assert not [(one.rule, one.message) for one in judgement.findings if one.severity >= Severity.WARNING]
    assert [view for view in judgement.memories if view.has_intent]


@pytest.mark.parametrize("mistake", [marked(one) for one in MISTAKES])
def test_a_planted_mistake_is_found(mistake: Mistake) -> None:
    assert mistake.rule not in {one.rule for one in copy(mistake.core).judge().findings}
    found = copy(mistake.core).judge(mistake.edits).findings
    loud = {one.rule for one in found if one.severity >= mistake.least}
    assert mistake.rule in loud, [(one.rule, one.message) for one in found]
    # One mistake, and what it costs elsewhere (a budget, a stated shape): never a flood.
    assert len(loud) <= 4


def test_at_least_22_of_24_are_found() -> None:
    assert len(MISTAKES) >= 24
    assert len(MISSED) * 24 <= 2 * len(MISTAKES)
    assert set(MISSED) <= {mistake.what for mistake in MISTAKES}


def test_an_acceptance_is_not_called_unused_while_its_memory_fits_nowhere() -> None:
    mistake = next(one for one in MISTAKES if one.rule == "too-many-ports")
    found = copy(mistake.core).judge(mistake.edits).findings
    assert "acceptance-unused" not in {one.rule for one in found}
