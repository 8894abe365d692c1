"""Random edits of the demo project in a running server, compared after each burst with a start from nothing.

    python tests/benchmarks/server_edits.py [--edits 20000] [--burst 20] [--seed 1]

Every 50th burst is compared with a fresh `memlint check` of the same texts as well. Prints what differs and
ends with 1 if anything does.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "server"))

from random_edits import Edits
from raw_server import serving

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--edits", type=int, default=20_000)
    parser.add_argument("--burst", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    wrong = bursts = 0
    began = time.monotonic()
    with tempfile.TemporaryDirectory() as folder, serving() as server:
        root, copy = Path(folder) / "sorter", Path(folder) / "copy"
        shutil.copytree(SORTER, root)
        shutil.copytree(SORTER, copy)
        edits = Edits(server, root / "memlint.toml", random.Random(args.seed))
        edits.begin(sorted(path for path in root.glob("rtl/*") if path.suffix in (".sv", ".vhd")))
        while sum(edits.done.values()) < args.edits:
            for _ in range(args.burst):
                edits.edit()
            bursts, judged = bursts + 1, edits.judged
            found = list(edits.differences())
            if bursts % 50 == 0 and edits.judged > judged:
                found += edits.differences_from_a_process(copy)
            wrong += len(found)
            for one in found:
                print(f"burst {bursts}: {one}", flush=True)
    kinds = ", ".join(f"{count:,} x {kind}" for kind, count in sorted(edits.done.items()))
    print(
        f"{sum(edits.done.values()):,} edits ({kinds}) in {bursts:,} bursts, {edits.judged:,} of them judged: {wrong} differences, "
        f"{time.monotonic() - began:.0f} s, seed {args.seed}"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
