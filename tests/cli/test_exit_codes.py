"""Exit codes, as design.md says in section 6: 0, 1 from the failing level on, 2 for a run that failed."""

from __future__ import annotations

from pathlib import Path

import pytest
from sorter_samples import BELT, DRIFTED, INCOMPLETE, MISSPELT, Memlint, project


@pytest.mark.parametrize(
    ("source", "level", "code"),
    [
        (BELT, "note", 0),
        (INCOMPLETE, "note", 1),
        (INCOMPLETE, "warning", 0),
        (DRIFTED, "note", 1),
        (DRIFTED, "warning", 1),
        (DRIFTED, "error", 0),
        (MISSPELT, "error", 1),
        (MISSPELT, "never", 0),
    ],
)
def test_a_finding_at_or_above_the_level_fails(
    memlint: Memlint, tmp_path: Path, source: str, level: str, code: int
) -> None:
    project(tmp_path, source)
    assert memlint("check", "--fail-on", level) == code


def test_the_default_level_is_warning(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert memlint("check") == 1
    (tmp_path / "rtl" / "belt.sv").write_text(INCOMPLETE)
    assert memlint("check") == 0
    assert "unit-not-found" in memlint.out


def test_a_level_that_does_not_exist_is_refused(memlint: Memlint) -> None:
    assert memlint("check", "--fail-on", "info") == 2
    assert memlint.err.startswith("memlint: ")
    assert "info" in memlint.err


def test_the_list_and_explanations_do_not_fail_on_findings(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, MISSPELT)
    assert memlint("list") == 0
    assert memlint("explain", "belt.delay") == 0
    assert memlint("explain", "unknown-tier") == 0


def test_json_has_the_same_exit_code(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert memlint("check", "--format", "json") == 1
    assert memlint("check", "--format", "json", "--fail-on", "error") == 0


def test_an_interrupt_ends_quietly_with_130(memlint: Memlint, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(args: object) -> int:
        raise KeyboardInterrupt

    monkeypatch.setattr("memlint.cli.check.run", interrupted)
    assert memlint("check") == 130
    assert memlint.err == ""


def test_version_and_help(memlint: Memlint) -> None:
    assert memlint("--version") == 0
    assert memlint.out.startswith("memlint ")
    assert memlint("--help") == 0
    for command in ("check", "list", "explain", "size", "devices", "serve"):
        assert f" {command} " in memlint.out


@pytest.mark.parametrize("arguments", [("--help",), ("check", "--help"), ("list", "--help")])
def test_help_says_what_the_counts_are_worth(memlint: Memlint, arguments: tuple[str, ...]) -> None:
    assert memlint(*arguments) == 0
    for words in ("Counts are estimates", "DO-254", "IEC 61508", "ISO 26262", "their own qualified flow"):
        assert words in memlint.out


def test_no_command_is_a_failed_run_that_shows_the_commands(memlint: Memlint) -> None:
    assert memlint() == 2
    assert "check" in memlint.err
    assert memlint.out == ""


def test_an_unknown_command_names_the_nearest(memlint: Memlint) -> None:
    assert memlint("chek") == 2
    assert "memlint: there is no command `chek`: did you mean `check`?" in memlint.err


def test_an_unknown_option_is_named(memlint: Memlint) -> None:
    assert memlint("check", "--colour") == 2
    assert "--colour" in memlint.err
    assert memlint.err.startswith("memlint: ")
