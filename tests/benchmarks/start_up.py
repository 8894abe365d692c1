"""What `memlint check` of one small file takes beside `python -c pass`, each as a process of its own.

    python tests/benchmarks/start_up.py [--repeat 15]

Times are processor time, the least of the repeats. `warm` is answered by the cache, `cold` is not;
`modules` are those imported beyond what `python -c pass` imports.
"""

from __future__ import annotations

import argparse
import resource
import subprocess
import sys
import tempfile
from pathlib import Path

SOURCE = """\
module grain_lines(input clk, input [7:0] a, d, output reg [7:0] q);
    reg [7:0] lines [0:255];
    always @(posedge clk) begin
        lines[a] <= d;
        q <= lines[a];
    end
endmodule
"""


def seconds(command: list[str], folder: str, repeat: int) -> float:
    """The least processor time of so many runs."""
    found = []
    for _ in range(repeat):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        subprocess.run(command, cwd=folder, capture_output=True, check=True)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        found.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(found)


def modules(arguments: list[str], folder: str) -> int:
    """How many modules a process imports."""
    ran = subprocess.run([sys.executable, "-X", "importtime", *arguments], cwd=folder, capture_output=True, text=True)
    return sum(line.startswith("import time:") for line in ran.stderr.splitlines())


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--repeat", type=int, default=15)
    args = parser.parse_args()
    with tempfile.TemporaryDirectory() as work:
        Path(work, "lines.sv").write_text(SOURCE)
        check = ["-m", "memlint", "check", "lines.sv"]
        warm = [*check, "--cache-dir", f"{work}/cache"]
        seconds([sys.executable, *warm], work, 1)
        nothing = seconds([sys.executable, "-c", "pass"], work, args.repeat)
        least = modules(["-c", "pass"], work)
        print(f"{'':8} {'ms':>7} {'ratio':>6} {'modules':>8}")
        print(f"{'pass':8} {nothing * 1000:7.1f} {1:6.1f} {0:8}")
        for name, arguments in (("cold", [*check, "--no-cache"]), ("warm", warm)):
            taken = seconds([sys.executable, *arguments], work, args.repeat)
            print(f"{name:8} {taken * 1000:7.1f} {taken / nothing:6.1f} {modules(arguments, work) - least:8}")


if __name__ == "__main__":
    main()
