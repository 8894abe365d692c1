"""PATH: inside a project it limits what is shown, without memlint.toml it is the project."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from sorter_samples import BELT, DRIFTED, Memlint, project


def two(folder: Path) -> None:
    """A project with a drifted shape in each of two files."""
    project(folder, DRIFTED)
    (folder / "rtl" / "link").mkdir()
    (folder / "rtl" / "link" / "replay.sv").write_text(DRIFTED.replace("belt", "replay"))


def found(memlint: Memlint) -> list[str]:
    return [finding["file"] for finding in json.loads(memlint.out)["findings"]]


def test_without_a_path_everything_is_shown(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    memlint("check", "--format", "json")
    assert found(memlint) == ["rtl/belt.sv", "rtl/link/replay.sv"]


def test_a_file_limits_findings_to_itself(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    assert memlint("check", "--format", "json", "rtl/belt.sv") == 1
    assert found(memlint) == ["rtl/belt.sv"]


def test_a_folder_limits_findings_to_its_files(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    assert memlint("check", "--format", "json", "rtl/link/") == 1
    assert found(memlint) == ["rtl/link/replay.sv"]


def test_the_summary_is_still_of_the_whole_project(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    memlint("check", "--format", "json", "rtl/belt.sv")
    assert json.loads(memlint.out)["summary"]["memories"] == 2


def test_what_is_not_shown_does_not_fail_the_run(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    (tmp_path / "rtl" / "belt.sv").write_text(BELT)
    assert memlint("check", "rtl/belt.sv") == 0
    assert memlint("check") == 1


def test_accepted_findings_are_counted_where_they_are_shown(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    accepting = DRIFTED.replace("4K x 40", '4K x 40; accept shape-drift because "a spare half"')
    (tmp_path / "rtl" / "belt.sv").write_text(accepting)
    memlint("check", "rtl/belt.sv")
    assert "No findings; 1 finding accepted" in memlint.out
    memlint("check", "rtl/link")
    assert "accepted" not in memlint.out


def test_a_folder_with_a_like_name_is_another(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    (tmp_path / "rtl" / "lin").mkdir()
    (tmp_path / "rtl" / "lin" / "x.sv").write_text("module x; endmodule\n")
    assert memlint("check", "rtl/lin") == 0


def test_the_list_is_limited_alike(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    assert memlint("list", "--format", "json", "rtl/link") == 0
    assert [one["path"] for one in json.loads(memlint.out)["memories"]] == ["replay.delay"]


def test_without_memlint_toml_the_paths_are_the_project(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    (tmp_path / "memlint.toml").unlink()
    memlint("check", "--format", "json", "rtl/belt.sv")
    report = json.loads(memlint.out)
    assert found(memlint) == ["rtl/belt.sv"]
    assert report["summary"]["memories"] == 1
    assert report["summary"]["device_given"] is False


def test_a_path_outside_the_sources_is_added(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='device = "sorter-m"\nsources = ["rtl/*.sv"]\n')
    (tmp_path / "bench.sv").write_text(DRIFTED.replace("belt", "bench"))
    assert memlint("check") == 0
    assert memlint("check", "--format", "json", "bench.sv") == 1
    assert found(memlint) == ["bench.sv"]


def test_text_names_files_from_the_working_folder_and_json_from_the_project(
    memlint: Memlint, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    two(tmp_path)
    monkeypatch.chdir(tmp_path / "rtl")
    memlint("check", "belt.sv")
    assert " belt.sv:8:18 " in memlint.out
    memlint("check", "--format", "json", "belt.sv")
    assert found(memlint) == ["rtl/belt.sv"]


def test_a_report_in_a_file_is_the_report(memlint: Memlint, tmp_path: Path) -> None:
    two(tmp_path)
    memlint("check")
    printed = memlint.out
    assert memlint("check", "--output", "report.txt") == 1
    assert memlint.out == ""
    assert (tmp_path / "report.txt").read_text(encoding="utf-8") == printed
