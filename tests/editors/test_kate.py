"""Kate with the shipped configuration, on a display that nobody sees.

It has no scripts of its own, so what it and the server say to each other is written down on the way.
"""

from __future__ import annotations

import json
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from real_editors import CONFIGS, DECLARED, LIMIT, copy_of_sorter

from memlint.server.transport import messages

PROGRAMS = ("kate", "Xvfb", "dbus-run-session")
SWITCHED_ON = """\
[Kate Plugins]
lspclientplugin=true

[lspclient]
AllowedServerCommandLines={program} serve
"""
"""What a user does by hand: switches the plugin on, and answers that `memlint` may be started."""

RECORDER = """\
import pathlib, subprocess, sys, threading
server = subprocess.Popen([{program!r}, *sys.argv[1:]], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
pathlib.Path({process!r}).write_text(str(server.pid))

def copied(source, target, file):
    with open(file, "wb", buffering=0) as log:
        while data := source.read1(65536):
            log.write(data)
            target.write(data)
            target.flush()

down = threading.Thread(target=copied, args=(server.stdout, sys.stdout.buffer, {said!r}))
down.start()
copied(sys.stdin.buffer, server.stdin, {heard!r})
server.stdin.close()
down.join()
"""


def until(what: str, holds: Callable[[], bool]) -> None:
    end = time.monotonic() + LIMIT
    while not holds():
        assert time.monotonic() < end, f"waited in vain for {what}"
        time.sleep(0.1)


@contextmanager
def display() -> Iterator[str]:
    """A display of its own; its name."""
    process = subprocess.Popen(
        ["Xvfb", "-displayfd", "1", "-screen", "0", "1400x900x24"],
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
        text=True,
    )
    try:
        assert process.stdout is not None
        yield f":{process.stdout.readline().strip()}"
    finally:
        process.terminate()
        process.wait(LIMIT)


def recorded(path: Path) -> list[dict[str, Any]]:
    if not path.is_file():
        return []
    with path.open("rb") as file:
        return [json.loads(body) for body in messages(file.read)]


def recording_server(folder: Path) -> Path:
    """A `memlint` that writes down what it hears and says; the folder it is in."""
    program = folder / "bin" / "memlint"
    program.parent.mkdir()
    files = {name: str(folder / name) for name in ("said", "heard", "process")}
    script = RECORDER.format(program=str(Path(sys.executable).parent / "memlint"), **files)
    program.write_text(f"#!{sys.executable}\n{script}", encoding="utf-8")
    program.chmod(0o755)
    return program.parent


def is_alive(process: int) -> bool:
    """What has ended and is not waited for by anyone is a zombie, Z (proc(5))."""
    try:
        state = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except (FileNotFoundError, ProcessLookupError):
        return False
    return state != "Z"


def test_kate_starts_the_server_and_is_told_the_findings(tmp_path: Path) -> None:
    missing = [one for one in PROGRAMS if shutil.which(one) is None]
    if missing:
        pytest.skip(f"not here: {', '.join(missing)} (Debian packages kate, xvfb, dbus)")
    file = copy_of_sorter(tmp_path)
    programs = recording_server(tmp_path)
    home, runtime = tmp_path / "home", tmp_path / "run"
    settings = home / ".config" / "kate" / "lspclient" / "settings.json"
    settings.parent.mkdir(parents=True)
    runtime.mkdir(mode=0o700)
    shutil.copy(CONFIGS / "kate" / "settings.json", settings)
    (home / ".config" / "katerc").write_text(SWITCHED_ON.format(program=programs / "memlint"))
    environment = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
    path = os.pathsep.join([str(programs), os.environ["PATH"]])
    environment |= {"HOME": str(home), "XDG_RUNTIME_DIR": str(runtime), "PATH": path}
    said, heard = tmp_path / "said", tmp_path / "heard"

    def published() -> list[dict[str, Any]]:
        told = [
            one["params"] for one in recorded(said) if one.get("method", "").endswith("/publishDiagnostics")
        ]
        return [one for one in told if one["uri"] == file.as_uri() and one["diagnostics"]]

    with display() as name:
        environment |= {"DISPLAY": name, "QT_QPA_PLATFORM": "xcb"}
        kate = subprocess.Popen(
            ["dbus-run-session", "--", "kate", "-n", str(file)],
            env=environment,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        try:
            until("findings", lambda: bool(published()))
        finally:
            os.killpg(kate.pid, signal.SIGTERM)
            kate.wait(LIMIT)
    server = int((tmp_path / "process").read_text())
    until("the end of the server", lambda: not is_alive(server))

    by_method = {one["method"]: one.get("params") for one in recorded(heard) if "method" in one}
    assert by_method["initialize"]["rootUri"] == file.parents[1].as_uri()
    assert by_method["textDocument/didOpen"]["textDocument"]["languageId"] == "systemverilog"
    # The array has 2 ** HIST_BITS = 1,024 words (sorter_pkg.sv), its intent says 256.
    (finding,) = published()[-1]["diagnostics"]
    line = file.read_text(encoding="utf-8").splitlines()[finding["range"]["start"]["line"]]
    assert DECLARED in line
    assert re.match(r"`counts` is 1,024 x 24, its intent says 256 x 24\b", finding["message"])
