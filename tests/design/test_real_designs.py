"""Open-source cores from registry packages, against the compiler library pyslang and against the source.

Paths and shapes are compared with pyslang; clocks and read style with what real_cores.py says was read in
the source.
"""

from __future__ import annotations

from functools import cache

import pytest
from packages import folder, sources
from real_cores import CORES

from memlint.design.memory import Memory
from memlint.engine import Engine
from memlint.engine.settings import Settings


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
    roms = {path: found.pop(path) for path in core.roms}
    assert found == reference
    assert len(roms) == len(core.roms)
    assert not [path for path, memory in memories(name).items() if memory.unresolved]


@pytest.mark.parametrize("name", CORES)
def test_clocks_and_read_style_are_what_the_source_says(name: str) -> None:
    found = {
        path: ({clock.net for clock in memory.clocks}, memory.read)
        for path, memory in memories(name).items()
        if memory.depth is not None and memory.depth * memory.banks >= 16
    }
    assert found == CORES[name]().by_hand


def test_libsv_has_no_memory_and_neither_have_we() -> None:
    # Fourteen small modules; the compiler finds no array on a clock in any of them. It does object to an
    # initial value in ring_arbiter.sv, which has no bearing on arrays.
    import slang_reference

    files = sources("libsv", "**/*.sv")
    settings = Settings(root=str(files[0].parent), include_dirs=(str(folder("libsv").parent),))
    judgement = Engine(settings, files=[str(file) for file in files]).judge()
    assert len(judgement.roots) >= 8
    assert not [view.memory.path for view in judgement.memories]
    for root in judgement.roots:
        assert not slang_reference.clocked_arrays(
            files,
            root,
            include_dirs=(folder("libsv").parent,),
            least_depth=2,
            accepted=("AutoFromStaticInit",),
        )


def test_the_gated_clock_of_cv32e40p_keeps_its_root() -> None:
    # cv32e40p_sim_clock_gate.sv:28: clk_i and an enable; clk_i is the core's own, see cv32e40p_top.sv.
    roots = {clock.root for memory in memories("cv32e40p").values() for clock in memory.clocks}
    assert roots == {"cv32e40p_top.clk_i"}
