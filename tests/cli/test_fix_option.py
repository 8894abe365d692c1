"""`memlint check --fix` and `--diff`: what is written, what is said, what is left alone."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from sorter_samples import BELT, DRIFTED, Memlint, project

UNUSED = BELT.replace("one clock", 'one clock; accept shallow-wide because "it was"')
MISSPELT_CLAUSE = BELT.replace("shape 8K", "shap 8K")


def belt(folder: Path) -> Path:
    return folder / "rtl" / "belt.sv"


@pytest.mark.parametrize("source", [DRIFTED, UNUSED, MISSPELT_CLAUSE])
def test_a_fix_is_made_and_said_and_a_second_run_finds_nothing(
    memlint: Memlint, tmp_path: Path, source: str
) -> None:
    project(tmp_path, source)
    assert memlint("check", "--fix") == 0
    assert belt(tmp_path).read_text() == BELT
    assert memlint.err.startswith("memlint: rtl/belt.sv:")
    assert "fixed " in memlint.err
    assert memlint.out.startswith("No findings\n")
    before = belt(tmp_path).stat()
    assert memlint("check", "--fix") == 0
    assert memlint.err == "memlint: no finding has a fix that is safe to make unasked\n"
    assert belt(tmp_path).stat().st_mtime_ns == before.st_mtime_ns


def test_line_ends_and_encoding_stay(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    data = DRIFTED.replace("module belt", "// été\nmodule belt").replace("\n", "\r\n").encode("latin-1")
    belt(tmp_path).write_bytes(data)
    assert memlint("check", "--fix") == 0
    assert belt(tmp_path).read_bytes() == data.replace(b"shape 4K", b"shape 8K")


def test_a_diff_is_what_a_fix_would_do_and_writes_nothing(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert memlint("check", "--diff") == 1
    assert belt(tmp_path).read_text() == DRIFTED
    assert memlint.out.startswith("--- a/rtl/belt.sv\n+++ b/rtl/belt.sv\n@@ ")
    assert "-    // @mem in bulk; shape 4K x 40; ports 1w 1r; one clock\n" in memlint.out
    assert "+    // @mem in bulk; shape 8K x 40; ports 1w 1r; one clock\n" in memlint.out
    assert "would fix shape-drift" in memlint.err


@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "latin-1"])
@pytest.mark.parametrize("line_end", ["\n", "\r\n"])
def test_git_applies_the_diff(tmp_path: Path, coding: str, line_end: str) -> None:
    text = DRIFTED.replace("// @mem", "// été\n    // @mem").replace("\n", line_end).rstrip()
    project(tmp_path)
    belt(tmp_path).write_bytes(text.encode(coding))
    command = [sys.executable, "-m", "memlint", "check", "--diff"]
    patch = subprocess.run(command, cwd=tmp_path, capture_output=True, check=False).stdout
    subprocess.run(["git", "init", "-q", "."], cwd=tmp_path, check=True)
    subprocess.run(["git", "apply", "-"], cwd=tmp_path, input=patch, check=True)
    assert belt(tmp_path).read_bytes() == text.replace("shape 4K", "shape 8K").encode(coding)


def test_a_path_limits_what_is_fixed(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    other = tmp_path / "rtl" / "replay.sv"
    other.write_text(DRIFTED.replace("belt", "replay"))
    memlint("check", "--fix", "rtl/replay.sv")
    assert belt(tmp_path).read_text() == DRIFTED
    assert "shape 8K" in other.read_text()


def test_a_fix_that_brings_another_finding_is_left_out(memlint: Memlint, tmp_path: Path) -> None:
    source = MISSPELT_CLAUSE.replace("8K", "4K")
    project(tmp_path, source)
    assert memlint("check", "--fix") == 1
    assert belt(tmp_path).read_text() == source
    assert "left intent-syntax alone" in memlint.err


def test_on_another_device_an_acceptance_only_seems_unused(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, UNUSED)
    memlint("check", "--fix", "--device", "sorter-m")
    assert belt(tmp_path).read_text() == UNUSED


def test_an_intent_of_memlint_toml_is_not_edited(memlint: Memlint, tmp_path: Path) -> None:
    plain = BELT.replace("    // @mem in bulk; shape 8K x 40; ports 1w 1r; one clock\n", "")
    config = '[[intent]]\nmemory = "belt.delay"\nintent = "in bulk; shape 4K x 40"\n'
    project(tmp_path, plain, config)
    assert memlint("check", "--fix") == 1
    assert (tmp_path / "memlint.toml").read_text() == config


def test_fix_and_diff_exclude_each_other_and_standard_input_cannot_be_written(memlint: Memlint) -> None:
    assert memlint("check", "--fix", "--diff") == 2
    assert memlint("check", "--diff", "--output", "found.txt") == 2
    assert memlint("check", "--fix", "-", "--stdin-name", "a.sv") == 2
    assert "standard input cannot be written" in memlint.err


def test_the_report_says_what_a_fix_would_mend(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    memlint("check")
    assert "1 of them is mended by `memlint check --fix`" in memlint.out
