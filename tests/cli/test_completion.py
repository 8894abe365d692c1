"""Completions, asked for from the shells themselves where they are installed."""

from __future__ import annotations

import shutil
import subprocess

import pytest
from sorter_samples import Memlint

from memlint.cli.main import COMMANDS
from memlint.rules.base import all_rules


def shell(name: str) -> str:
    found = shutil.which(name)
    if found is None:
        pytest.skip(f"there is no {name} here")
    return found


@pytest.mark.parametrize(
    ("words", "offered", "not_offered"),
    [
        (("memlint", ""), {one.name for one in COMMANDS}, {"--fix"}),
        (("memlint", "ch"), {"check"}, {"list"}),
        (("memlint", "check", "--f"), {"--fix", "--format", "--fail-on"}, {"--baseline"}),
        (("memlint", "check", "--format", ""), {"text", "json", "sarif", "junit", "lines"}, {"csv"}),
        (("memlint", "list", "--format", "c"), {"csv"}, {"text"}),
        (("memlint", "explain", "shallow"), {"shallow-wide"}, {"shape-drift"}),
        (("memlint", "completion", ""), {"bash", "zsh", "fish"}, {"check"}),
    ],
)
def test_bash_offers(
    memlint: Memlint, words: tuple[str, ...], offered: set[str], not_offered: set[str]
) -> None:
    assert memlint("completion", "bash") == 0
    listed = " ".join(f"'{word}'" for word in words)
    asked = (
        f"COMP_WORDS=({listed}); COMP_CWORD={len(words) - 1}; _memlint; printf '%s\\n' \"${{COMPREPLY[@]}}\""
    )
    command = [shell("bash"), "--norc", "-c", f"{memlint.out}\n{asked}"]
    said = subprocess.run(command, capture_output=True, text=True, check=True)
    assert said.stderr == ""
    found = set(said.stdout.split())
    assert offered <= found and not found & not_offered


@pytest.mark.parametrize("name", ["zsh", "fish"])
def test_other_shells_can_read_theirs(memlint: Memlint, name: str) -> None:
    assert memlint("completion", name) == 0
    command = [shell(name), "-n", "-c", memlint.out] if name == "zsh" else [shell(name), "-n"]
    said = subprocess.run(command, input=memlint.out, capture_output=True, text=True, check=False)
    assert (said.returncode, said.stderr) == (0, "")


@pytest.mark.parametrize("name", ["bash", "zsh", "fish"])
def test_every_command_option_and_rule_is_in_each_script(memlint: Memlint, name: str) -> None:
    assert memlint("completion", name) == 0
    for word in (*(one.name for one in COMMANDS), *(rule.name for rule in all_rules())):
        assert word in memlint.out
    assert "write-baseline" in memlint.out and "sarif" in memlint.out


def test_an_unknown_shell_is_refused(memlint: Memlint) -> None:
    assert memlint("completion", "abacus") == 2
    assert "abacus" in memlint.err
