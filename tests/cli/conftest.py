"""What the tests of the command line share."""

from __future__ import annotations

from pathlib import Path

import pytest
from sorter_samples import Memlint


@pytest.fixture
def memlint(capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Memlint:
    """The command line, run in `tmp_path`."""
    monkeypatch.chdir(tmp_path)
    return Memlint(capsys)
