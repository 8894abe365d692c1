"""`memlint compare`: the reports a reviewer reads, and the exit codes CI goes by.

What changed and why is tested in tests/engine/test_compare.py; block counts are explained there.
"""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from revisions import CONFIG, PROJECT, Repository, needs_git
from sorter_samples import Memlint

pytestmark = needs_git


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """The project, committed, with an intent that states the shape; then a word more, not committed."""
    made = Repository(tmp_path)
    made.write(PROJECT)
    made.replace("rtl/line_store.sv", "in block;", "in block; shape 2K x 24;")
    made.commit()
    made.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 2049")
    return made


def read_json(memlint: Memlint, *arguments: str) -> dict[str, Any]:
    assert memlint("compare", *arguments, "--format", "json") == 0
    report: dict[str, Any] = json.loads(memlint.out)
    return report


def test_the_text_says_what_changed_why_and_what_it_costs(memlint: Memlint, repository: Repository) -> None:
    assert memlint("compare", "HEAD") == 0
    head = repository.git("rev-parse", "HEAD")[:10]
    lines = memlint.out.splitlines()
    assert lines[0] == f"HEAD ({head}) → working tree"
    assert lines[1] == "1 memory reshaped; 1 new finding (1 warning); block 2 → 2.5 of 220"
    said = [line.split(maxsplit=1) for line in lines]
    assert ["sorter.u_front.pixels"] in said
    assert ["shape", "2,048 x 24 → 2,049 x 24"] in said
    assert ["blocks", "2 → 2.5 in block"] in said
    assert ["cause", "`DEPTH` 2,048 → 2,049 in rtl/cfg_pkg.sv:2"] in said
    assert ["block", "2", "2.5", "+0.5", "220"] in [line.split() for line in lines]
    finding = memlint.out[memlint.out.index("New findings") :]
    assert "shape-drift" in finding
    assert "rtl/line_store.sv:12 in sorter.u_front.pixels" in finding
    assert "Gone findings" not in memlint.out
    assert memlint.err == ""


def test_two_revisions_without_a_look_at_the_working_tree(memlint: Memlint, repository: Repository) -> None:
    repository.commit()
    # Whatever is half done now, in the settings too, is not what was asked about.
    repository.write({"rtl/sorter.sv": "module", "memlint.toml": "nonsense"})
    assert memlint("compare", "HEAD~1", "HEAD") == 0
    assert "`DEPTH` 2,048 → 2,049 in HEAD:rtl/cfg_pkg.sv:2" in memlint.out
    assert (repository.folder / "rtl/sorter.sv").read_text() == "module"


def test_the_other_way_round(memlint: Memlint, repository: Repository) -> None:
    repository.commit()
    repository.git("tag", "narrow", "HEAD~1")
    assert memlint("compare", "HEAD", "narrow") == 0
    assert "2,049 x 24 → 2,048 x 24" in memlint.out
    assert "no new finding, 1 gone" in memlint.out
    assert "Gone findings" in memlint.out


def test_nothing_changed(memlint: Memlint, repository: Repository) -> None:
    repository.commit()
    assert memlint("compare", "HEAD") == 0
    assert "No memory changed; no finding new or gone" in memlint.out


def test_what_was_alike_is_said_once(memlint: Memlint, repository: Repository) -> None:
    second = "  line_store #(.WORDS(DEPTH), .BITS(WIDTH)) u_rear (.q(q[1]), .*);\nendmodule"
    repository.replace("rtl/sorter.sv", "endmodule", second)
    repository.commit()
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2049", "DEPTH = 2050")
    assert memlint("compare", "HEAD") == 0
    assert memlint.out.count("`DEPTH` 2,049 → 2,050") == 1
    assert "sorter.u_front.pixels and sorter.u_rear.pixels" in memlint.out
    assert "2.5 in block each" in memlint.out


@pytest.mark.parametrize(
    ("level", "code"), [("note", 1), ("warning", 1), ("error", 0), ("never", 0), (None, 0)]
)
def test_new_findings_fail_where_that_is_asked_for(
    memlint: Memlint, repository: Repository, level: str | None, code: int
) -> None:
    asked = () if level is None else ("--fail-on-new", level)
    assert memlint("compare", "HEAD", *asked) == code


def test_an_old_finding_fails_nothing(memlint: Memlint, repository: Repository) -> None:
    repository.commit()
    assert memlint("check") == 1
    assert memlint("compare", "HEAD", "--fail-on-new", "note") == 0


def cells(line: str) -> list[str]:
    """The cells of a table's row: bars with a backslash before them part nothing (GFM, 4.10)."""
    return [cell.strip() for cell in re.split(r"(?<!\\)\|", line)[1:-1]]


def tables(text: str) -> list[list[list[str]]]:
    """The tables of a Markdown text, every row as its cells."""
    found: list[list[list[str]]] = [[]]
    for line in text.splitlines():
        if line.startswith("|"):
            found[-1].append(cells(line))
        elif found[-1]:
            found.append([])
    return [table for table in found if table]


def test_markdown_for_a_merge_request(memlint: Memlint, repository: Repository) -> None:
    assert memlint("compare", "HEAD", "--format", "markdown") == 0
    first = memlint.out.splitlines()[0]
    assert first == "**memlint:** 1 memory reshaped; 1 new finding (1 warning); block 2 → 2.5 of 220"
    memories, tiers, findings, units = tables(memlint.out)
    assert memories[0] == ["memory", "change", "blocks", "cause"]
    assert memories[2] == [
        "`sorter.u_front.pixels`",
        "shape 2,048 x 24 → 2,049 x 24",
        "2 → 2.5 in block",
        "`DEPTH` 2,048 → 2,049 in `rtl/cfg_pkg.sv:2`",
    ]
    assert tiers[2] == ["`block`", "2", "2.5", "+0.5", "220"]
    assert findings[2][0] == "warning"
    assert findings[2][2] == "`rtl/line_store.sv:12`<br>`sorter.u_front.pixels`"
    assert units[2][0] == "`line_store`"
    for table in (memories, tiers, findings, units):
        assert {len(row) for row in table} == {len(table[0])}


def test_names_of_users_do_not_format_link_or_break_tables(memlint: Memlint, repository: Repository) -> None:
    # An escaped identifier may hold any printable character (IEEE Std 1800-2017, 5.6.1).
    odd = "\\a|b`<i>*c*@who#12 "
    repository.commit()
    repository.replace("rtl/sorter.sv", "u_front", odd)
    repository.replace("rtl/line_store.sv", "ports 1w 1r", "ports 1w 2r")
    assert memlint("compare", "HEAD", "--format", "markdown") == 0
    for table in tables(memlint.out):
        assert {len(row) for row in table} == {len(table[0])}
    outside = re.sub(r"(`+)(?!`).*?(?<!`)\1(?!`)", "", memlint.out)
    for sign in ("<i>", "*c*", "@who", "#12"):
        assert sign in memlint.out
        assert sign not in outside


def test_json_is_as_its_schema_says_and_the_same_every_time(memlint: Memlint, repository: Repository) -> None:
    report = read_json(memlint, "HEAD")
    first = memlint.out
    assert memlint("compare", "--schema") == 0
    jsonschema.validate(report, json.loads(memlint.out), jsonschema.Draft202012Validator)
    assert report["old"] == {
        "name": "HEAD",
        "commit": repository.git("rev-parse", "HEAD"),
        "device": "sorter-m",
        "notes": [],
    }
    assert (report["new"]["name"], report["new"]["commit"]) == ("working tree", None)
    (memory,) = report["memories"]
    assert (memory["path"], memory["kind"]) == ("sorter.u_front.pixels", "changed")
    assert [memory[side]["depth"] for side in ("before", "after")] == [2048, 2049]
    assert [memory[side]["blocks"] for side in ("before", "after")] == [2, 2.5]
    (shape,) = memory["changes"]
    assert (shape["what"], shape["before"], shape["after"]) == ("shape", "2,048 x 24", "2,049 x 24")
    assert shape["causes"] == [
        {
            "text": "`DEPTH` 2,048 → 2,049",
            "side": "new",
            "file": "rtl/cfg_pkg.sv",
            "line": 2,
            # `  localparam int unsigned DEPTH`: the name starts in the 27th column.
            "column": 27,
        }
    ]
    assert [one["rule"] for one in report["findings"]["new"]] == ["shape-drift"]
    assert report["findings"]["gone"] == []
    assert report["tiers"] == [
        {
            "root": "sorter",
            "tier": "block",
            "before": {"blocks": 2, "memories": 1, "unknown": 0},
            "after": {"blocks": 2.5, "memories": 1, "unknown": 0},
            "available": 220,
        }
    ]
    read_json(memlint, "HEAD")
    assert memlint.out == first


@pytest.mark.parametrize(
    "edit",
    [
        ("rtl/sorter.sv", "u_front", "u_first"),
        ("rtl/sorter.sv", "endmodule", "  line_store u_rear (.q(q[1]), .*);\nendmodule"),
        ("rtl/sorter.sv", "  line_store #(.WORDS(DEPTH), .BITS(WIDTH)) u_front (.q(q[0]), .*);", ""),
        ("rtl/sorter.sv", ".WORDS(DEPTH)", ".WORDS(DEEP)"),
        ("rtl/line_store.sv", "in block;", "in external;"),
        ("rtl/line_store.sv", "in block;", "in registers;"),
        ("memlint.toml", "sorter-m", "sorter-m/sorter-l"),
    ],
    ids=["moved", "added", "removed", "unknown", "external", "registers", "device"],
)
def test_every_kind_of_change_fits_the_schema_and_all_reports(
    memlint: Memlint, repository: Repository, edit: tuple[str, str, str]
) -> None:
    from memlint.reports.schemas import SCHEMAS

    repository.commit()
    repository.replace(*edit)
    jsonschema.validate(read_json(memlint, "HEAD"), SCHEMAS["compare"], jsonschema.Draft202012Validator)
    for form in ("text", "markdown"):
        assert memlint("compare", "HEAD", "--format", form) == 0
        assert "None" not in memlint.out
        for table in tables(memlint.out):
            assert {len(row) for row in table} == {len(table[0])}


def test_several_reports_in_one_run(memlint: Memlint, repository: Repository) -> None:
    assert memlint("compare", "HEAD", "--output", "markdown=note.md", "--output", "json=note.json") == 0
    assert memlint.out.startswith("HEAD (")
    assert (repository.folder / "note.md").read_text(encoding="utf-8").startswith("**memlint:** ")
    assert json.loads((repository.folder / "note.json").read_text(encoding="utf-8"))["memories"]


def test_settings_borrowed_from_the_other_side_are_said(memlint: Memlint, repository: Repository) -> None:
    repository.git("rm", "-q", "--cached", "memlint.toml")
    repository.git("commit", "-q", "-m", "without settings")
    note = "HEAD has no memlint.toml: read with the settings of the other side"
    for form in ("text", "markdown"):
        assert memlint("compare", "HEAD", "--format", form) == 0
        assert note in memlint.out.replace("\\", "")
    assert note in read_json(memlint, "HEAD")["old"]["notes"]


def test_another_device_is_said(memlint: Memlint, repository: Repository) -> None:
    repository.write({"memlint.toml": CONFIG.replace("sorter-m", "sorter-m/sorter-l")})
    assert memlint("compare", "HEAD") == 0
    assert "device sorter-m → sorter-m/sorter-l" in memlint.out


def test_a_project_without_settings(memlint: Memlint, repository: Repository) -> None:
    repository.git("rm", "-q", "-f", "memlint.toml")
    repository.commit()
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2049", "DEPTH = 2050")
    assert memlint("compare", "HEAD") == 0
    assert "`DEPTH` 2,049 → 2,050 in rtl/cfg_pkg.sv:2" in memlint.out


def test_a_project_in_a_folder_of_the_repository(
    memlint: Memlint, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = Repository(tmp_path / "all")
    made.write({f"hw/{name}": text for name, text in PROJECT.items()})
    made.commit()
    made.replace("hw/rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 2000")
    monkeypatch.chdir(made.folder / "hw" / "rtl")
    assert memlint("compare", "HEAD") == 0
    assert "2,048 x 24 → 2,000 x 24" in memlint.out
    monkeypatch.chdir(made.folder)
    assert memlint("compare", "HEAD", "--config", "hw/memlint.toml") == 0
    assert "`DEPTH` 2,048 → 2,000 in hw/rtl/cfg_pkg.sv:2" in memlint.out
    assert memlint("compare", "HEAD", "HEAD", "--config", "hw/memlint.toml") == 0
    assert "No memory changed" in memlint.out


def test_arguments_hold_for_both_sides(memlint: Memlint, repository: Repository) -> None:
    assert memlint("compare", "HEAD", "--top", "line_store", "--device", "sorter-m/sorter-l") == 0
    assert "No memory changed" in memlint.out
    assert "device" not in memlint.out.split("Counts")[0]


def test_missing_sources_are_said_and_end_nothing(memlint: Memlint, repository: Repository) -> None:
    repository.write({"memlint.toml": CONFIG + 'sources = ["rtl/*.sv", "build/gen.sv"]\n'})
    assert memlint("compare", "HEAD") == 0
    assert "build/gen.sv" in memlint.err
    assert "`DEPTH` 2,048 → 2,049" in memlint.out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("nope",), "There is no revision `nope`"),
        (("HEAD", "nope"), "There is no revision `nope`"),
        ((), "as OLD"),
        (("HEAD", "--top", "nope"), "the top `nope`"),
        (("HEAD", "HEAD", "--top", "nope"), "no unit `nope`"),
        (("HEAD", "--config", "gone.toml"), "gone.toml"),
        (("HEAD", "HEAD", "--config", "gone.toml"), "gone.toml"),
        (("HEAD", "--device", "sortr"), "sortr"),
        (("HEAD", "--output", "gone/report.md"), "gone/report.md"),
    ],
)
def test_what_cannot_be_done_is_said_and_exits_with_2(
    memlint: Memlint, repository: Repository, arguments: tuple[str, ...], words: str
) -> None:
    assert memlint("compare", *arguments) == 2
    assert words in memlint.err
    assert all(line.startswith("memlint: ") for line in memlint.err.splitlines())


def test_without_a_repository(memlint: Memlint, tmp_path: Path) -> None:
    (tmp_path / "rtl").mkdir()
    (tmp_path / "rtl" / "line_store.sv").write_text(PROJECT["rtl/line_store.sv"])
    assert memlint("compare", "HEAD") == 2
    assert "in no git repository" in memlint.err


def test_a_repository_without_sources(memlint: Memlint, tmp_path: Path) -> None:
    made = Repository(tmp_path)
    made.write({"README": "nothing here\n"})
    made.commit()
    assert memlint("compare", "HEAD") == 2
    assert "There is no HDL source on either side" in memlint.err


def test_the_first_revision_with_sources(memlint: Memlint, tmp_path: Path) -> None:
    made = Repository(tmp_path)
    made.commit()
    made.write(PROJECT)
    made.commit()
    assert memlint("compare", "HEAD~1", "HEAD") == 0
    assert "1 memory added" in memlint.out


def test_an_arrow_that_the_terminal_lacks_is_written_in_two_signs(repository: Repository) -> None:
    environment = {**os.environ, "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    done = subprocess.run(
        [sys.executable, "-m", "memlint", "compare", "HEAD"],
        cwd=repository.folder,
        env=environment,
        capture_output=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert b"2,048 x 24 -> 2,049 x 24" in done.stdout
    assert b"?" not in done.stdout
