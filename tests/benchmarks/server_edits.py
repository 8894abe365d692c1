"""Random edits of the demo project in a running server, compared after each burst with a start from nothing.

    python tests/benchmarks/server_edits.py [--edits 20000] [--burst 20] [--seed 1]

Every 50th burst is compared with a fresh `memlint check` of the same texts as well. Prints what differs and
ends with 1 if anything does.

    python tests/benchmarks/server_edits.py --typing 1000 10000 [--edits 40]

measures instead how long it is from an edit in a file of about so many lines to its diagnostics, as an editor
sees it that watches the disk (the moment that the server waits for more to be typed, `QUIET_SECONDS`, is part
of it), and the server's memory after the first and the last edit. Prints JSON.
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
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "server"))

from engine_edits import edits, project
from random_edits import Edits
from raw_server import serving
from server_hour import status

from memlint.server.project import QUIET_SECONDS

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"


def typing(lines: int, count: int) -> dict[str, object]:
    """Edits of a long file, each after the diagnostics of the one before."""
    texts = project(max(1, lines // 250), 1)
    # A finding on the last line, so that every edit that moves it is told of.
    texts["rtl/long.sv"] += "module last; // @mem frobnicate\nendmodule\n"
    with tempfile.TemporaryDirectory() as folder, serving() as server:
        root = Path(folder).resolve()
        (root / "rtl").mkdir()
        for name, text in texts.items():
            (root / name).write_text(text)
        (root / "memlint.toml").write_text('device = "sorter-m"\nsources = ["rtl/*.sv"]\ntop = "top"\n')
        watched = {"workspace": {"didChangeWatchedFiles": {"dynamicRegistration": True}}}
        shown = [{"uri": root.as_uri(), "name": "sorter"}]
        server.send(
            "initialize", {"processId": None, "capabilities": watched, "workspaceFolders": shown}, id="first"
        )
        server.answer("first")
        server.send("initialized", {})
        asked = server.next(lambda message: message.get("method") == "client/registerCapability")
        server.send_body(json.dumps({"jsonrpc": "2.0", "id": asked["id"], "result": None}).encode())
        uri, text = (root / "rtl/long.sv").as_uri(), texts["rtl/long.sv"]

        def diagnosed(version: int) -> None:
            server.next(
                lambda message: message.get("method") == "textDocument/publishDiagnostics"
                and message["params"]["uri"] == uri
                and message["params"].get("version") == version
            )

        server.open(uri, text)
        diagnosed(1)
        times: list[float] = []
        memory: list[float] = []
        # An edit that changes no line behind it moves no finding: nothing would be told.
        wanted = [one for one in edits(text, 2 * count, random.Random(lines)) if len(one) > len(text) + 1]
        for number, changed in enumerate(wanted[:count]):
            for version, old, new in ((2 * number + 2, text, changed), (2 * number + 3, changed, text)):
                changes = [_change(old, new)]
                began = time.perf_counter()
                identity = {"uri": uri, "version": version}
                server.send("textDocument/didChange", {"textDocument": identity, "contentChanges": changes})
                diagnosed(version)
                times.append(1000 * (time.perf_counter() - began))
            memory.append(status(server.process.pid)["rss_mib"])
    ordered = sorted(times)
    return {
        "lines": text.count("\n"),
        "edits": len(times),
        "to_diagnostics_ms": {
            "median": round(statistics.median(ordered), 1),
            "p95": round(ordered[int(0.95 * len(ordered))], 1),
            "waiting": 1000 * QUIET_SECONDS,
        },
        "rss_mib": [memory[0], memory[-1]],
    }


def _change(old: str, new: str) -> dict[str, object]:
    """The one change of the protocol that makes a text another (of ASCII only)."""
    pairs = enumerate(zip(old, new, strict=False))
    start = next((at for at, (one, other) in pairs if one != other), min(len(old), len(new)))
    end = 0
    while end < min(len(old), len(new)) - start and old[len(old) - end - 1] == new[len(new) - end - 1]:
        end += 1
    places = [_place(old, start), _place(old, len(old) - end)]
    return {"range": {"start": places[0], "end": places[1]}, "text": new[start : len(new) - end]}


def _place(text: str, offset: int) -> dict[str, int]:
    before = text[:offset]
    return {"line": before.count("\n"), "character": offset - before.rfind("\n") - 1}


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--edits", type=int, default=20_000)
    parser.add_argument("--burst", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--typing", type=int, nargs="+", metavar="LINES")
    args = parser.parse_args()
    if args.typing:
        print(json.dumps([typing(lines, min(args.edits, 40)) for lines in args.typing], indent=2))
        return 0
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
