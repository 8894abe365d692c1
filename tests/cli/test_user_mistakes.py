"""What a user reads who made a mistake: the place and the remedy, and never a traceback."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from sorter_samples import BELT, Memlint, project


def refusal(memlint: Memlint, *arguments: str) -> str:
    """What is said on standard error by a run that fails."""
    assert memlint(*arguments) == 2
    assert memlint.out == ""
    lines = memlint.err.splitlines()
    assert lines
    assert all(line.startswith("memlint: ") for line in lines), memlint.err
    return memlint.err


def test_a_path_that_does_not_exist(memlint: Memlint) -> None:
    assert "nowhere/belt.sv" in refusal(memlint, "check", "nowhere/belt.sv")


def test_a_folder_without_sources(memlint: Memlint, tmp_path: Path) -> None:
    (tmp_path / "doc").mkdir()
    assert "doc: " in refusal(memlint, "check", "doc")


def test_a_working_folder_without_sources(memlint: Memlint) -> None:
    said = refusal(memlint, "check")
    assert "There is no Verilog, SystemVerilog or VHDL file here" in said
    assert "memlint.toml" in said


def test_a_file_that_is_no_hdl(memlint: Memlint, tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("hello")
    assert "notes.txt" in refusal(memlint, "check", "notes.txt")


@pytest.mark.skipif(os.name == "nt" or os.geteuid() == 0, reason="permissions bind no administrator")
def test_a_source_without_permission_to_read(memlint: Memlint, tmp_path: Path) -> None:
    (project(tmp_path) / "rtl" / "belt.sv").chmod(0)
    assert "rtl/belt.sv: The file cannot be read." in refusal(memlint, "check")


def test_a_source_that_leads_nowhere(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    (tmp_path / "memlint.toml").write_text('sources = ["rtl/*.sv",\n  "rtl/gone.sv"]\n')
    assert "memlint: memlint.toml:2: sources: There is no file `rtl/gone.sv`." in refusal(memlint, "check")


def test_a_file_list_that_leads_nowhere(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='\nfile_lists = ["sorter.f"]\n')
    assert "memlint.toml:2: file_lists: There is no file `sorter.f`." in refusal(memlint, "check")


def test_globs_that_match_nothing(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='device = "sorter-m"\nsources = ["hdl/**/*.sv"]\n')
    assert "memlint.toml:2: The project has no source file." in refusal(memlint, "check")


@pytest.mark.parametrize("command", ["check", "list"])
def test_an_unknown_key(memlint: Memlint, tmp_path: Path, command: str) -> None:
    project(tmp_path, config='\ndevise = "sorter-m"\n')
    said = refusal(memlint, command)
    assert "memlint: memlint.toml:2: devise: Unknown key `devise`. Did you mean `device`?" in said


def test_toml_that_is_none(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='device = "sorter-m"\ntop = \n')
    assert "memlint: memlint.toml:2: This is not TOML" in refusal(memlint, "check")


def test_every_mistake_is_told_at_once(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config="target_mhz = true\n[reserve]\nbulk = -1\n")
    said = refusal(memlint, "check").splitlines()
    assert [line.split(" ")[1] for line in said] == ["memlint.toml:1:", "memlint.toml:3:"]


def test_a_device_nobody_knows(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='\n\ndevice = "sortr-m"\n')
    said = refusal(memlint, "check")
    assert "memlint: memlint.toml:3: device: " in said
    assert "nearest first: sorter-m" in said


def test_a_device_nobody_knows_on_the_command_line(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    said = refusal(memlint, "check", "--device", "sortr-m")
    assert "nearest first: sorter-m" in said
    assert "memlint.toml" not in said


def test_a_profile_with_a_mistake(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='device = "board.toml"\n')
    (tmp_path / "board.toml").write_text('[device]\nnam = "board"\n')
    said = refusal(memlint, "check")
    assert "board.toml:2: device.nam: Unknown key `nam`. Did you mean `name`?" in said


def test_a_profile_from_the_working_folder(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config=None)
    (tmp_path / "boards").mkdir()
    (tmp_path / "boards" / "own.toml").write_text(
        'extend = "sorter-m"\n[device]\nname = "own"\n[[source]]\nid = "own"\ntitle = "own"\nfacts = ["*"]\n'
    )
    assert memlint("check", "--device", "boards/own.toml", "rtl") == 0
    assert "on device own" in memlint.out


def test_a_tier_that_the_device_lacks(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, config='device = "sorter-m"\n[reserve]\nbluk = 4\n[attributes]\nstore = "blok"\n')
    said = refusal(memlint, "check").splitlines()
    assert said[0].startswith(
        "memlint: memlint.toml:3: reserve.bluk: Device sorter-m has no tier `bluk`. Write one of bulk,"
    )
    assert said[1].startswith("memlint: memlint.toml:5: attributes.store: Device sorter-m has no tier")


def test_another_device_for_once_needs_no_other_configuration(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, BELT.replace("in bulk; ", ""), '[reserve]\nbulk = 4\n[attributes]\nstore = "bulk"\n')
    assert memlint("check", "--device", "ice40", "--fail-on", "never") == 0
    assert "memlint.toml:2: reserve.bulk: Device ice40 has no tier `bulk`." in memlint.err
    assert "on device ice40" in memlint.out


def test_a_top_that_no_file_declares(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    said = refusal(memlint, "check", "--top", "belts")
    assert "`belts`" in said
    assert "belt" in said.replace("`belts`", "")


def test_a_configuration_that_does_not_exist(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    said = refusal(memlint, "check", "--config", "other.toml")
    assert "memlint: other.toml: The file cannot be read: No such file or directory." in said


def test_a_report_that_cannot_be_written(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert "gone/report.txt: the report cannot be written" in refusal(
        memlint, "check", "--output", "gone/report.txt"
    )


def test_an_unknown_memory_names_the_nearest(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert "no memory `belt.dely`. The nearest are belt.delay." in refusal(memlint, "explain", "belt.dely")


def test_an_unknown_rule_names_the_nearest(memlint: Memlint) -> None:
    assert "no rule `shalow-wide`. Did you mean `shallow-wide`?" in refusal(memlint, "explain", "shalow-wide")


@pytest.mark.parametrize(
    "source",
    [
        "",
        "module",
        "\x00\x01\x02",
        "module belt; logic [39:0] delay [0:; endmodule",
        "// \u202e\u3042\nmodule belt (input logic clk);\nendmodule\n",
    ],
)
def test_half_typed_code_is_no_failed_run(memlint: Memlint, tmp_path: Path, source: str) -> None:
    project(tmp_path, source)
    assert memlint("check", "--fail-on", "never") == 0
    assert memlint("list", "--all") == 0


def test_sources_need_not_be_utf_8(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    (tmp_path / "rtl" / "belt.sv").write_bytes(BELT.replace("// @mem", "// \xe9\n// @mem").encode("latin-1"))
    assert memlint("check") == 0
