"""A command line with a project and a folder for caches of its own."""

from __future__ import annotations

from pathlib import Path

import pytest
from runs import CommandLine, project


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "caches"))
    return tmp_path / "caches" / "memlint"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    found = project(tmp_path / "sorter")
    monkeypatch.setenv("SORTER_RTL", "rtl")
    monkeypatch.chdir(found)
    return found


@pytest.fixture
def memlint(
    cache: Path, folder: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> CommandLine:
    return CommandLine(monkeypatch, capsys)
