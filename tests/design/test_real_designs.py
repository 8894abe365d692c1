"""Open-source cores from registry packages, against the compiler library pyslang and against the source.

Paths and shapes are compared with pyslang. Clocks and read style of each memory were read by hand in the
package's source; the file and line of the write and of what makes the read (a)synchronous stand beside it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

import pytest
from packages import folder, sources

from memlint.design.memory import Memory
from memlint.engine import Engine
from memlint.engine.settings import Settings


@dataclass(frozen=True)
class Core:
    """A design: its files in order, its top, and what the memories' sources say (path → clocks, read)."""

    name: str
    files: tuple[Path, ...]
    top: str
    by_hand: dict[str, tuple[set[str], str]] = field(hash=False)
    parameters: dict[str, int | str] = field(default_factory=dict, hash=False)
    include_dirs: tuple[Path, ...] = ()
    defines: tuple[str, ...] = ()
    single_unit: bool = False


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


CORES = {"picosoc": picosoc, "serv": serv, "mor1kx": mor1kx}


@cache
def memories(name: str) -> dict[str, Memory]:
    core = CORES[name]()
    settings = Settings(
        root=str(core.files[0].parent),
        include_dirs=tuple(map(str, core.include_dirs)),
        defines=dict(one.split("=") for one in core.defines),
        top=(core.top,),
        parameters=core.parameters,
    )
    judgement = Engine(settings, files=[str(file) for file in core.files]).judge()
    assert not judgement.missing
    return {view.memory.path: view.memory for view in judgement.memories}


@pytest.mark.parametrize("name", CORES)
def test_paths_and_shapes_equal_an_independent_elaboration(name: str) -> None:
    import slang_reference

    core = CORES[name]()
    reference = slang_reference.clocked_arrays(
        core.files,
        core.top,
        parameters=core.parameters,
        include_dirs=core.include_dirs,
        defines=core.defines,
        single_unit=core.single_unit,
    )
    found = {
        path: (memory.depth * memory.banks, memory.width)
        for path, memory in memories(name).items()
        if memory.depth is not None and memory.depth * memory.banks >= 16
    }
    assert found == reference
    assert not [path for path, memory in memories(name).items() if memory.unresolved]


@pytest.mark.parametrize("name", CORES)
def test_clocks_and_read_style_are_what_the_source_says(name: str) -> None:
    found = {
        path: ({clock.net for clock in memory.clocks}, memory.read)
        for path, memory in memories(name).items()
        if memory.depth is not None and memory.depth * memory.banks >= 16
    }
    assert found == CORES[name]().by_hand
