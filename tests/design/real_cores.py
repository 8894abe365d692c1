"""Open-source cores from registry packages: their files, and what their sources say of their memories.

Clocks and read style of each memory were read by hand in the package's source; the file and line of the
write and of what makes the read (a)synchronous stand beside it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from packages import folder, sources


@dataclass(frozen=True)
class Core:
    """A design: its files in order, its top, and what the memories' sources say (path → clocks, read).

    `roms` are those nothing writes, which a comparison of what is written leaves out.
    """

    name: str
    files: tuple[Path, ...]
    top: str
    by_hand: dict[str, tuple[set[str], str]] = field(hash=False)
    parameters: dict[str, int | str] = field(default_factory=dict, hash=False)
    include_dirs: tuple[Path, ...] = ()
    defines: tuple[str, ...] = ()
    single_unit: bool = False
    roms: frozenset[str] = frozenset()


def picosoc() -> Core:
    package = "pythondata_cpu_picorv32"
    names = ("picosoc/picosoc.v", "picosoc/simpleuart.v", "picosoc/spimemio.v", "picorv32.v")
    return Core(
        "picosoc",
        tuple(sources(package, *(f"verilog/{name}" for name in names))),
        "picosoc",
        {
            # picorv32.v:1344 writes; 1352 and 1353 put a multiplexer behind the word, and decoded_rs1
            # feeds more than the array (1303, 1352), so the address register does not count either.
            "picosoc.cpu.cpuregs": ({"picosoc.clk"}, "asynchronous"),
            # picosoc.v:256-259 write lanes; 255 registers the word.
            "picosoc.memory.mem": ({"picosoc.clk"}, "synchronous"),
        },
    )


def serv() -> Core:
    return Core(
        "serv",
        tuple(sources("pythondata_cpu_serv", "verilog/rtl/*.v", "verilog/servant/servant*.v")),
        "servant",
        {
            # serv_rf_ram.v:17 writes, 18 registers the word.
            "servant.cpu.rf_ram.memory": ({"servant.wb_clk"}, "synchronous"),
            # servant_ram.v:31-34 write lanes, 35 registers the word.
            "servant.ram.mem": ({"servant.wb_clk"}, "synchronous"),
        },
    )


def mor1kx() -> Core:
    package = "pythondata_cpu_mor1kx"
    cpu = "mor1kx.mor1kx_cpu.cappuccino.mor1kx_cpu"
    fetch = f"{cpu}.mor1kx_fetch_cappuccino"
    lsu = f"{cpu}.mor1kx_lsu_cappuccino"
    clock = {"mor1kx.clk"}
    # mor1kx_simple_dpram_sclk.v:64 writes, 66 registers the word; mor1kx_true_dpram_sclk.v:41 and 50
    # write, 44 and 53 register: clk_a and clk_b are both `clk` (mor1kx_immu.v, mor1kx_dmmu.v).
    paths = (
        f"{fetch}.icache_gen.mor1kx_icache.tag_ram.mem",
        f"{fetch}.icache_gen.mor1kx_icache.way_memories[0].way_data_ram.mem",
        f"{fetch}.icache_gen.mor1kx_icache.way_memories[1].way_data_ram.mem",
        f"{fetch}.immu_gen.mor1kx_immu.itlb[0].itlb_match_regs.mem",
        f"{fetch}.immu_gen.mor1kx_immu.itlb[0].itlb_translate_regs.mem",
        f"{lsu}.dcache_gen.mor1kx_dcache.tag_ram.mem",
        f"{lsu}.dcache_gen.mor1kx_dcache.way_memories[0].way_data_ram.mem",
        f"{lsu}.dcache_gen.mor1kx_dcache.way_memories[1].way_data_ram.mem",
        f"{lsu}.dmmu_gen.mor1kx_dmmu.dtlb[0].dtlb_match_regs.mem",
        f"{lsu}.dmmu_gen.mor1kx_dmmu.dtlb[0].dtlb_translate_regs.mem",
        f"{lsu}.store_buffer_gen.mor1kx_store_buffer.fifo_ram.mem",
        f"{cpu}.mor1kx_rf_cappuccino.rfa.mem",
        f"{cpu}.mor1kx_rf_cappuccino.rfb.mem",
    )
    return Core(
        "mor1kx",
        tuple(sources(package, "verilog/rtl/verilog/*.v")),
        "mor1kx",
        dict.fromkeys(paths, (clock, "synchronous")),
        {
            f"FEATURE_{feature}": "ENABLED"
            for feature in ("INSTRUCTIONCACHE", "DATACACHE", "IMMU", "DMMU")
        },
        (folder(package) / "verilog/rtl/verilog",),
    )


def ibex() -> Core:
    base = folder("pythondata_cpu_ibex") / "system_verilog"
    files, include_dirs = _file_list(
        base / "dv/uvm/core_ibex/ibex_dv.f",
        {"${PRJ_DIR}": base, "${LOWRISC_IP_DIR}": base / "vendor/lowrisc_ip"},
        "Core DV files",
    )
    inner = "gen_noscramble_rams.{}_bank.gen_generic.u_impl_generic.mem"
    # prim_generic_ram_1p.sv:67 writes, 72 registers the word, both on clk_i.
    paths = [
        f"ibex_top.gen_rams.gen_rams_inner[{way}].{inner.format(bank)}"
        for way in (0, 1)
        for bank in ("tag", "data")
    ]
    return Core(
        "ibex",
        files,
        "ibex_top",
        {path: ({"ibex_top.clk_i"}, "synchronous") for path in paths},
        {"ICache": 1, "ICacheECC": 1, "BranchPredictor": 1},
        (*include_dirs, base / "vendor/lowrisc_ip/dv/sv/dv_utils"),
        ("SYNTHESIS=1",),
        single_unit=True,
    )


def vexriscv() -> Core:
    clock = {"VexRiscv.clk"}
    data = "VexRiscv.dataCache_1"
    fetch = "VexRiscv.IBusCachedPlugin_cache"
    # VexRiscv_LinuxDebug.v: each line writes, or takes a word into a register under the same clock.
    paths = (
        "VexRiscv.RegFilePlugin_regFile",  # 2247 writes; 2235, 2241
        f"{data}.ways_0_tags",  # 7964 writes; 7958
        f"{data}.ways_0_data_symbol0",  # 7982 writes; 7973
        f"{data}.ways_0_data_symbol1",  # 7985 writes; 7974
        f"{data}.ways_0_data_symbol2",  # 7988 writes; 7975
        f"{data}.ways_0_data_symbol3",  # 7991 writes; 7976
        f"{fetch}.banks_0",  # 8789 writes; 8795
        f"{fetch}.ways_0_tags",  # 8801 writes; 8807
    )
    return Core(
        "vexriscv",
        tuple(sources("pythondata_cpu_vexriscv", "verilog/VexRiscv_LinuxDebug.v")),
        "VexRiscv",
        dict.fromkeys(paths, (clock, "synchronous")),
    )


def cv32e40p() -> Core:
    base = folder("pythondata_cpu_cv32e40p") / "system_verilog"
    files, include_dirs = _file_list(
        base / "cv32e40p_manifest.flist", {"${DESIGN_RTL_DIR}": base / "rtl"}, None
    )
    # cv32e40p_sim_clock_gate.sv:28 makes the clock: clk_i and an enable held by a latch (25).
    gated = {"cv32e40p_top.core_i.sleep_unit_i.core_clock_gate_i.clk_o"}
    return Core(
        "cv32e40p",
        files,
        "cv32e40p_top",
        {
            # cv32e40p_register_file_ff.sv:133-134 write, one register a word; 89-91 choose a word.
            # (mem_fp, 145, stands in a generate block that is dead at default parameters.)
            "cv32e40p_top.core_i.id_stage_i.register_file_i.mem": (gated, "asynchronous"),
            # cv32e40p_cs_registers.sv:1472-1476 write; 549 and 571 choose a word in a case.
            "cv32e40p_top.core_i.cs_registers_i.mhpmcounter_q": (gated, "asynchronous"),
            # cv32e40p_cs_registers.sv:1498 writes; 583 chooses a word in a case.
            "cv32e40p_top.core_i.cs_registers_i.mhpmevent_q": (gated, "asynchronous"),
        },
        {},
        include_dirs,
    )


def cva5() -> Core:
    package = "pythondata_cpu_cva5"
    names = (
        "core/cva5_config.sv",
        "core/riscv_types.sv",
        "core/cva5_types.sv",
        "core/csr_types.sv",
        "l2_arbiter/l2_config_and_types.sv",
        "core/*.sv",
        "core/lutrams/*.sv",
        "core/x*/*.sv",
        "core/i*/*.sv",
        "l2_arbiter/*.sv",
        "local_memory/*.sv",
        "examples/litex/*.sv",
    )
    cpu = "litex_wrapper.cpu"
    clock = {"litex_wrapper.clk"}
    toggles = f"{cpu}.register_file_block.id_inuse_toggle_mem_set"
    table: dict[str, tuple[set[str], str]] = {
        # decode_and_issue.sv:376 writes; 387 gives the word to the load-store unit, which compares it.
        f"{cpu}.decode_and_issue_block.rd_to_id_table": (clock, "asynchronous"),
        # register_free_list.sv:83 writes, 85 reads; renamer.sv:203 chooses between the word and 0.
        f"{cpu}.renamer_block.free_list_fifo.lut_ram": (clock, "asynchronous"),
        # lutram_1w_1r.sv:44 writes, 47 reads; the word leaves through cva5_fifo.sv's interface, and
        # renamer.sv:98 chooses between two parts of it.
        f"{cpu}.renamer_block.inuse_list_fifo.gen_width_3_plus.write_port.ram": (clock, "asynchronous"),
        # lutram_1w_mr.sv:51 writes, 56 reads; renamer.sv:198 on: compared and chosen from.
        f"{cpu}.renamer_block.spec_table_ram.xilinx_gen.ram": (clock, "asynchronous"),
    }
    for bank in (0, 1):
        # register_bank.sv:56 writes, 60 reads; register_file.sv:130 chooses between two banks.
        path = f"{cpu}.register_file_block.register_file_gen[{bank}].reg_group.register_file_bank"
        table[path] = (clock, "asynchronous")
    for port in range(4):
        # lutram_1w_mr.sv:51 writes, 56 reads; toggle_memory.sv:51 and toggle_memory_set.sv:95 xor the word.
        table[f"{toggles}.write_port_gen[{port}].mem.write_port.xilinx_gen.ram"] = (clock, "asynchronous")
    for encoder in (
        "fetch_block.pc_sel_encoder",
        "gen_csrs.csr_unit_block.gen_csr_m_mode.interrupt_cause_encoder",
    ):
        # priority_encoder.sv: a table filled by `initial` and never written: a ROM, so on no clock.
        table[f"{cpu}.{encoder}.ENCODER_ROM"] = (set(), "asynchronous")
    return Core(
        "cva5",
        tuple(sources(package, *(f"system_verilog/{name}" for name in names))),
        "litex_wrapper",
        table,
        roms=frozenset(path for path in table if path.endswith("ENCODER_ROM")),
    )


def marocchino() -> Core:
    package = "pythondata_cpu_marocchino"
    base = "verilog/rtl/verilog"
    cpu = "or1k_marocchino_top.u_cpu"
    clock = {"or1k_marocchino_top.cpu_clk"}
    # or1k_dpram_en_w1st.v:76 and 89 write, 80 and 93 register the word; or1k_spram_en_w1st.v:68 and 72.
    # clk_a and clk_b are both cpu_clk: or1k_marocchino_dcache.v:724-809, _dmmu.v:583-614, _fetch.v:732-739,
    # _icache.v:388-595, _immu.v:571-603, _rf.v:532-689, _ocb.v:599-1245.
    paths = (
        f"{cpu}.u_fetch.u_bc_cnt_ram.mem",
        f"{cpu}.u_fetch.u_icache.ic_tag_ram.mem",
        f"{cpu}.u_fetch.u_icache.ways_ram[0].ic_way_ram.mem",
        f"{cpu}.u_fetch.u_icache.ways_ram[1].ic_way_ram.mem",
        f"{cpu}.u_fetch.u_immu.itlb[0].itlb_match_regs.mem",
        f"{cpu}.u_fetch.u_immu.itlb[0].itlb_trans_regs.mem",
        f"{cpu}.u_lsu.u_dcache.dc_tag_ram.mem",
        f"{cpu}.u_lsu.u_dcache.way_memories[0].dc_way_ram.mem",
        f"{cpu}.u_lsu.u_dcache.way_memories[1].dc_way_ram.mem",
        f"{cpu}.u_lsu.u_dmmu.dtlb[0].dtlb_match_regs.mem",
        f"{cpu}.u_lsu.u_dmmu.dtlb[0].dtlb_trans_regs.mem",
        f"{cpu}.u_lsu.u_store_buffer.u_oreg_buff_ram.mem",
        *(f"{cpu}.u_rf.u_ram_{name}.mem" for name in ("a1", "a2", "b1", "b2")),
    )
    return Core(
        "marocchino",
        tuple(sources(package, f"{base}/*.v", f"{base}/pfpu_marocchino/*.v")),
        "or1k_marocchino_top",
        dict.fromkeys(paths, (clock, "synchronous")),
        {},
        (folder(package) / base,),
        ("SYNTHESIS=1",),
    )


def _file_list(
    path: Path, variables: dict[str, Path], stop: str | None
) -> tuple[tuple[Path, ...], tuple[Path, ...]]:
    """The sources and include folders of a file list, up to a line with `stop`."""
    files: list[Path] = []
    include_dirs: list[Path] = []
    for line in path.read_text(encoding="utf-8").splitlines():
        if stop is not None and stop in line:
            break
        line = line.strip()
        for name, value in variables.items():
            line = line.replace(name, str(value))
        if line.startswith("+incdir+"):
            include_dirs.append(Path(line.removeprefix("+incdir+")))
        elif line.endswith(".sv") and Path(line).is_file():
            files.append(Path(line))
    return tuple(files), tuple(include_dirs)


CORES: dict[str, Callable[[], Core]] = {
    one.__name__: one for one in (picosoc, serv, mor1kx, ibex, vexriscv, cv32e40p, cva5, marocchino)
}
