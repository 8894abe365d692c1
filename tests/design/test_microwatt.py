"""microwatt, an open processor in VHDL, against the simulator GHDL and against its source.

Paths and shapes are compared with GHDL's elaborated dump. It cannot print the whole core (it stops at
constant arrays indexed by an enumeration), so the units with memories are dumped one by one, with the
generics that core.vhdl passes to them. Ports, clocks and read style of each memory were read by hand in
the package's source; file and line stand beside them.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import ghdl_reference
import pytest
from packages import sources

from memlint.design.memory import Memory
from memlint.design.sharing import counts
from memlint.engine import Engine
from memlint.engine.settings import Settings

PACKAGE = "pythondata_cpu_microwatt"
# The order in which GHDL needs them; the Makefile of the package names the same files.
FILES = """utils decode_types wishbone_types common helpers insn_helpers crhelpers nonrandom ppc_fx_insns
predecode plrufn cache_ram fetch1 icache decode1 control register_file cr_file decode2 countbits logical
rotator multiply multiply-32s divider pmu execute1 loadstore1 mmu dcache writeback core_debug fpu core
fpga/main_bram wishbone_bram_wrapper""".split()

ASYNC, SYNC = "asynchronous", "synchronous"
Facts = tuple[str, set[str], str]


@dataclass(frozen=True)
class Variant:
    """A top with generics, and for GHDL each unit below it by path with what it is given."""

    name: str
    top: str
    generics: dict[str, int | str]
    units: dict[str, tuple[str, dict[str, int | str]]]


DEFAULTS = Variant(
    "defaults",
    "core",
    {},
    {
        # Instances and generic maps of core.vhdl, from line 221 on; control is inside decode2.vhdl.
        "core.fetch1_0": ("fetch1", {"HAS_BTC": "true"}),
        "core.icache_0": ("icache", {"NUM_LINES": 64, "NUM_WAYS": 2, "TLB_SIZE": 64}),
        "core.decode2_0": ("decode2", {}),
        "core.register_file_0": ("register_file", {}),
        "core.execute1_0": ("execute1", {}),
        "core.dcache_0": ("dcache", {"NUM_LINES": 64, "NUM_WAYS": 2, "TLB_SET_SIZE": 64, "TLB_NUM_WAYS": 2}),
        "core.debug_0": ("core_debug", {"LOG_LENGTH": 512}),
        "core.with_fpu.fpu_0": ("fpu", {}),
    },
)
SMALL = Variant(
    "small",
    "core",
    {
        "HAS_FPU": 0,
        "HAS_BTC": 0,
        "LOG_LENGTH": 0,
        "ICACHE_NUM_LINES": 16,
        "ICACHE_NUM_WAYS": 1,
        "ICACHE_TLB_SIZE": 32,
        "DCACHE_NUM_LINES": 16,
        "DCACHE_NUM_WAYS": 4,
        "DCACHE_TLB_SET_SIZE": 32,
        "DCACHE_TLB_NUM_WAYS": 4,
    },
    {
        "core.fetch1_0": ("fetch1", {"HAS_BTC": "false"}),
        "core.icache_0": (
            "icache",
            {"HAS_FPU": "false", "NUM_LINES": 16, "NUM_WAYS": 1, "TLB_SIZE": 32, "LOG_LENGTH": 0},
        ),
        "core.decode2_0": ("decode2", {"HAS_FPU": "false", "LOG_LENGTH": 0}),
        "core.register_file_0": ("register_file", {"HAS_FPU": "false", "LOG_LENGTH": 0}),
        "core.execute1_0": ("execute1", {"HAS_FPU": "false", "LOG_LENGTH": 0}),
        "core.dcache_0": (
            "dcache",
            {"NUM_LINES": 16, "NUM_WAYS": 4, "TLB_SET_SIZE": 32, "TLB_NUM_WAYS": 4, "LOG_LENGTH": 0},
        ),
        "core.debug_0": ("core_debug", {"LOG_LENGTH": 0}),
    },
)


def main_memory(size: int) -> Variant:
    given: dict[str, int | str] = {"MEMORY_SIZE": size, "RAM_INIT_FILE": "hello_world.hex"}
    top = "wishbone_bram_wrapper"
    return Variant(f"main memory of {size} bytes", top, given, {top: (top, given)})


VARIANTS = (DEFAULTS, SMALL, main_memory(8192), main_memory(65536))

CLOCK = {"core.clk"}
# Path below the top → ports, clocks, read style. An asynchronous read has no clock of its own.
CORE: dict[str, Facts] = {
    # fetch1.vhdl:137 writes, 131 registers the word.
    "fetch1_0.btc.btc_memory": ("1w1r", CLOCK, SYNC),
    # icache.vhdl:813 writes; 586 compares the tag, 727 and 811 read at other addresses.
    "icache_0.cache_tags": ("1w3r", CLOCK, ASYNC),
    # icache.vhdl:750 and, in the state machine, 806 or 825 write; 581 reads in a condition.
    "icache_0.cache_valids": ("2w1r", CLOCK, ASYNC),
    # icache.vhdl:548, 547, 544 and 549 write; 503, 504, 513 read in a combinational process.
    "icache_0.itlb_ptes": ("1w1r", CLOCK, ASYNC),
    "icache_0.itlb_tags": ("1w1r", CLOCK, ASYNC),
    "icache_0.itlb_valids": ("1w1r", CLOCK, ASYNC),
    # icache.vhdl:486 writes; 472 reads into the replacement logic.
    "icache_0.maybe_plrus.plru_ram": ("1w1r", CLOCK, ASYNC),
    # icache.vhdl:822 writes, 760 clears all; 585 reads in a condition. A field of the state's record.
    "icache_0.r.rows_valid": ("1w1r", CLOCK, ASYNC),
    # predecode.vhdl:504 and 506: read once for each of the two instructions of a row, into registers.
    "icache_0.predecoder_0.major_predecode_rom": ("2r", CLOCK, SYNC),
    "icache_0.predecoder_0.row_predecode_rom": ("2r", CLOCK, SYNC),
    # cache_ram.vhdl:58 writes, 63 registers the word.
    "icache_0.rams[0].way.ram": ("1w1r", CLOCK, SYNC),
    "icache_0.rams[1].way.ram": ("1w1r", CLOCK, SYNC),
    # decode1.vhdl:460 registers the word.
    "decode1_0.decode_rom": ("1r", CLOCK, SYNC),
    # decode2.vhdl:580 and 581 read in a combinational process.
    "decode2_0.result_select": ("1r", set(), ASYNC),
    "decode2_0.subresult_select": ("1r", set(), ASYNC),
    # control.vhdl:94-120 write each word under a loop (four banks); 165-252 read in conditions.
    "decode2_0.control_0.tag_regs": ("1w1r", CLOCK, ASYNC),
    # register_file.vhdl:73 writes; 126, 131 and 136 register the words.
    "register_file_0.registers": ("1w3r", CLOCK, SYNC),
    # execute1.vhdl:571 and 577 write; 516 and 521 read, bypassed and multiplexed before a register.
    "execute1_0.even_sprs": ("1w1r", CLOCK, ASYNC),
    "execute1_0.odd_sprs": ("1w1r", CLOCK, ASYNC),
    # execute1.vhdl:256 reads in a function that a condition at 1027 calls.
    "execute1_0.op_privilege": ("1r", set(), ASYNC),
    # dcache.vhdl:1456 writes; 851 and 870 register the words.
    "dcache_0.cache_tags": ("1w2r", CLOCK, SYNC),
    # dcache.vhdl:1446 and 1648 write; 935 and 963 read in conditions, at one address.
    "dcache_0.cache_valids": ("2w1r", CLOCK, ASYNC),
    # dcache.vhdl:1615 writes, 1533 clears all; 1034 reads in a condition. A field of a stage's record.
    "dcache_0.r1.rows_valid": ("1w1r", CLOCK, ASYNC),
    # dcache.vhdl:774, 777 and, exclusively, 758 or 778 write; 641 to 643 register the words.
    "dcache_0.dtlb_tags": ("1w1r", CLOCK, SYNC),
    "dcache_0.dtlb_ptes": ("1w1r", CLOCK, SYNC),
    "dcache_0.dtlb_valids": ("1w1r", CLOCK, SYNC),
    # dcache.vhdl:693 and 828 write; 679 and 809 read into the replacement logic.
    "dcache_0.maybe_tlb_plrus.tlb_plru_ram": ("1w1r", CLOCK, ASYNC),
    "dcache_0.maybe_plrus.plru_ram": ("1w1r", CLOCK, ASYNC),
    "dcache_0.rams[0].way.ram": ("1w1r", CLOCK, SYNC),
    "dcache_0.rams[1].way.ram": ("1w1r", CLOCK, SYNC),
    # core_debug.vhdl:357 writes, 362 registers the word.
    "debug_0.maybe_log.log_array": ("1w1r", CLOCK, SYNC),
    # fpu.vhdl:914, 927 and 931 read in a combinational process; 761 registers the word.
    "with_fpu.fpu_0.arith_decode": ("1r", set(), ASYNC),
    "with_fpu.fpu_0.cmp_decode": ("1r", set(), ASYNC),
    "with_fpu.fpu_0.misc_decode": ("1r", set(), ASYNC),
    "with_fpu.fpu_0.inverse_table": ("1r", CLOCK, SYNC),
}
# What the second set of generics takes away, and the two ways it adds to the data cache.
GONE = {
    "fetch1_0.btc.btc_memory",
    "icache_0.maybe_plrus.plru_ram",
    "icache_0.rams[1].way.ram",
    "debug_0.maybe_log.log_array",
    *(path for path in CORE if path.startswith("with_fpu.")),
}
ADDED = {f"dcache_0.rams[{way}].way.ram": CORE["dcache_0.rams[0].way.ram"] for way in (2, 3)}
BY_HAND: dict[str, dict[str, Facts]] = {
    "defaults": CORE,
    "small": {**{path: facts for path, facts in CORE.items() if path not in GONE}, **ADDED},
    # fpga/main_bram.vhdl:62 writes and 67 reads at one address: one port.
    **{
        one.name: {"ram_0.memory": ("1rw", {"wishbone_bram_wrapper.clk"}, SYNC)}
        for one in VARIANTS
        if one.top == "wishbone_bram_wrapper"
    },
}
# The data cache's words have eight bytes that are written apart (dcache.vhdl:1232 leaves BYTEWID at 8),
# its tags one part for each way (1456); main_bram.vhdl:60 to 63 write bytes.
LANES = {
    "core.dcache_0.rams[0].way.ram": (8,) * 8,
    "core.dcache_0.rams[1].way.ram": (8,) * 8,
    "core.icache_0.rams[0].way.ram": (),
    "core.dcache_0.cache_tags": (48, 48),
    "core.register_file_0.registers": (),
}


def files() -> list[Path]:
    return sources(PACKAGE, *(f"vhdl/{name}.vhdl" for name in FILES))


def memories(variant: Variant) -> dict[str, Memory]:
    settings = Settings(
        root=str(files()[0].parent), top=(variant.top,), parameters=dict(variant.generics)
    )
    judgement = Engine(settings, files=[str(file) for file in files()]).judge()
    assert not judgement.missing
    return {view.memory.path: view.memory for view in judgement.memories}


@pytest.fixture(scope="module")
def library(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with everything analysed by GHDL, and the file that fills the main memory."""
    if ghdl_reference.GHDL is None:
        pytest.skip(ghdl_reference.REASON)
    folder = tmp_path_factory.mktemp("microwatt")
    ghdl_reference.analyse(files(), folder)
    (image,) = sources(PACKAGE, "vhdl/fpga/hello_world.hex")
    (folder / "hello_world.hex").write_bytes(image.read_bytes())
    return folder


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda one: one.name)
def test_paths_and_shapes_equal_an_independent_elaboration(variant: Variant, library: Path) -> None:
    reference: dict[str, ghdl_reference.Shape] = {}
    for path, (unit, generics) in variant.units.items():
        dumped = ghdl_reference.arrays(unit, library, generics)
        reference.update({path + name[len(unit) :]: shape for name, shape in dumped.items()})
    found = memories(variant)
    assert not [path for path, memory in found.items() if memory.unresolved]
    missing = set()
    for path, memory in found.items():
        if path not in reference:
            missing.add(path)
            continue
        assert memory.depth is not None
        words, bits = reference[path]
        assert (memory.depth * memory.banks, memory.width) == (words, bits or memory.width), path
    # Not in the dump: GHDL cannot print decode1, whose table is indexed by an enumeration.
    assert missing <= {"core.decode1_0.decode_rom"}


@pytest.mark.parametrize("variant", VARIANTS, ids=lambda one: one.name)
def test_ports_clocks_and_read_style_are_what_the_source_says(variant: Variant) -> None:
    found: dict[str, Facts] = {}
    for path, memory in memories(variant).items():
        ports = counts(memory.ports)
        shown = "".join(f"{ports[kind]}{kind}" for kind in ("w", "r", "rw") if ports[kind])
        found[path] = (shown, {clock.net for clock in memory.clocks}, str(memory.read))
    assert found == {f"{variant.top}.{path}": facts for path, facts in BY_HAND[variant.name].items()}


def test_lanes_are_what_the_source_says() -> None:
    found = memories(DEFAULTS)
    assert {path: found[path].lanes for path in LANES} == LANES
    assert memories(main_memory(8192))["wishbone_bram_wrapper.ram_0.memory"].lanes == (8,) * 8


def test_words_of_an_enumeration_are_as_wide_as_its_values_need() -> None:
    found = memories(DEFAULTS)
    # decode_types.vhdl: 331 values of insn_code, numbered in 9 bits; decode1.vhdl:64 one word for each.
    assert found["core.decode1_0.decode_rom"].depth == 331
    # predecode.vhdl:32: 2048 of those codes.
    assert found["core.icache_0.predecoder_0.major_predecode_rom"].width == 9


def test_contents_are_given_by_a_function_that_reads_a_file() -> None:
    # fpga/main_bram.vhdl:49
    assert memories(main_memory(8192))["wishbone_bram_wrapper.ram_0.memory"].contents == "given"
    # register_file.vhdl:40
    assert memories(DEFAULTS)["core.register_file_0.registers"].contents == "zero"
