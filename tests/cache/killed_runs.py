"""Runs that are killed at any moment, and what the next run says. `python tests/cache/killed_runs.py 200`."""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import time
from pathlib import Path

COMMAND = [sys.executable, "-m", "memlint", "check"]


def killed_runs(folder: Path, count: int, seed: int, right: tuple[int, str, str]) -> int:
    """Kill `count` runs, each at a moment chosen from `seed`; each time the next says what is right.

    Returns how many were killed before they ended by themselves.
    """
    chosen = random.Random(seed)
    started = time.perf_counter()
    _run(folder)
    longest = time.perf_counter() - started
    killed = 0
    for at in range(count):
        # Another comment each time, so that the run has something to keep.
        source = folder / "rtl" / "lines.sv"
        source.write_text(f"{source.read_text().rstrip()}\n// {at}\n")
        process = subprocess.Popen(COMMAND, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        try:
            # The last part is where it writes.
            process.wait(longest * (chosen.random() if at % 2 else 0.7 + 0.4 * chosen.random()))
        except subprocess.TimeoutExpired:
            process.kill()
            killed += 1
        process.wait()
        assert _run(folder) == right
    return killed


WRITER = """
import sys
from memlint.engine.cache.store import Store
store = Store(sys.argv[1])
print(flush=True)
at = 0
while True:
    at += 1
    store.put(b"%d" % (at % 5), b"%d " % (at % 5) * 200_000)
"""


def killed_writers(folder: Path, count: int, seed: int) -> int:
    """Kill `count` processes that write entries without an end; every entry that is there is whole.

    Returns how many temporary files were left.
    """
    from memlint.engine.cache.store import Store

    chosen = random.Random(seed)
    for _ in range(count):
        process = subprocess.Popen([sys.executable, "-c", WRITER, str(folder)], stdout=subprocess.PIPE)
        assert process.stdout is not None
        process.stdout.readline()
        try:
            process.wait(chosen.random() * 0.02)
        except subprocess.TimeoutExpired:
            process.kill()
        process.wait()
        process.stdout.close()
        store = Store(str(folder))
        for at in range(5):
            assert store.get(b"%d" % at) in (None, b"%d " % at * 200_000)
    return len(list(folder.glob("*.tmp")))


def _run(folder: Path) -> tuple[int, str, str]:
    ran = subprocess.run(COMMAND, cwd=folder, capture_output=True, text=True)
    return ran.returncode, ran.stdout, ran.stderr


def main(count: int) -> None:
    from runs import project

    with tempfile.TemporaryDirectory() as name:
        os.environ |= {"XDG_CACHE_HOME": f"{name}/caches", "SORTER_RTL": "rtl"}
        folder = project(Path(name) / "sorter")
        killed = killed_runs(folder, count, 7, _run(folder))
    print(f"{count} runs, {killed} of them killed: every next run was right")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
