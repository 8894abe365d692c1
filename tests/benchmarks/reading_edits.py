"""What an edit costs in a long file: reading all of it again, and reading again what the edit lies in.

    python tests/benchmarks/reading_edits.py [PACKAGE]

Joins the package's files to one of about 10,000 lines and 40 units or more, and types a character, a line and
a comment in a unit at its start, middle and end, each several times over. Prints milliseconds of processor
time, and the time that asking for everything the moved units hold takes on top, were anybody to ask for it.
"""

from __future__ import annotations

import statistics
import sys
import time

from reading_speed import texts

from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.reading.verilog.reread import reread_verilog
from memlint.text.source import SourceText

LINES = 10_000
ROUNDS = 7
TYPED = {"a character": "x", "a line": "\n  assign spare = ready;", "a comment": " // @mem in block\n"}


def joined(package: str) -> str:
    """About 10,000 lines of the package's files that need nothing from the lines before them."""
    kept: list[str] = []
    lines = 0
    for _name, text in texts(package):
        if lines < LINES and "`" not in text and text.count("endmodule") == 1 and text.count("\n") < 600:
            kept.append(text)
            lines += text.count("\n")
    return "\n".join(kept)


def main(package: str) -> None:
    text = joined(package)
    source = SourceText("joined.sv", text)
    macros = MacroTable()
    full: list[float] = []
    for _ in range(ROUNDS):
        started = time.process_time()
        before = read_verilog(source, macros, lambda *_: None)
        full.append(time.process_time() - started)
    units = [one for one in before.facts.units if one.kind == "module"]
    lines = text.count("\n") + 1
    print(f"{lines:,} lines, {len(text):,} characters, {len(before.facts.units)} units")
    print(f"whole file: {statistics.median(full) * 1000:.1f} ms")
    for where, unit in (("first", units[0]), ("middle", units[len(units) // 2]), ("last", units[-1])):
        place = text.index(";", unit.span.end) + 1
        for what, typed in TYPED.items():
            changed = SourceText("joined.sv", text[:place] + typed + text[place:])
            taken: list[float] = []
            asked: list[float] = []
            for _ in range(ROUNDS):
                started = time.process_time()
                after = reread_verilog(text, before, changed, macros, lambda *_: None)
                taken.append(time.process_time() - started)
                started = time.process_time()
                for one in after.facts.units:
                    _ = one.parameters, one.ports, one.items, one.intents
                asked.append(time.process_time() - started)
            print(
                f"{where:6} unit, {what:12} {statistics.median(taken) * 1000:6.2f} ms, longest "
                f"{max(taken) * 1000:.2f}; all that moved: {statistics.median(asked) * 1000:.1f} ms"
            )


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "pythondata_cpu_cva6")
