"""Emacs and Eglot with the shipped configuration."""

from __future__ import annotations

import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest
from real_editors import (
    CONFIGS,
    SESSIONS,
    check_finding,
    check_hint,
    check_judged,
    check_offer,
    copy_of_sorter,
    run_session,
)


@cache
def emacs_with_eglot() -> str | None:
    emacs = shutil.which("emacs")
    if emacs is None:
        return None
    found = subprocess.run([emacs, "--batch", "-q", "--eval", "(require 'eglot)"], capture_output=True)
    return emacs if found.returncode == 0 else None


def test_emacs_shows_findings_and_hover_and_applies_an_offer(tmp_path: Path) -> None:
    emacs = emacs_with_eglot()
    if emacs is None:
        pytest.skip("Emacs with Eglot is not here: Debian packages emacs-nox and elpa-eglot")
    file = copy_of_sorter(tmp_path)
    config, script = CONFIGS / "emacs" / "memlint.el", SESSIONS / "emacs.el"
    seen = run_session([emacs, "--batch", "-q", "-l", config, "-l", script, file], tmp_path)
    check_finding(seen, file)
    check_judged(seen, file)
    check_offer(seen, file)
    if seen.hints is not None:  # From Eglot 1.10 on.
        check_hint(seen)
