"""Vim and the plugin YouCompleteMe with the shipped configuration."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import pytest
from real_editors import CONFIGS, SESSIONS, check_finding, check_hint, copy_of_sorter, run_session

PLUGIN = Path("/usr/share/vim-youcompleteme")
IN_A_TERMINAL = "import pty, sys; pty.spawn(sys.argv[1:])"


def test_vim_shows_findings_hints_and_hover(tmp_path: Path) -> None:
    vim = shutil.which("vim.nox")
    if vim is None or not PLUGIN.is_dir():
        pytest.skip("Vim with YouCompleteMe is not here: Debian packages vim-nox and vim-youcompleteme")
    file = copy_of_sorter(tmp_path)
    command = [sys.executable, "-c", IN_A_TERMINAL, vim, "-u", SESSIONS / "vim.vim"]
    config = CONFIGS / "vim" / "memlint.vim"
    size = {"TERM": "xterm", "COLUMNS": "160", "LINES": "60"}
    seen = run_session(command, tmp_path, CONFIG=str(config), FILE=str(file), **size)
    check_finding(seen, file)
    if seen.hints is not None:  # From Vim 9.0.214 on.
        check_hint(seen)
