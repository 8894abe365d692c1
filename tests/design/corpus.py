"""Samples with their expected memories marked inside, for Verilog, SystemVerilog and VHDL alike."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from memlint.design.design import Design, DesignOptions, elaborate_design
from memlint.design.sharing import counts
from memlint.reading.facts.items import FileFacts
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.text.source import SourceText

SAMPLES = Path(__file__).parents[1] / "samples"
# `--` opens a comment in VHDL, `//` elsewhere.
_EXPECT = re.compile(r"^\s*(?://|--) expect: (\S+) (.*?)\s*$", re.MULTILINE)
_EXPECT_NOT = re.compile(r"^\s*(?://|--) expect-not: (\S+)", re.MULTILINE)
_TOP = re.compile(r"^(?://|--) top: (\w+)", re.MULTILINE)


@dataclass(frozen=True, slots=True)
class Sample:
    """One sample: its text, the memories it must give (path → description), the arrays that are none."""

    path: Path
    text: str
    expected: dict[str, str]
    none: tuple[str, ...]
    top: str | None

    @property
    def name(self) -> str:
        return self.path.name


def samples(folder: str) -> Iterator[Sample]:
    """All samples of a folder below tests/samples."""
    for path in sorted((SAMPLES / folder).glob("*.*")):
        if path.suffix not in (".v", ".sv", ".vhd"):
            continue
        text = path.read_text(encoding="utf-8")
        top = _TOP.search(text)
        yield Sample(
            path,
            text,
            dict(_EXPECT.findall(text)),
            tuple(_EXPECT_NOT.findall(text)),
            top[1] if top else None,
        )


def read(sample: Sample) -> FileFacts:
    """The facts of a sample, includes taken from beside it or from `include/`."""
    source = SourceText(sample.name, sample.text)
    if sample.path.suffix == ".vhd":
        from memlint.reading.vhdl.read import read_vhdl

        return read_vhdl(source)

    def find(name: str, _including: str) -> SourceText | None:
        for base in (sample.path.parent, sample.path.parent / "include"):
            if (base / name).is_file():
                return SourceText(name, (base / name).read_text(encoding="utf-8"))
        return None

    return read_verilog(source, MacroTable(), find).facts


def elaborated(sample: Sample, facts: FileFacts) -> Design:
    """The design below a sample's top: named on its first line, else the last unit of the file."""
    tops = [unit.name for unit in facts.units if unit.kind in ("module", "entity")]
    return elaborate_design([facts], DesignOptions(tops=(sample.top or tops[-1],)))


def described(design: Design) -> dict[str, str]:
    """Each memory in the words of an `expect` comment."""
    found: dict[str, str] = {}
    for memory in design.memories:
        ports = counts(memory.ports)
        shown = "".join(f"{ports[kind]}{kind}" for kind in ("w", "r", "rw") if ports[kind]) or "0"
        clocks = ",".join(sorted({clock.net for clock in memory.clocks})) or "-"
        found[memory.path] = (
            f"{memory.depth}x{memory.width} banks={memory.banks} ports={shown} "
            f"clocks={clocks} read={memory.read}"
        )
    return found
