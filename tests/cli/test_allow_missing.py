"""`memlint check --allow-missing`: source that is not there is told, and fails nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from sorter_samples import BELT, DRIFTED, Memlint, project


@pytest.mark.parametrize(
    ("config", "says"),
    [
        ('sources = ["rtl/belt.sv", "ip/gone.sv"]\n', "There is no file `ip/gone.sv`"),
        ('sources = ["rtl/*.sv"]\nfile_lists = ["ip/files.f"]\n', "There is no file `ip/files.f`"),
        ('sources = ["rtl/*.sv"]\ntop = "sorter_top"\n', "the top `sorter_top` is in none of the"),
        ('sources = ["ip/gone.sv"]\n', "There is no file `ip/gone.sv`"),
    ],
)
def test_a_missing_file_is_told_and_fails_nothing(
    memlint: Memlint, tmp_path: Path, config: str, says: str
) -> None:
    project(tmp_path, DRIFTED, config)
    assert memlint("check") == 2
    assert memlint("check", "--allow-missing") == 0
    assert says in memlint.err
    if "ip/gone.sv" not in config or "rtl" in config:
        assert "shape-drift" in memlint.out


def test_what_a_file_list_names_and_is_missing_is_a_finding(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED, 'file_lists = ["files.f"]\n')
    (tmp_path / "files.f").write_text("rtl/belt.sv\nip/gone.sv\n")
    assert memlint("check") == 1
    assert memlint("check", "--allow-missing") == 0
    assert "gone.sv" in memlint.out and "shape-drift" in memlint.out


def test_what_the_comment_alone_decides_still_fails(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, BELT.replace("shape 8K", "shap 8K"), 'sources = ["rtl/belt.sv", "ip/gone.sv"]\n')
    assert memlint("check", "--allow-missing") == 1


def test_with_everything_there_it_changes_nothing(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert memlint("check", "--allow-missing") == 1


def test_a_missing_file_that_is_asked_for_is_still_a_mistake(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("check", "--allow-missing", "rtl/gone.sv") == 2


def test_a_missing_device_profile_is_told_and_fails_nothing(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED, 'device = "boards/sorter.toml"\n')
    assert memlint("check") == 2
    assert memlint("check", "--allow-missing") == 0
    assert "boards/sorter.toml" in memlint.err and "is not checked" in memlint.err


def test_a_mistake_in_memlint_toml_is_not_missing_source(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, BELT, 'device = "sorter-n"\n')
    assert memlint("check", "--allow-missing") == 2
    (tmp_path / "memlint.toml").write_text("sorces = []\n")
    assert memlint("check", "--allow-missing") == 2
