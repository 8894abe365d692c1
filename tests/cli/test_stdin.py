"""PATH `-`: standard input in the place of a file of the project."""

from __future__ import annotations

import io
import json
from pathlib import Path
from types import SimpleNamespace

import pytest
from sorter_samples import BELT, DRIFTED, Memlint, project


@pytest.fixture
def piped(monkeypatch: pytest.MonkeyPatch) -> object:
    def pipe(text: str | bytes) -> None:
        data = text if isinstance(text, bytes) else text.encode()
        monkeypatch.setattr("sys.stdin", SimpleNamespace(buffer=io.BytesIO(data)))

    return pipe


def test_it_stands_for_a_file_of_the_project(memlint: Memlint, tmp_path: Path, piped: object) -> None:
    project(tmp_path, BELT)
    piped(DRIFTED)  # type: ignore[operator]
    assert memlint("check", "-", "--stdin-name", "rtl/belt.sv", "--format", "json") == 1
    report = json.loads(memlint.out)
    assert [(one["rule"], one["file"]) for one in report["findings"]] == [("shape-drift", "rtl/belt.sv")]
    assert report["summary"]["memories"] == 1


def test_the_whole_project_is_behind_it_but_only_it_is_shown(
    memlint: Memlint, tmp_path: Path, piped: object
) -> None:
    project(tmp_path, DRIFTED)
    top = "module top; belt u_belt (); endmodule\n"
    piped(top)  # type: ignore[operator]
    assert memlint("check", "-", "--stdin-name", "rtl/top.sv", "--format", "json") == 0
    report = json.loads(memlint.out)
    assert report["findings"] == []
    assert report["summary"]["roots"] == ["top"]


def test_without_memlint_toml_it_is_the_project(memlint: Memlint, tmp_path: Path, piped: object) -> None:
    project(tmp_path, DRIFTED, config=None)
    piped(BELT.replace("belt", "replay").encode("latin-1"))  # type: ignore[operator]
    assert memlint("check", "-", "--stdin-name", "new/replay.sv", "--format", "json") == 0
    assert json.loads(memlint.out)["summary"]["memories"] == 1


def test_its_fixes_can_be_shown(memlint: Memlint, tmp_path: Path, piped: object) -> None:
    project(tmp_path, BELT)
    piped(DRIFTED)  # type: ignore[operator]
    memlint("check", "-", "--stdin-name", "rtl/belt.sv", "--diff")
    assert "+    // @mem in bulk; shape 8K x 40" in memlint.out
    assert (tmp_path / "rtl" / "belt.sv").read_text() == BELT


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("-",), "--stdin-name NAME, with the ending of its language: .v, .sv, .vhd, .vhdl"),
        (("-", "--stdin-name", "belt"), "--stdin-name NAME"),
        (("-", "rtl", "--stdin-name", "belt.sv"), "stands alone"),
        (("rtl", "--stdin-name", "belt.sv"), "Give `-` as the PATH"),
    ],
)
def test_mistakes_are_named(memlint: Memlint, tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    project(tmp_path)
    assert memlint("check", *arguments) == 2
    assert says in memlint.err
