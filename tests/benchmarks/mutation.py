"""How well the tests of a layer hold it: the branches they run, and the small mistakes they notice. Run:

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
import json
import os
import random
import shutil
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, Final

from mutant_runs import measured, outcome, started
from mutants import Mutant, mutants

ROOT: Final = Path(__file__).resolve().parents[2]
LEFT_OUT: Final = (".git", ".venv*", "node_modules", "__pycache__", ".*_cache", ".hypothesis")
WARM: Final = ("lark", "pydantic", "highspy", "hypothesis.strategies", "pytest_asyncio", "pytest_lsp")
"""Imported before any mutant, where they are installed, so that each need not."""

CAUGHT: Final = ("caught", "out of time")
ALIVE: Final = ("survived", "not run")


@dataclass(frozen=True, slots=True)
class Tried:
    """A mutant, what became of it (one of `CAUGHT` or `ALIVE`), and the tests it was given."""

    file: str
    mutant: str
    outcome: str
    tests: int


def covering(lines: dict[int, list[str]], one: Mutant, everything: set[str]) -> set[str]:
    """Tests that ran the changed lines; else those of its statement; at import, all that ran the file, or all."""
    for first, last in (one.lines, one.statement):
        found = {test for line in range(first, last + 1) for test in lines.get(line, ())}
        if found - {""}:
            return found - {""}
        if found:
            return {test for tests in lines.values() for test in tests} - {""} or everything
    return set()


def changed(path: Path, tree: ast.Module, one: Mutant) -> Any:
    """The code of the file with the mistake in it."""
    undo = one.put()
    try:
        return compile(ast.fix_missing_locations(tree), str(path), "exec", dont_inherit=True)
    finally:
        undo()


def try_all(args: argparse.Namespace, folder: Path) -> list[Tried]:
    first = measured(args.layer, folder)
    seconds = first.seconds
    share = first.branches / max(1, first.of_branches)
    print(f"branches run: {first.branches:,} of {first.of_branches:,}, {share:.1%}", flush=True)
    files = sorted(Path("memlint", args.layer).rglob("*.py"))
    trees = {path: ast.parse(path.read_text(encoding="utf-8")) for path in files}
    lines = {path: first.data.contexts_by_lineno(str(path.resolve())) for path in files}
    sites = [(path, one) for path, tree in trees.items() for one in mutants(tree)]
    print(
        f"{len(sites):,} mutants of {len(files)} files, {len(seconds):,} tests", file=sys.stderr, flush=True
    )
    if args.again:
        earlier = json.loads(args.again.read_text(encoding="utf-8"))
        alive = {(one["file"], one["mutant"]) for one in earlier if one["outcome"] in ALIVE}
        sites = [(path, one) for path, one in sites if (path.as_posix(), one.name) in alive]
    else:
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
            limit = 10 + 2 * sum(seconds[test] for test in tests)
            child = started(path, changed(path, trees[path], one), tests, limit)
            running[child] = (path, one, len(tests))
        while running:
            wait()
    return sorted(tried, key=lambda one: (one.file, one.mutant))


def table(tried: Sequence[Tried]) -> Iterator[str]:
    """A row a kind of mistake and one for all; then what survived."""
    outcomes = (*CAUGHT, *ALIVE)
    kinds = Counter((one.mutant.split()[1], one.outcome) for one in tried)
    yield f"{'':10}" + "".join(f"{name:>13}" for name in outcomes) + f"{'score':>8}"
    for kind in (*sorted({kind for kind, _ in kinds}), "all"):
        row = [
            sum(n for (of, how), n in kinds.items() if kind in (of, "all") and how == name)
            for name in outcomes
        ]
        score = (row[0] + row[1]) / max(1, sum(row))
        yield f"{kind:10}" + "".join(f"{n:13}" for n in row) + f"{score:8.1%}"
    for one in tried:
        if one.outcome in ALIVE:
            yield f"{one.file}:{one.mutant}  [{one.outcome}, {one.tests} tests]"


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("layer", choices=["text", "reading", "design", "device", "mapping", "rules"])
    parser.add_argument("--sample", type=int, default=400, help="mutants tried")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--slowest", type=float, default=1, help="seconds of the slowest test that is run")
    parser.add_argument("--jobs", type=int, default=1, help="mutants at a time")
    parser.add_argument("--json", type=lambda name: Path(name).resolve(), help="write every mutant's outcome")
    parser.add_argument("--again", type=lambda name: Path(name).resolve(), help="try what survived in this")
    args = parser.parse_args()
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
