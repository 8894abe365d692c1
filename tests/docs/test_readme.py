"""The lists in the README are the code's own."""

from __future__ import annotations

import re
from pathlib import Path

from memlint.reading.intent.clauses import Clause

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")


def rows(name: str) -> list[list[str]]:
    """The rows of the table between two marks, without its head."""
    body = re.search(rf"<!-- {name} -->\n(.*?)<!-- /{name} -->", README, re.DOTALL)
    assert body is not None
    lines = [line for line in body[1].splitlines() if line.startswith("|")]
    return [[cell.strip() for cell in line.strip("|").split("|")] for line in lines[2:]]


def test_the_rules_table_is_the_registry() -> None:
    from rules_table import CLOSE, OPEN, table

    written = README.partition(OPEN)[2].partition(CLOSE)[0]
    assert written == table(), "run: python tests/docs/rules_table.py"


def test_every_command_is_listed_with_what_it_does() -> None:
    from memlint.cli.main import COMMANDS

    assert rows("commands") == [[f"`memlint {one.name}`", one.help] for one in COMMANDS]


def test_every_clause_of_the_table_parses_and_every_kind_is_there() -> None:
    from typing import get_args

    from memlint.reading.intent.comments import Piece
    from memlint.reading.intent.reader import read_intents
    from memlint.text.source import SourceText

    kinds: set[type] = set()
    for row in rows("clauses"):
        for written in re.findall(r"`([^`]+)`", row[0]):
            if written in ("after", "any", "never", "on mem:"):
                continue
            text = written.replace("…", "a reason")
            text = "plan name; shape 1K x 8; " + text if text.startswith(("times",)) else text
            text = text + "; shape 1K x 8" if text.startswith("plan") and "shape" not in text else text
            intents, problems = read_intents([Piece(0, text, (0, len(text)))], SourceText("t.sv", text))
            assert not problems, (written, problems)
            kinds.update(type(clause) for intent in intents for clause in intent.clauses)
    assert kinds == set(get_args(Clause))


def test_the_estimate_and_safety_notice_is_there() -> None:
    for word in ("estimates", "DO-254", "IEC 61508", "ISO 26262"):
        assert word in README
