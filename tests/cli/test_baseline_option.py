"""`memlint check --baseline`: what was there stays silent, what is new speaks, what is gone is told."""

from __future__ import annotations

import json
from pathlib import Path

from sorter_samples import BELT, DRIFTED, Memlint, project


def adopted(memlint: Memlint, folder: Path) -> None:
    project(folder, DRIFTED)
    assert memlint("check", "--baseline", "known.json", "--write-baseline") == 0
    assert memlint.err == "memlint: known.json: wrote 1 finding\n"


def test_known_findings_are_left_out_and_counted(memlint: Memlint, tmp_path: Path) -> None:
    adopted(memlint, tmp_path)
    assert memlint("check", "--baseline", "known.json") == 0
    assert memlint.out.startswith("No findings; 1 finding known to the baseline\n")
    assert memlint("check", "--baseline", "known.json", "--format", "json") == 0
    assert json.loads(memlint.out)["summary"]["known"] == 1
    assert memlint("check") == 1


def test_the_file_is_the_same_whatever_moved(memlint: Memlint, tmp_path: Path) -> None:
    adopted(memlint, tmp_path)
    first = (tmp_path / "known.json").read_bytes()
    (tmp_path / "rtl" / "belt.sv").write_text("// moved\n\n" + DRIFTED)
    memlint("check", "--baseline", "known.json", "--write-baseline")
    assert (tmp_path / "known.json").read_bytes() == first


def test_a_finding_about_text_survives_moved_lines_too(memlint: Memlint, tmp_path: Path) -> None:
    twice = BELT.replace("one clock", "one clock; ports 2rw")
    project(tmp_path, twice)
    assert memlint("check") == 1
    assert "on line 7 came first" in " ".join(memlint.out.split())
    memlint("check", "--baseline", "known.json", "--write-baseline")
    (tmp_path / "rtl" / "belt.sv").write_text("// moved\n" + twice)
    assert memlint("check", "--baseline", "known.json") == 0
    assert memlint.err == ""


def test_stale_entries_are_told(memlint: Memlint, tmp_path: Path) -> None:
    adopted(memlint, tmp_path)
    (tmp_path / "rtl" / "belt.sv").write_text(BELT)
    assert memlint("check", "--baseline", "known.json") == 0
    assert "known.json: 1 entry finds nothing any more: shape-drift belt.delay 8192 x 40 x 1" in memlint.err
    assert "--write-baseline" in memlint.err


def test_a_path_does_not_make_entries_stale(memlint: Memlint, tmp_path: Path) -> None:
    adopted(memlint, tmp_path)
    (tmp_path / "rtl" / "other.sv").write_text("module other; endmodule\n")
    assert memlint("check", "--baseline", "known.json", "rtl/other.sv") == 0
    assert memlint.err == ""


def test_known_findings_are_not_fixed(memlint: Memlint, tmp_path: Path) -> None:
    adopted(memlint, tmp_path)
    memlint("check", "--baseline", "known.json", "--fix")
    assert (tmp_path / "rtl" / "belt.sv").read_text() == DRIFTED


def test_mistakes_are_named_with_their_remedy(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("check", "--baseline", "none.json") == 2
    assert "no such baseline. Write it again: `memlint check --baseline none.json" in memlint.err
    assert memlint("check", "--write-baseline") == 2
    assert "--baseline FILE" in memlint.err
    assert memlint("check", "--baseline", "a.json", "--write-baseline", "rtl") == 2
    assert "Leave PATH out" in memlint.err
