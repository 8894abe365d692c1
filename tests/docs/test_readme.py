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


def test_the_lead_names_the_languages() -> None:
    lead = README.partition("```")[0]
    assert "Verilog, SystemVerilog or VHDL" in " ".join(lead.split())
    assert "so far" not in README


def test_each_clause_is_held_by_the_rule_named_beside_it() -> None:
    from memlint.engine import check_text
    from memlint.rules.base import rule_named
    from memlint.rules.docs import documentation

    cells = [(row[at], row[at + 1]) for row in rows("held") for at in (0, 2)]
    for clauses, rules in cells:
        for name in re.findall(r"`([^`]+)`", rules):
            rule = rule_named(name)
            assert rule is not None, name
            if name == "acceptance-unused":
                continue
            found = check_text(documentation(rule).example).findings
            assert any(one.rule == name for one in found), name
            # The rule's own example: with the clause left out it has nothing to say.
            words = re.findall(r"`([^`]+)`", clauses)
            said = documentation(rule).example
            for word in words:
                said = re.sub(rf"; {word}[^;\n]*|(?<=@mem ){word}[^;\n]*(; )?", "", said)
            if said != documentation(rule).example:
                assert not any(one.rule == name for one in check_text(said).findings), (name, said)


def test_what_the_readme_says_of_widths_check_bits_and_clocks_holds() -> None:
    from memlint.engine import check_text

    head = "input logic clk, we, input logic [8:0] wa, input logic [10:0] ra, input logic [31:0] d"
    text = f"""
module belt ({head}, output logic [7:0] q);
    // @mem in block; ports 1w(32) 1r(8)
    logic [7:0] bytes [0:2047];
    always_ff @(posedge clk) begin
        for (int i = 0; i < 4; i++) if (we) bytes[{{wa, i[1:0]}}] <= d[8*i +: 8];
        q <= bytes[ra];
    end
endmodule
"""
    (bytes_,) = check_text(text).memories
    assert bytes_.demand is not None
    assert (bytes_.demand.writes, bytes_.memory.count(True, False)) == (1, 4)
    (word,) = check_text(text.replace("ports 1w(32) 1r(8)", "ecc in word")).memories
    assert word.placement is not None and word.placement.check_bits == 0
