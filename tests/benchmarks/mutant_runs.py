"""Tests in child processes: measured once, and then with one module changed as it is imported."""

from __future__ import annotations

import importlib.util
import json
import os
import resource
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import Final

import coverage
import pytest
from hypothesis import Phase, settings

MEMORY: Final = 4 << 30
"""Bytes a child may take: a mistake in a loop must not take the machine's."""

TESTS: Final = ("-q", "-x", "-p", "no:cacheprovider", "--tb=no")


class Timing:
    """Notes each test's lines under its name, and its seconds of processor time."""

    def __init__(self, measured: coverage.Coverage) -> None:
        self.measured, self.seconds = measured, dict[str, float]()

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self.measured.switch_context(item.nodeid)
        before = time.process_time()
        yield
        self.seconds[item.nodeid] = time.process_time() - before
        self.measured.switch_context("")


class NoShrinking:
    """A failure is enough: its smallest example need not be looked for."""

    def pytest_sessionstart(self) -> None:
        phases = (Phase.explicit, Phase.generate)
        settings.register_profile("mutants", settings.get_profile("memlint-repeatable"), phases=phases)
        settings.load_profile("mutants")


class Changed(SourceFileLoader):
    """Gives one module other code, and leaves all others to the usual import."""

    def __init__(self, module: str, path: Path, code: CodeType) -> None:
        super().__init__(module, str(path))
        self.code = code

    def get_code(self, fullname: str) -> CodeType:
        return self.code

    def find_spec(self, name: str, path: object = None, target: object = None) -> ModuleSpec | None:
        return importlib.util.spec_from_loader(name, self) if name == self.name else None


@dataclass(frozen=True, slots=True)
class Measured:
    """The seconds of each test of a layer, the lines it ran, and how many branches all ran of how many."""

    seconds: dict[str, float]
    data: coverage.CoverageData
    branches: int
    of_branches: int


def measured(layer: str, folder: Path) -> Measured:
    """Run the tests of a layer once; exits where one fails."""
    times, lines, report = folder / "seconds.json", folder / "lines.coverage", folder / "report.json"

    def run() -> int:
        recorder = coverage.Coverage(data_file=str(lines), branch=True, source=[f"memlint.{layer}"])
        timing = Timing(recorder)
        recorder.start()
        failed = pytest.main([*TESTS, f"tests/{layer}"], plugins=[timing, NoShrinking()])
        recorder.stop()
        recorder.save()
        recorder.json_report(outfile=str(report))
        times.write_text(json.dumps(timing.seconds), encoding="utf-8")
        return int(failed)

    _, status = os.waitpid(_forked(run, 3600), 0)
    if status:
        raise SystemExit(f"tests/{layer} fail before anything is changed; mend them first")
    data = coverage.CoverageData(str(lines))
    data.read()
    totals = json.loads(report.read_text(encoding="utf-8"))["totals"]
    seconds = json.loads(times.read_text(encoding="utf-8"))
    return Measured(seconds, data, totals["covered_branches"], totals["num_branches"])


def started(path: Path, code: CodeType, tests: Sequence[str], seconds: float) -> int:
    """The process that runs these tests with other code in the module of that path."""
    module = ".".join(path.with_suffix("").parts).removesuffix(".__init__")

    def run() -> int:
        sys.meta_path.insert(0, Changed(module, path, code))
        return int(pytest.main([*TESTS, *tests], plugins=[NoShrinking()]))

    return _forked(run, seconds)


def outcome(status: int) -> str:
    """What the end of such a process says of the mutant."""
    if os.WIFSIGNALED(status):
        return "out of time"
    return "survived" if os.WEXITSTATUS(status) == 0 else "caught"


def _forked(work: Callable[[], int], seconds: float) -> int:
    """A child that does the work quietly, in so many seconds of processor time."""
    child = os.fork()
    if child:
        return child
    try:
        null = os.open(os.devnull, os.O_RDWR)
        for stream in (0, 1, 2):
            os.dup2(null, stream)
        resource.setrlimit(resource.RLIMIT_CPU, (int(seconds) + 1, int(seconds) + 2))
        resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        os._exit(work())
    finally:
        os._exit(70)
