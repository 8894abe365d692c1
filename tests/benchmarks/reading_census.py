"""Reads every Verilog and SystemVerilog file of the installed packages that carry HDL, and counts.

    python tests/benchmarks/reading_census.py [PACKAGE…]

Prints files, units and declarations read, what was skipped and why, shapes not resolved and why (each
file elaborated by itself, every unit nobody instantiates at default parameters), the slowest files, and
each file whose modules a plain search counts differently. Exits with 1 if a file raises, takes more than
five seconds for under a megabyte, or has fewer modules than the search finds.
"""

from __future__ import annotations

import re
import sys
import time
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, fields, is_dataclass
from functools import partial
from importlib.util import find_spec
from pathlib import Path

from memlint.design.design import DesignOptions, elaborate_design
from memlint.reading.facts.expressions import Unsupported
from memlint.reading.facts.items import (
    FileFacts,
    Instance,
    Parameter,
    Port,
    Skipped,
    Subprogram,
    Typedef,
    Variable,
)
from memlint.reading.facts.statements import SkippedStatement
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.text.source import SourceText, Span, decode

PACKAGES = (
    "libsv logikbench umi vunit pythondata_cpu_blackparrot pythondata_cpu_cv32e40p "
    "pythondata_cpu_cv32e40x pythondata_cpu_cva5 pythondata_cpu_cva6 pythondata_cpu_ibex pythondata_cpu_lm32 "
    "pythondata_cpu_marocchino pythondata_cpu_microwatt pythondata_cpu_mor1kx pythondata_cpu_picorv32 "
    "pythondata_cpu_serv pythondata_cpu_vexriscv"
).split()
SUFFIXES = (".v", ".sv", ".svh", ".vh")
SLOW_SECONDS = 5.0
SMALL_BYTES = 1_000_000
_DECLARATIONS = (Variable, Port, Parameter, Typedef, Subprogram, Instance)
_NOISE = re.compile(r"//[^\n]*|/\*.*?\*/|\"(?:\\.|[^\"\\\n])*\"", re.DOTALL)
_LINE = re.compile(
    r"`(ifdef|ifndef|elsif|else|endif|define|undef)\b[ \t]*(\w*)"
    r"|\b(?:macro)?module\s+(?:automatic\s+|static\s+)?(\\\S+|\w+)"
)
_CONTINUED = re.compile(r"`define(?:\\\r?\n|[^\n])*")


@dataclass(slots=True)
class Census:
    """What was counted. `troubles` are those that fail the run, `differences` those to look at."""

    files: int = 0
    bytes: int = 0
    seconds: float = 0.0
    kinds: Counter[str] = field(default_factory=Counter)
    skipped: Counter[str] = field(default_factory=Counter)
    unresolved: Counter[str] = field(default_factory=Counter)
    memories: int = 0
    times: list[tuple[float, int, str]] = field(default_factory=list)
    troubles: list[str] = field(default_factory=list)
    differences: list[str] = field(default_factory=list)
    headers: dict[str, Path] = field(default_factory=dict)


def hdl_files(packages: Iterable[str]) -> Iterator[Path]:
    """The Verilog files of those of the packages that are installed."""
    for package in packages:
        spec = find_spec(package)
        if spec is None or not spec.submodule_search_locations:
            continue
        base = Path(next(iter(spec.submodule_search_locations)))
        yield from sorted(one for one in base.rglob("*") if one.suffix in SUFFIXES and one.is_file())


def modules_in(text: str) -> list[str]:
    """The modules a text declares by a plain search, outside comments, strings, macros' texts and branches
    that the file's own `define`s leave out."""
    plain = _NOISE.sub(lambda found: " " if found[0][0] == "/" else '""', text)
    plain = _CONTINUED.sub(lambda found: f"`define {_name(found[0])}", plain)
    defined: set[str] = set()
    branches: list[tuple[bool, bool]] = []
    found: list[str] = []
    for word, name, module in _LINE.findall(plain):
        live = all(taken for taken, _ in branches)
        match word:
            case "ifdef" | "ifndef":
                holds = (name in defined) == (word == "ifdef")
                branches.append((holds, holds))
            case "elsif" | "else" if branches:
                _, done = branches[-1]
                holds = not done and (word == "else" or name in defined)
                branches[-1] = (holds, done or holds)
            case "endif" if branches:
                branches.pop()
            case "define" if live:
                defined.add(name)
            case "undef" if live:
                defined.discard(name)
            case "" if live:
                found.append(module.removeprefix("\\"))
            case _:
                pass
    return found


def _name(define: str) -> str:
    found = re.match(r"`define\s+(\w+)", define)
    return found[1] if found else "_"


def take(census: Census, file: Path) -> None:
    """Read one file, elaborate it by itself, and count."""
    text = decode(file.read_bytes())
    started = time.perf_counter()
    try:
        facts = read_verilog(SourceText(str(file), text), MacroTable(), partial(_find, census)).facts
    except Exception as error:
        census.troubles.append(f"{file}: reading raises {error!r}")
        return
    took = time.perf_counter() - started
    census.files += 1
    census.bytes += len(text)
    census.seconds += took
    census.times.append((took, len(text), str(file)))
    if took > SLOW_SECONDS and len(text) < SMALL_BYTES:
        census.troubles.append(f"{file}: takes {took:.1f} s for {len(text):,} characters")
    _count(census, facts)
    _compare(census, file, text, facts)
    try:
        design = elaborate_design([facts], DesignOptions())
    except Exception as error:
        census.troubles.append(f"{file}: elaboration raises {error!r}")
        return
    census.memories += len(design.memories)
    census.unresolved.update(_reason(one.unresolved) for one in design.memories if one.unresolved)


def _find(census: Census, name: str, including: str) -> SourceText | None:
    """An included file: beside the including one, else any of that name among the files counted."""
    found: Path | None = Path(including).parent / name
    if found is None or not found.is_file():
        found = census.headers.get(Path(name).name)
    return SourceText(str(found), decode(found.read_bytes())) if found is not None else None


def _count(census: Census, facts: FileFacts) -> None:
    stack: list[object] = [facts.units, facts.items]
    while stack:
        node = stack.pop()
        if isinstance(node, tuple):
            stack.extend(node)
            continue
        if isinstance(node, _DECLARATIONS):
            census.kinds[type(node).__name__.lower()] += 1
        elif isinstance(node, Skipped | SkippedStatement | Unsupported):
            census.skipped[_reason(node.what)] += 1
        if is_dataclass(node) and not isinstance(node, Span):
            stack.extend(getattr(node, one.name) for one in fields(node))
    census.kinds.update(unit.kind for unit in facts.units)


def _compare(census: Census, file: Path, text: str, facts: FileFacts) -> None:
    ours = Counter(
        unit.name.removeprefix("\\")
        for unit in facts.units
        if unit.kind == "module" and unit.span.file == str(file)
    )
    searched = Counter(modules_in(text))
    for name in searched - ours:
        census.differences.append(f"{file}: module {name} is found by the search only")
    for name in ours - searched:
        census.differences.append(f"{file}: module {name} is read only")


def _reason(text: str) -> str:
    """A reason without the names in it, so that like counts with like."""
    head, rest = (text.split(" ", 1)[0], text[len(text.split(" ", 1)[0]) :]) if text[0] == "`" else ("", text)
    return head + re.sub(r"`[^`\s]+`?|\b\d[\d,]*\b", "…", rest)


def report(census: Census) -> None:
    print(f"{census.files:,} files, {census.bytes / 1e6:.1f} MB, read in {census.seconds:.1f} s")
    for kind, count in sorted(census.kinds.items()):
        print(f"  {count:9,}  {kind}")
    print(f"skipped: {sum(census.skipped.values()):,}")
    for reason, count in census.skipped.most_common(40):
        print(f"  {count:9,}  {reason}")
    unresolved = sum(census.unresolved.values())
    print(f"memories, each file by itself: {census.memories:,}; unresolved: {unresolved:,}")
    for reason, count in census.unresolved.most_common(40):
        print(f"  {count:9,}  {reason}")
    print("slowest:")
    for took, size, file in sorted(census.times, reverse=True)[:8]:
        print(f"  {took:6.2f} s  {size / 1e6:6.2f} MB  {file}")
    for title, lines in (("differences", census.differences), ("TROUBLE", census.troubles)):
        print(f"{title}: {len(lines)}")
        for line in lines:
            print(f"  {line}")


def main(arguments: list[str]) -> int:
    census = Census()
    files = list(hdl_files(arguments or PACKAGES))
    census.headers.update((file.name, file) for file in reversed(files))
    for file in files:
        take(census, file)
    report(census)
    return 1 if census.troubles else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
