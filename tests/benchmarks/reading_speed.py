"""Reading whole packages beside a full compiler's parser: both take each file in turn, in one process.

    python tests/benchmarks/reading_speed.py [PACKAGE…]

Prints, for each package and all of them, megabytes a second, and how many times longer reading takes than
pyslang needs to parse the same texts. Included files are given to neither. Hand-written files only: those
of packages that carry generated cores are left out, and files of over 100 kB.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path

import pyslang

from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.text.source import SourceText, decode

PACKAGES = (
    "libsv logikbench umi pythondata_cpu_blackparrot pythondata_cpu_cv32e40p pythondata_cpu_cva5 "
    "pythondata_cpu_cva6 pythondata_cpu_ibex pythondata_cpu_marocchino pythondata_cpu_mor1kx "
    "pythondata_cpu_picorv32 pythondata_cpu_serv"
).split()
SUFFIXES = (".v", ".sv", ".svh", ".vh")
LARGEST = 100_000
# In `logikbench` these folders hold what tools wrote.
GENERATED = frozenset(("epfl", "iscas85", "iscas89", "large", "koios"))


def texts(package: str) -> Iterator[tuple[str, str]]:
    """Name and text of each hand-written file of a package that is installed."""
    spec = find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        return
    base = Path(next(iter(spec.submodule_search_locations)))
    for file in sorted(base.rglob("*")):
        written = not GENERATED.intersection(file.relative_to(base).parts)
        if file.suffix in SUFFIXES and file.is_file() and written and file.stat().st_size <= LARGEST:
            yield str(file), decode(file.read_bytes())


def ours(name: str, text: str) -> None:
    read_verilog(SourceText(name, text), MacroTable(), lambda _name, _including: None)


def theirs(name: str, text: str) -> None:
    pyslang.syntax.SyntaxTree.fromText(text, name)


def seconds(read: Callable[[str, str], None], name: str, text: str) -> float:
    started = time.process_time()
    read(name, text)
    return time.process_time() - started


def main(packages: list[str]) -> None:
    ours("warm.sv", "module warm(input logic [3:0] a, output logic q); assign q = a[0] + {1'b1}; endmodule")
    total_bytes, total_ours, total_theirs = 0, 0.0, 0.0
    for package in packages or PACKAGES:
        size, mine, reference = 0, 0.0, 0.0
        for name, text in texts(package):
            size += len(text)
            reference += seconds(theirs, name, text)
            mine += seconds(ours, name, text)
        if size:
            show(package, size, mine, reference)
        total_bytes, total_ours, total_theirs = total_bytes + size, total_ours + mine, total_theirs + reference
    show("all", total_bytes, total_ours, total_theirs)


def show(what: str, size: int, mine: float, reference: float) -> None:
    print(
        f"{what:28} {size / 1e6:7.2f} MB  reading {size / 1e6 / mine:6.2f} MB/s  "
        f"pyslang {size / 1e6 / reference:6.1f} MB/s  {mine / reference:6.1f} times",
        flush=True,
    )


if __name__ == "__main__":
    main(sys.argv[1:])
