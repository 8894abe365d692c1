"""A long session: random edits of the demo project at an even pace, and what the server takes meanwhile.

    python tests/benchmarks/server_hour.py [--minutes 60] [--rate 20] [--seed 1] [--every 60]

After every edit something is asked: hints, a hover, a completion, lenses, tokens, actions or symbols, in turn.
Every so many seconds the server's memory, threads, open files and child processes are looked at (Linux, /proc),
and what it says of the texts as they are then is compared with an analysis that begins from nothing.

Prints JSON: `samples`, `growth_mib` (memory between the first and the last quarter of them, by median),
`most_children`, `answer_ms` by method, `refused` answers by code, `differences`. Ends with 1 if anything
differs, was never answered, or left a child process at the end.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import statistics
import sys
import tempfile
import time
from collections import Counter, defaultdict
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1] / "server"))

from random_edits import Edits, Text, position
from raw_server import RawServer, serving

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"
MIB = 1024 * 1024
METHODS = (
    "inlayHint", "hover", "completion", "codeLens", "semanticTokens/full", "codeAction", "documentSymbol"
)  # fmt: skip


def status(process: int) -> dict[str, float]:
    """What a process takes now (proc(5)): resident memory, threads, open files, child processes."""
    root = Path(f"/proc/{process}")
    lines = dict(line.split(":", 1) for line in (root / "status").read_text().splitlines())
    children = [one.read_text().split() for one in root.glob("task/*/children")]
    return {
        "rss_mib": round(int(lines["VmRSS"].split()[0]) * 1024 / MIB, 1),
        "threads": int(lines["Threads"]),
        "files": len(list((root / "fd").iterdir())),
        "children": sum(map(len, children)),
    }


@dataclass
class Questions:
    """What was asked, when, and how it was answered."""

    server: RawServer
    random: random.Random
    open: dict[str, tuple[str, float]] = field(default_factory=dict)
    took: dict[str, list[float]] = field(default_factory=lambda: defaultdict(list))
    refused: Counter[int] = field(default_factory=Counter)
    asked: int = 0

    def ask(self, one: Text) -> None:
        """The next question, about a place in a text."""
        method = METHODS[self.asked % len(METHODS)]
        self.asked += 1
        at = position(one.text, self.random.randint(0, len(one.text)))
        place = {"start": at, "end": at}
        more: dict[str, Any] = {}
        if method in ("hover", "completion"):
            more = {"position": at}
        elif method == "inlayHint":
            more = {"range": {"start": {"line": 0, "character": 0}, "end": {"line": 10**6, "character": 0}}}
        elif method == "codeAction":
            more = {"range": place, "context": {"diagnostics": []}}
        identity = f"q{self.asked}"
        self.open[identity] = (method, time.monotonic())
        self.server.send(f"textDocument/{method}", {"textDocument": {"uri": one.uri}, **more}, id=identity)

    def hear(self, edits: Edits) -> None:
        """Takes down what has come, and answers what the server asks."""
        for message in self.server.waiting():
            self.take(message)
            if message.get("method") == "textDocument/publishDiagnostics":
                edits.said[message["params"]["uri"]] = message["params"]["diagnostics"]

    def take(self, message: dict[str, Any]) -> None:
        if "method" in message or message.get("id") not in self.open:
            return
        method, since = self.open.pop(message["id"])
        self.took[method].append(1000 * (time.monotonic() - since))
        if "error" in message:
            self.refused[message["error"]["code"]] += 1

    def times(self) -> dict[str, dict[str, float]]:
        return {
            method: {
                "count": len(took),
                "median": round(statistics.median(took), 1),
                "p99": round(sorted(took)[int(0.99 * (len(took) - 1))], 1),
                "most": round(max(took), 1),
            }
            for method, took in sorted(self.took.items())
        }


def quiet(questions: Questions, edits: Edits) -> None:
    """Waits until everything that was asked is answered, for a minute at most."""
    end = time.monotonic() + 60
    while questions.open and time.monotonic() < end:
        time.sleep(0.02)
        questions.hear(edits)


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--rate", type=float, default=20, help="edits a second")
    parser.add_argument("--every", type=float, default=60, help="seconds from sample to sample")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    choices = random.Random(args.seed)
    samples: list[dict[str, float]] = []
    differences: list[str] = []
    with tempfile.TemporaryDirectory() as folder, serving() as server:
        root = Path(folder) / "sorter"
        shutil.copytree(SORTER, root)
        edits, questions = Edits(server, root / "memlint.toml", choices), Questions(server, choices)
        edits.begin(sorted(path for path in root.glob("rtl/*") if path.suffix in (".sv", ".vhd")))
        began = time.monotonic()
        paused, sampled = 0.0, 0.0
        while (at := time.monotonic() - began - paused) < 60 * args.minutes:
            edits.edit()
            questions.ask(choices.choice(edits.texts))
            questions.hear(edits)
            if at - sampled >= args.every:
                sampled, stopped = at, time.monotonic()
                quiet(questions, edits)
                found = list(edits.differences())
                differences += found
                samples.append({"minute": round(at / 60, 2), **status(server.process.pid)})
                print(json.dumps({**samples[-1], "differences": len(found)}), file=sys.stderr, flush=True)
                paused += time.monotonic() - stopped
            # One edit after the other, however long the last took: what is late is not made up for.
            time.sleep(1 / args.rate)
        quiet(questions, edits)
        end = status(server.process.pid)
        lost = len(questions.open)
        minutes = (time.monotonic() - began - paused) / 60
    sizes = [one["rss_mib"] for one in samples]
    quarter = max(1, len(sizes) // 4)
    print(
        json.dumps(
            {
                "minutes": round(minutes, 2),
                "edits": sum(edits.done.values()),
                "edits_by_kind": edits.done,
                "edits_a_second": round(sum(edits.done.values()) / (60 * minutes), 1),
                "samples": samples,
                "end": end,
                "growth_mib": round(
                    statistics.median(sizes[-quarter:]) - statistics.median(sizes[:quarter]), 1
                )
                if sizes
                else None,
                "most_children": max((one["children"] for one in [*samples, end]), default=0),
                "answer_ms": questions.times(),
                "refused": {str(code): count for code, count in sorted(questions.refused.items())},
                "never_answered": lost,
                "compared": edits.judged,
                "differences": differences,
                "seed": args.seed,
            },
            indent=2,
        )
    )
    return 1 if differences or lost or end["children"] else 0


if __name__ == "__main__":
    raise SystemExit(main())
