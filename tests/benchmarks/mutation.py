"""How many small mistakes in a layer its tests notice. Run:

    python tests/benchmarks/mutation.py mapping [--sample 400] [--seed 1] [--json FILE] [--again FILE]

Works on a copy in a temporary folder, never in the tree. First the layer's tests run once under `coverage`,
a context for each; then each mutant of a seeded sample (`mutants.py`) is put into the module as it is
imported, and only the tests that ran its lines are run, quickest first, until one fails. Limits are of
processor time, so that a busy machine changes nothing. Tests that took more than `--slowest` seconds are
left out, and what only a process of its own would show is not seen: the score is a lower bound.

A mutant is caught when a test fails or its time runs out; it survives when all pass, or none runs its
lines. `--again` tries only what survived in the JSON of an earlier run.
"""

from __future__ import annotations

import argparse
import ast
import contextlib
import importlib
import importlib.util
import json
import os
import random
import resource
import shutil
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, dataclass
from importlib.machinery import ModuleSpec, SourceFileLoader
from pathlib import Path
from types import CodeType
from typing import Any, Final

import coverage
import pytest
from hypothesis import Phase, settings
from mutants import Mutant, mutants

ROOT: Final = Path(__file__).resolve().parents[2]
LEFT_OUT: Final = (
    ".git",
    ".venv*",
    "node_modules",
    "__pycache__",
    ".*_cache",
    ".hypothesis",
    "dist",
    "build",
)
WARM: Final = ("lark", "pydantic", "highspy", "hypothesis.strategies", "pytest_asyncio", "pytest_lsp")
"""Imported before any mutant, where they are installed, so that each need not."""

MEMORY: Final = 4 << 30
TESTS: Final = ("-q", "-x", "-p", "no:cacheprovider", "--tb=no")


@dataclass(frozen=True, slots=True)
class Tried:
    file: str
    mutant: str
    outcome: str
    """caught | out of time | survived | not run"""
    tests: int


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


def forked(work: Callable[[], int], seconds: float) -> int:
    """The process of a child that does the work, quietly, in so many seconds of processor time."""
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


def measure(layer: str, seconds_file: Path) -> int:
    measured = coverage.Coverage(
        data_file=str(seconds_file.with_suffix(".coverage")), source=[f"memlint.{layer}"]
    )
    timing = Timing(measured)
    measured.start()
    failed = pytest.main([*TESTS, f"tests/{layer}"], plugins=[timing, NoShrinking()])
    measured.stop()
    measured.save()
    seconds_file.write_text(json.dumps(timing.seconds), encoding="utf-8")
    return int(failed)


def covering(lines: dict[int, list[str]], one: Mutant, everything: set[str]) -> set[str]:
    """Tests that ran the changed lines; else those of its statement; at import, all that ran the file, or all."""
    for first, last in (one.lines, one.statement):
        found = {test for line in range(first, last + 1) for test in lines.get(line, ())}
        if found - {""}:
            return found - {""}
        if found:
            return {test for tests in lines.values() for test in tests} - {""} or everything
    return set()


def attempt(path: Path, tree: ast.Module, one: Mutant, tests: Sequence[str], seconds: float) -> int:
    """The child that runs the tests with the mistake in its module."""
    undo = one.put()
    try:
        code = compile(ast.fix_missing_locations(tree), str(path), "exec", dont_inherit=True)
    finally:
        undo()
    module = ".".join(path.with_suffix("").parts).removesuffix(".__init__")

    def run() -> int:
        sys.meta_path.insert(0, Changed(module, path, code))
        return int(pytest.main([*TESTS, *tests], plugins=[NoShrinking()]))

    return forked(run, seconds)


def outcome(status: int) -> str:
    if os.WIFSIGNALED(status):
        return "out of time"
    return "survived" if os.WEXITSTATUS(status) == 0 else "caught"


def try_all(args: argparse.Namespace, folder: Path) -> list[Tried]:
    seconds_file = folder / "seconds.json"
    _, status = os.waitpid(forked(lambda: measure(args.layer, seconds_file), 3600), 0)
    if status:
        raise SystemExit(f"tests/{args.layer} fail before anything is changed; mend them first")
    seconds: dict[str, float] = json.loads(seconds_file.read_text(encoding="utf-8"))
    data = coverage.CoverageData(str(seconds_file.with_suffix(".coverage")))
    data.read()
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in
             sorted(Path("memlint", args.layer).rglob("*.py"))}  # fmt: skip
    lines = {path: data.contexts_by_lineno(str(path.resolve())) for path in trees}
    sites = [(path, one) for path, tree in trees.items() for one in mutants(tree)]
    if args.again:
        earlier = json.loads(Path(args.again).read_text(encoding="utf-8"))
        alive = {(one["file"], one["mutant"]) for one in earlier if one["outcome"] in ("survived", "not run")}
        sites = [(path, one) for path, one in sites if (path.as_posix(), one.name) in alive]
    print(
        f"{len(sites):,} mutants of {len(trees)} files, {len(seconds):,} tests", file=sys.stderr, flush=True
    )
    if not args.again:
        sites = random.Random(args.seed).sample(sites, min(args.sample, len(sites)))
    running: dict[int, tuple[Path, Mutant, int]] = {}
    tried: list[Tried] = []

    def wait() -> None:
        child, status = os.wait()
        path, one, count = running.pop(child)
        tried.append(Tried(path.as_posix(), one.name, outcome(status), count))
        if tried[-1].outcome == "survived":
            print(f"{len(tried)}: {path}:{one.name}", file=sys.stderr, flush=True)

    # Whoever has seen enough may stop it and keep what was tried: a sample's beginning is a sample.
    with contextlib.suppress(KeyboardInterrupt):
        for path, one in sites:
            found = covering(lines[path], one, set(seconds))
            tests = sorted((test for test in found if seconds[test] <= args.slowest), key=seconds.__getitem__)
            if not tests:
                tried.append(Tried(path.as_posix(), one.name, "not run", 0))
                continue
            while len(running) >= args.jobs:
                wait()
            limit = 20 + 3 * sum(seconds[test] for test in tests)
            running[attempt(path, trees[path], one, tests, limit)] = (path, one, len(tests))
        while running:
            wait()
    return sorted(tried, key=lambda one: (one.file, one.mutant))


def table(tried: Sequence[Tried]) -> Iterator[str]:
    """A row a kind of mistake and one for all; then what survived."""
    outcomes = ("caught", "out of time", "survived", "not run")
    kinds = Counter((one.mutant.split()[1], one.outcome) for one in tried)
    yield f"{'':10}" + "".join(f"{name:>13}" for name in outcomes) + f"{'score':>8}"
    for kind in (*sorted({kind for kind, _ in kinds}), "all"):
        row = [
            sum(n for (of, how), n in kinds.items() if kind in (of, "all") and how == name)
            for name in outcomes
        ]
        yield f"{kind:10}" + "".join(f"{n:13}" for n in row) + f"{(row[0] + row[1]) / sum(row):8.1%}"
    for one in tried:
        if one.outcome in ("survived", "not run"):
            yield f"{one.file}:{one.mutant}  [{one.outcome}, {one.tests} tests]"


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("layer", choices=["text", "reading", "design", "device", "mapping", "rules"])
    parser.add_argument("--sample", type=int, default=400, help="mutants tried")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--slowest", type=float, default=5, help="seconds of the slowest test that is run")
    parser.add_argument("--jobs", type=int, default=1, help="mutants at a time")
    parser.add_argument("--json", type=Path, help="write every mutant tried and its outcome")
    parser.add_argument("--again", type=Path, help="try what survived in this JSON")
    args: Any = parser.parse_args()
    args.json, args.again = (path and path.resolve() for path in (args.json, args.again))
    for name in WARM:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)
    with tempfile.TemporaryDirectory() as folder:
        copy = Path(folder, "copy")
        shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(*LEFT_OUT))
        os.chdir(copy)
        sys.path.insert(0, str(copy))
        tried = try_all(args, Path(folder))
        os.chdir(ROOT)
    if args.json:
        args.json.write_text(json.dumps([asdict(one) for one in tried], indent=1) + "\n", encoding="utf-8")
    print("\n".join(table(tried)))


if __name__ == "__main__":
    main()
