"""The editor shows what the command line prints: for the demo project and for every sample of the tests."""

from __future__ import annotations

import contextlib
import io
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from raw_server import RawServer, serving

from memlint.cli.main import main

sys.path.insert(0, str(Path(__file__).parents[1] / "engine"))

from samples import rule_samples, sample_files

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"
CAPABILITIES = {"general": {"positionEncodings": ["utf-32"]}, "textDocument": {"publishDiagnostics": {}}}
SEVERITIES = {1: "error", 2: "warning", 3: "note"}


def printed(command: str, folder: Path) -> list[dict[str, Any]]:
    """What a command says of a folder."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        main([command, str(folder), "--format", "json"])
    (found,) = (value for key, value in json.loads(out.getvalue()).items() if key in ("findings", "memories"))
    assert isinstance(found, list)
    return found


def samples() -> Iterator[tuple[str, str]]:
    yield from rule_samples()
    for path in sample_files():
        yield "-".join(path.parts[-2:]), path.read_bytes().decode("latin-1")


def sources(folder: Path) -> list[Path]:
    every = folder.rglob("*")
    return sorted(path for path in every if path.suffix in (".sv", ".v", ".vhd") and path.is_file())


def open_all(server: RawServer, files: list[Path]) -> None:
    for path in files:
        server.open(path.as_uri(), path.read_bytes().decode("utf-8-sig"))


Said = dict[str, list[Any]]


def shown(
    server: RawServer, folder: Path, said: Said
) -> tuple[set[tuple[object, ...]], dict[tuple[str, int], str]]:
    """What the server says of all sources of a folder: findings, and hints by file and line from 1."""
    findings: set[tuple[object, ...]] = set()
    hints: dict[tuple[str, int], str] = {}
    files = sources(folder)
    for number, path in enumerate(files):
        name = path.relative_to(folder).as_posix()
        whole = {"start": {"line": 0, "character": 0}, "end": {"line": 10**6, "character": 0}}
        identity = f"{path}-{number}"
        params = {"textDocument": {"uri": path.as_uri()}, "range": whole}
        server.send("textDocument/inlayHint", params, id=identity)
        while True:
            message = server.next()
            if message.get("method") == "textDocument/publishDiagnostics":
                said[message["params"]["uri"]] = message["params"]["diagnostics"]
            elif message.get("id") == identity:
                break
        hints.update({(name, one["position"]["line"] + 1): one["label"] for one in message["result"]})
    for path in files:
        name = path.relative_to(folder).as_posix()
        for one in said.get(path.as_uri(), ()):
            start, end = one["range"]["start"], one["range"]["end"]
            places = (start["line"] + 1, start["character"] + 1, end["line"] + 1, end["character"] + 1)
            message, *more = one["message"].split("\n")
            help = tuple(line[2:] for line in more if line.startswith("- "))
            findings.add((name, one["code"], SEVERITIES[one["severity"]], *places, message, help))
    for path in files:
        server.send("textDocument/didClose", {"textDocument": {"uri": path.as_uri()}})
    return findings, hints


def check(server: RawServer, folder: Path, said: Said) -> None:
    findings, hints = shown(server, folder, said)
    keys = ("file", "rule", "severity", "line", "column", "end_line", "end_column")
    expected = {
        (*(one[key] for key in keys), one["message"].split("\n")[0], tuple(one["help"]))
        for one in printed("check", folder)
        if one["file"].endswith((".sv", ".v", ".vhd"))
    }
    assert {one[:8] for one in findings} == {one[:8] for one in expected}
    assert findings == expected
    declared: dict[tuple[str, int], list[dict[str, Any]]] = {}
    for one in printed("list", folder):
        declared.setdefault((one["file"], one["line"]), []).append(one)
    assert set(declared) == set(hints)
    for place, memories in declared.items():
        blocks, tier = memories[0]["blocks"], memories[0]["tier"]
        if len(memories) == 1 and blocks is not None and "does not fit" not in hints[place]:
            count, unit = hints[place].split(" ")[:2]
            assert float(count.replace(",", "")) == blocks, (place, hints[place])
            assert unit == tier or (tier == "registers" and unit.startswith("flip-flop"))
        if memories[0]["depth"] is None:
            assert "shape unknown" in hints[place] or "unknown" in hints[place]


@pytest.fixture(scope="module")
def server() -> Iterator[RawServer]:
    with serving() as one:
        one.initialize(capabilities=CAPABILITIES)
        yield one


def test_the_demo_project(server: RawServer) -> None:
    open_all(server, sources(SORTER))
    check(server, SORTER, {})


def test_every_sample(server: RawServer, tmp_path: Path) -> None:
    wrong = []
    folders = []
    for name, text in samples():
        folder = tmp_path / name.replace(".", "_")
        folder.mkdir()
        (folder / "memlint.toml").write_text('device = "sorter-m"\n')
        (folder / name).write_text(text, encoding="utf-8", newline="")
        folders.append(folder)
    # All at once: each is a project of its own, and their analyses need not wait for each other.
    said: Said = {}
    open_all(server, [path for folder in folders for path in sources(folder)])
    for folder in folders:
        try:
            check(server, folder, said)
        except AssertionError as error:
            wrong.append(f"{folder.name}: {error}")
    assert len(folders) > 60
    assert not wrong, "\n".join(wrong)
