"""Open-source cores as they come, with no intent in them, on the demo device: what memlint says unasked.

The limits (no error, one finding per three memories) are the project's own. Every finding there is was read
in the package's source; `READ` has them with the verdict, so that a new one fails until somebody reads it.
"""

from __future__ import annotations

import sys
from functools import cache
from pathlib import Path

import pytest

from memlint.engine import Engine
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.rules.finding import Severity

sys.path.insert(0, str(Path(__file__).parent.parent / "design"))

from packages import folder, sources
from real_cores import CORES
from test_microwatt import FILES as MICROWATT

NAMES = (*CORES, "microwatt", "libsv")

READ: dict[str, dict[tuple[str, str, int], str]] = {}
"""Findings by core: rule, file and line → true or false, and why. There is none at present."""


def project(name: str) -> tuple[Settings, list[str]]:
    """A core's own top, parameters and files; everything else is as memlint has it by default."""
    if name == "microwatt":
        base = folder("pythondata_cpu_microwatt") / "vhdl"
        return Settings(root=str(base), top=("core",)), [str(base / f"{one}.vhdl") for one in MICROWATT]
    if name == "libsv":
        base = folder("libsv")
        files = [str(file) for file in sources("libsv", "**/*.sv")]
        return Settings(root=str(base), include_dirs=(str(base.parent),)), files
    core = CORES[name]()
    settings = Settings(
        root=str(core.files[0].parent),
        include_dirs=tuple(map(str, core.include_dirs)),
        defines=dict(one.split("=") for one in core.defines),
        top=(core.top,),
        parameters=core.parameters,
    )
    return settings, [str(file) for file in core.files]


@cache
def judged(name: str) -> Judgement:
    settings, files = project(name)
    return Engine(settings, files=files).judge()


def places(name: str, least: Severity) -> list[tuple[str, str, int]]:
    judgement = judged(name)
    return [
        (
            found.rule,
            Path(found.span.file).name,
            judgement.sources[found.span.file].position(found.span.start).line,
        )
        for found in judgement.findings
        if found.severity >= least
    ]


@pytest.mark.parametrize("name", NAMES)
def test_an_unannotated_core_raises_no_error(name: str) -> None:
    assert not places(name, Severity.ERROR)


@pytest.mark.parametrize("name", NAMES)
def test_at_most_one_finding_per_three_memories(name: str) -> None:
    loud = places(name, Severity.WARNING)
    notes = [one for one in places(name, Severity.NOTE) if one not in loud]
    memories = len(judged(name).memories)
    print(f"{name}: {memories} memories, {len(loud)} warnings or errors, {len(notes)} notes {notes}")
    assert len(loud) * 3 <= memories


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_has_been_read_in_the_source(name: str) -> None:
    assert set(places(name, Severity.NOTE)) == set(READ.get(name, {}))


def test_silence_is_not_for_want_of_memories() -> None:
    # Each memory has its place reckoned, so the rules had something to look at: none is unresolved, and
    # none is on the device's few bulk blocks, which nobody asked for.
    views = [view for name in NAMES for view in judged(name).memories]
    assert len(views) >= 100
    assert not [view.memory.path for view in views if view.placement is None or view.tier is None]
    assert {view.tier.name for view in views if view.tier} == {"block", "fabric", "registers"}
