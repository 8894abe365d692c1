"""Formats, several reports in one run, and reports that depend on the sources alone."""

from __future__ import annotations

import csv
import json
import os
import subprocess
import sys
from io import StringIO
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from sorter_samples import BELT, DRIFTED, INCOMPLETE, MISSPELT, Memlint, project

FORMATS = ("json", "sarif", "junit")


def test_several_reports_in_one_run(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    outputs = [part for one in FORMATS for part in ("--output", f"{one}=report.{one}")]
    assert memlint("check", *outputs) == 1
    assert memlint.out.startswith("warning ")
    for one in FORMATS:
        written = (tmp_path / f"report.{one}").read_bytes()
        assert memlint("check", "--format", one) == 1
        assert memlint.out.encode() == written


def test_a_file_without_a_format_takes_the_place_of_standard_output(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    memlint("check", "--format", "lines", "--output", "found.txt", "--output", "json=found.json")
    assert memlint.out == ""
    assert (tmp_path / "found.txt").read_text().startswith("rtl/belt.sv:8:18: warning: ")
    assert json.loads((tmp_path / "found.json").read_text())["findings"]


def test_a_misspelt_format_makes_no_file_of_that_name(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert memlint("check", "--output", "sarfi=memlint.sarif") == 2
    assert memlint.err == (
        "memlint: --output `sarfi=memlint.sarif`: there is no format `sarfi`: they are text, json, sarif, "
        "junit and lines. Write `./sarfi=memlint.sarif` for a file of that name.\n"
    )
    assert memlint("check", "--output", "./text=memlint.txt") == 1
    assert (tmp_path / "text=memlint.txt").is_file()


def test_lines_are_for_quickfix_lists(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    memlint("check", "--format", "lines")
    assert memlint.out == (
        "rtl/belt.sv:8:18: warning: `delay` is 8,192 x 40, its intent says 4,096 x 40 [shape-drift]\n"
    )


def test_a_file_that_cannot_be_written_is_a_failed_run(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("check", "--output", "sarif=nowhere/report.sarif") == 2
    assert "nowhere/report.sarif: the report cannot be written" in memlint.err


def several(folder: Path, names: tuple[str, ...]) -> None:
    """A project whose sources are listed in this order."""
    (folder / "rtl").mkdir(parents=True)
    (folder / "rtl" / "a.sv").write_text(DRIFTED)
    (folder / "rtl" / "b.sv").write_text(MISSPELT.replace("belt", "replay"))
    (folder / "rtl" / "c.sv").write_text("module top; replay u_r (); belt u_b (); gone u_g (); endmodule\n")
    sources = ", ".join(f'"rtl/{name}.sv"' for name in names)
    (folder / "memlint.toml").write_text(f"sources = [{sources}]\n")


@pytest.mark.parametrize(
    ("command", "format"),
    [
        *(("check", one) for one in FORMATS),
        *(("list", one) for one in ("json", "csv", "markdown")),
    ],
)
def test_bytes_do_not_depend_on_the_order_of_files_or_the_folders(
    memlint: Memlint, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, command: str, format: str
) -> None:
    said = set()
    for number, order in enumerate((("a", "b", "c"), ("c", "b", "a"), ("b", "c", "a"))):
        folder = tmp_path / f"copy{number}"
        several(folder, order)
        for here, path in ((folder, "."), (folder / "rtl", ".."), (tmp_path, str(folder))):
            monkeypatch.chdir(here)
            extra = ["--all"] if command == "list" else []
            memlint(command, path, "--format", format, *extra)
            assert memlint.err == ""
            said.add(memlint.out)
    assert len(said) == 1


def test_csv_has_a_column_for_each_field_and_an_empty_cell_for_the_unknown(
    memlint: Memlint, tmp_path: Path
) -> None:
    project(tmp_path)
    (tmp_path / "rtl" / "open.sv").write_text(
        "module open #(parameter WORDS = missing_pkg::WORDS) (input logic clk, input int a, d);\n"
        "  logic [7:0] m [WORDS], pipe [2];\n"
        "  always_ff @(posedge clk) begin m[a] <= d; pipe[0] <= d; end\nendmodule\n"
    )
    assert memlint("list", "--format", "csv", "--all") == 0
    assert "\r\n" in memlint.out or os.linesep == "\n"
    rows = {row["path"]: row for row in csv.DictReader(StringIO(memlint.out))}
    assert rows["belt.delay"]["depth"] == "8192"
    assert [rows["belt.delay"][one] for one in ("w", "r", "rw", "clocks")] == ["1", "1", "0", "belt.clk"]
    assert rows["open.m"]["depth"] == "" and rows["open.m"]["unresolved"]
    assert rows["open.pipe"]["no_memory"]


def test_markdown_is_a_table(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("list", "--format", "markdown") == 0
    assert "| `belt.delay` | 8,192 x 40 | 1w 1r | clk | sync | bulk | 1 | 100 % | 1 |" in memlint.out
    assert "| bulk | 1 | 96 |" in memlint.out


@pytest.mark.parametrize("command", ["check", "list", "size"])
def test_every_schema_is_one(memlint: Memlint, command: str) -> None:
    assert memlint(command, "--schema") == 0
    Draft202012Validator.check_schema(json.loads(memlint.out))


def valid(memlint: Memlint, command: str, *arguments: str) -> None:
    memlint(command, *arguments, "--format", "json")
    said = json.loads(memlint.out)
    memlint(command, "--schema")
    Draft202012Validator(json.loads(memlint.out)).validate(said)


@pytest.mark.parametrize("source", [BELT, DRIFTED, MISSPELT, INCOMPLETE])
def test_json_is_what_its_schema_says(memlint: Memlint, tmp_path: Path, source: str) -> None:
    project(tmp_path, source)
    valid(memlint, "check")
    valid(memlint, "list")
    valid(memlint, "list", "--all")


def test_json_of_the_demo_and_of_sizes_is_what_its_schema_says(
    memlint: Memlint, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(Path(__file__).parents[2])
    valid(memlint, "check", "fixtures/sorter")
    valid(memlint, "list", "fixtures/sorter", "--all")
    valid(memlint, "size", "32Kx40")
    valid(memlint, "size", "32Kx40", "64x1522", "--holds", "64 x 1522 byte", "--ecc")


@pytest.mark.parametrize(
    "path", sorted((Path(__file__).parents[1] / "samples").iterdir()), ids=lambda p: p.name
)
def test_json_of_the_samples_is_what_its_schema_says(memlint: Memlint, path: Path) -> None:
    valid(memlint, "check", str(path))
    valid(memlint, "list", str(path), "--all")


@pytest.mark.parametrize(
    ("command", "format"),
    [*(("check", one) for one in (*FORMATS, "lines")), *(("list", one) for one in ("csv", "markdown"))],
)
def test_bytes_do_not_depend_on_the_locale(tmp_path: Path, command: str, format: str) -> None:
    strange = DRIFTED.replace("belt", "\\förderband ").replace("delay", "\\粒 ")
    project(tmp_path, strange)
    said = set()
    for encoding in ("utf-8", "latin-1", "ascii"):
        done = subprocess.run(
            [sys.executable, "-m", "memlint", command, "--format", format],
            cwd=tmp_path,
            env={**os.environ, "PYTHONIOENCODING": encoding, "LC_ALL": "C"},
            capture_output=True,
            check=False,
        )
        assert done.stderr == b""
        said.add(done.stdout)
    (only,) = said
    assert "粒" in only.decode("utf-8")
