"""`memlint check --since REV`: only what the change brought."""

from __future__ import annotations

import json
import shutil
import subprocess
from pathlib import Path

import pytest
from sorter_samples import BELT, DRIFTED, Memlint, project

pytestmark = pytest.mark.skipif(shutil.which("git") is None, reason="there is no git here")


def git(folder: Path, *arguments: str) -> None:
    names = ("-c", "user.name=t", "-c", "user.email=t@localhost")
    subprocess.run(["git", *names, *arguments], cwd=folder, check=True, capture_output=True)


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A project with an old drift, all of it committed."""
    project(tmp_path, DRIFTED)
    git(tmp_path, "init", "-q", ".")
    git(tmp_path, "add", "-A")
    git(tmp_path, "commit", "-qm", "start")
    return tmp_path


def found(memlint: Memlint) -> list[tuple[str, str]]:
    return [(one["rule"], one["file"]) for one in json.loads(memlint.out)["findings"]]


def test_what_was_there_is_silent_and_what_is_new_speaks(memlint: Memlint, repository: Path) -> None:
    assert memlint("check") == 1
    assert memlint("check", "--since", "HEAD") == 0
    assert memlint.out.startswith("No findings\n")
    (repository / "rtl" / "belt.sv").write_text("// moved\n" + DRIFTED)
    (repository / "rtl" / "replay.sv").write_text(DRIFTED.replace("belt", "replay"))
    assert memlint("check", "--since", "HEAD", "--format", "json") == 1
    assert found(memlint) == [("shape-drift", "rtl/replay.sv")]


def test_only_what_is_new_is_fixed(memlint: Memlint, repository: Path) -> None:
    (repository / "rtl" / "replay.sv").write_text(DRIFTED.replace("belt", "replay"))
    assert memlint("check", "--since", "HEAD", "--fix") == 0
    assert (repository / "rtl" / "belt.sv").read_text() == DRIFTED
    assert (repository / "rtl" / "replay.sv").read_text() == BELT.replace("belt", "replay")


def test_the_working_tree_is_left_alone(memlint: Memlint, repository: Path) -> None:
    (repository / "rtl" / "belt.sv").write_text(BELT)
    memlint("check", "--since", "HEAD")
    assert (repository / "rtl" / "belt.sv").read_text() == BELT


@pytest.mark.parametrize("revision", ["gone", "--help", ""])
def test_a_revision_that_is_none_is_a_clear_error(memlint: Memlint, repository: Path, revision: str) -> None:
    assert memlint("check", f"--since={revision}") == 2
    assert memlint.err.startswith("memlint: ")


def test_without_a_repository_it_is_a_clear_error(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("check", "--since", "HEAD") == 2
    assert "git" in memlint.err
