"""What an edit costs in projects of 30, 300 and 3,000 files, against judging the whole project.

    python tests/benchmarks/engine_edits.py [--files 30 300 3000] [--edits 40] [--long] [--json FILE]

Each project has one memory a file, a package that every file uses, and groups of thirty files under one
unit each. Edited is one file at the bottom: a number, a comment above the module, a line in it. `--long`
edits one file of 10,000 lines instead. Times are processor time of this process; the ratio is within one run.
As in the server, what was there after the first judgement is out of the searches for unreachable objects.
"""

from __future__ import annotations

import argparse
import gc
import json
import random
import statistics
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from memlint.design.design import Design, Elaboration
from memlint.engine.engine import Engine
from memlint.engine.settings import Settings
from memlint.reading.facts.items import FileFacts

LEAF = """// One lane of the sorter.
module lane_{n} import sorter_pkg::*; #(parameter int WORDS = {words}, parameter int WIDTH = 40) (
  input  logic clk, rst, we,
  input  logic [15:0] wa, ra,
  input  logic [WIDTH-1:0] d,
  output logic [WIDTH-1:0] q
);
  // @mem in {tier}
  logic [WIDTH-1:0] line [0:WORDS-1];
  logic [7:0] count;
  always_ff @(posedge clk) begin
    if (we) line[wa] <= d;
    q <= line[ra];
  end
  always_ff @(posedge clk) begin
    if (rst) count <= '0;
    else if (we) count <= count + STEP;
  end
{filler}endmodule
"""
FILLER = """  logic [15:0] part_{k};
  always_ff @(posedge clk) begin
    if (rst) part_{k} <= '0;
    else if (we && count > {k}) part_{k} <= part_{k} + d[15:0];
  end
"""


def project(files: int, lines: int = 0) -> dict[str, str]:
    """The texts of a project; with `lines` all units of a group are in one file of about so many lines."""
    texts = {"rtl/pkg.sv": "package sorter_pkg;\n  parameter int STEP = 1;\nendpackage\n"}
    groups: list[str] = []
    filler = "".join(FILLER.format(k=k) for k in range(46)) if lines else ""
    for first in range(0, files, 30):
        group = f"group_{first // 30}"
        groups.append(group)
        instances = []
        for n in range(first, min(first + 30, files)):
            # So many that the device holds them: what is over budget is not what an edit costs.
            words, tier = (8192, "bulk") if n % 60 == 0 else (512, "block") if n % 15 == 1 else (6, "registers")
            text = LEAF.format(n=n, words=words, tier=tier, filler=filler)
            name = "rtl/long.sv" if lines else f"rtl/lane_{n}.sv"
            texts[name] = texts.get(name, "") + text
            instances.append(
                f"  lane_{n} u_{n} (.clk(clk), .rst(rst), .we(we), .wa(wa), .ra(ra), .d(d), .q());\n"
            )
        ports = "input logic clk, rst, we, input logic [15:0] wa, ra, input logic [39:0] d"
        texts[f"rtl/{group}.sv"] = f"module {group} ({ports});\n{''.join(instances)}endmodule\n"
    body = "".join(f"  {one} u_{one} (.*);\n" for one in groups)
    texts["rtl/top.sv"] = (
        f"module top (input logic clk, rst, we, input logic [15:0] wa, ra, input logic [39:0] d);\n{body}endmodule\n"
    )
    return texts


def edits(text: str, count: int, pick: random.Random) -> list[str]:
    """Texts as somebody would type them, each one edit from the original."""
    found = []
    modules = [at for at in range(len(text)) if text.startswith("  logic [7:0] count;", at)]
    for n in range(count):
        at = pick.choice(modules)
        match n % 3:
            case 0:
                found.append(f"{text[:at]}  // remark {n}\n{text[at:]}")
            case 1:
                found.append(f"{text[:at]}  logic extra_{n}; assign extra_{n} = we;\n{text[at:]}")
            case _:
                words = text.rindex("WORDS = ", 0, at) + 8
                end = text.index(",", words)
                found.append(f"{text[:words]}{int(text[words:end]) + n % 7}{text[end:]}")
    return found


class Clock:
    """Measures the time that elaborating takes."""

    def __init__(self) -> None:
        self.spent = 0.0
        update = Elaboration.update

        def timed(elaboration: Elaboration, files: Sequence[FileFacts]) -> Design:
            began = time.process_time()
            design = update(elaboration, files)
            self.spent = time.process_time() - began
            return design

        Elaboration.update = timed  # type: ignore[method-assign]


def measure(files: int, count: int, lines: int) -> dict[str, object]:
    texts = project(files, lines)
    settings = Settings(root="/nonexistent", device="sorter-m", sources=("rtl/*.sv",), top=("top",))
    name = "rtl/long.sv" if lines else f"rtl/lane_{files // 2}.sv"
    began = time.process_time()
    engine = Engine(settings, dict(texts))
    engine.judge()
    first = time.process_time() - began
    engine.keep_files()
    engine.judge()
    gc.unfreeze()
    gc.collect()
    gc.freeze()
    clock = Clock()
    phases: dict[str, list[float]] = {"read": [], "elaborate": [], "judge": [], "all": []}
    for text in edits(texts[name], count, random.Random(files)):
        engine.set_text(name, text)
        began = time.process_time()
        clock.spent = 0.0
        engine.facts()
        read = time.process_time()
        engine.judge()
        ended = time.process_time()
        phases["read"].append(read - began)
        phases["elaborate"].append(clock.spent)
        phases["judge"].append(ended - read - clock.spent)
        phases["all"].append(ended - began)
        # Typing goes on from where it is: the next edit is one from this text again.
        engine.set_text(name, texts[name])
        engine.judge()
    whole = []
    for _ in range(1 if files > 300 else 3):
        fresh = Engine(settings, dict(texts), device=engine.device)
        fresh.facts()
        began = time.process_time()
        fresh.judge()
        whole.append(time.process_time() - began)
    shown = {phase: [round(1000 * one, 2) for one in spread(times)] for phase, times in phases.items()}
    median = statistics.median(phases["all"])
    return {
        "files": len(texts),
        "lines": sum(text.count("\n") for text in texts.values()),
        "first_ms": round(1000 * first, 1),
        "edit_ms": shown,
        "without_reading_ms": round(1000 * statistics.median(whole), 1),
        "ratio": round(statistics.median(whole) / median, 1),
    }


def spread(times: list[float]) -> tuple[float, float]:
    """The median and the 95th of a hundred."""
    ordered = sorted(times)
    return statistics.median(ordered), ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, nargs="+", default=[30, 300, 3000])
    parser.add_argument("--edits", type=int, default=40)
    parser.add_argument("--long", action="store_true", help="one file of 10,000 lines")
    parser.add_argument("--json", type=Path)
    args = parser.parse_args()
    found = [measure(40, args.edits, 1)] if args.long else [measure(one, args.edits, 0) for one in args.files]
    print(f"{'files':>6} {'lines':>7} {'first':>9} {'read':>13} {'elaborate':>13} {'judge':>13} {'edit':>15} ratio")
    for one in found:
        edit = one["edit_ms"]
        assert isinstance(edit, dict)
        cells = " ".join(f"{median:6.2f}/{late:6.2f}" for median, late in edit.values())
        print(f"{one['files']:>6} {one['lines']:>7} {one['first_ms']:>7} ms {cells} ms {one['ratio']:>5}")
    print("times in ms, median / 95th of a hundred; ratio: all but reading once from nothing over one edit")
    if args.json:
        args.json.write_text(json.dumps(found, indent=2) + "\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
