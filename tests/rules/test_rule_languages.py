"""Each rule speaks of every language alike: a sample that raises exactly it, and the same mended, silent.

SystemVerilog samples are the docstrings'. Verilog ones are those in the words of IEEE Std 1364-2001. VHDL
ones lie in tests/samples/rules/vhdl, one file a rule, the mended half after the line `-- mended`.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from memlint.engine import Engine
from memlint.engine.settings import RuleSettings, Settings
from memlint.rules.base import Rule, all_rules
from memlint.rules.docs import documentation

VHDL = Path(__file__).parents[1] / "samples" / "rules" / "vhdl"
RULES = pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.name)


def raised(rule: Rule, text: str, file: str) -> set[str]:
    """The rules that find something in the text, this one switched on."""
    on = RuleSettings(severities={rule.name: rule.severity})
    engine = Engine(Settings(root="/nonexistent", sources=(file,), rules=(on,)), {file: text})
    return {finding.rule for finding in engine.judge().findings}


def verilog(text: str) -> str:
    """A docstring's sample in Verilog-2001: nets and variables told apart, loops with their own variables."""
    assigned = set(re.findall(r"^\s*assign (\w+)", text, re.MULTILINE))
    driven = {name for line in re.findall(r"\.\w+\((\w+)\)", text) for name in line.split()}

    def port(match: re.Match[str]) -> str:
        names = {name.strip() for name in match[3].split(",")}
        kind = "" if match[1] == "input" or names & (assigned | driven) else " reg"
        return f"{match[1]}{kind}{match[2]}{match[3]}"

    text = re.sub(r"(input|output)\s+logic(\s+(?:\[[^\]]*\]\s*)?)([\w, ]+)", port, text)
    text = re.sub(r"^(\s*(?:\(\*.*?\*\) )?)logic\b", r"\1reg  ", text, flags=re.MULTILINE)
    text = text.replace("always_ff", "always").replace("'0", "0")
    text = re.sub(r"(parameter|localparam) int", r"\1", text)
    if "genvar" in text:
        text = text.replace("for (genvar i", "genvar i;\n    generate for (i")
        text = re.sub(r"\n    end\nendmodule", "\n    end endgenerate\nendmodule", text)
    if "int i" in text:
        text = text.replace("for (int i", "for (i").replace(");\n", ");\n    integer i;\n", 1)
    return text.replace("i++", "i = i + 1")


def is_verilog(text: str) -> bool:
    return not re.search(r"\b(logic|always_ff|int|bit|typedef)\b|\+\+|'0", re.sub(r"//.*", "", text))


@RULES
def test_the_systemverilog_samples(rule: Rule) -> None:
    pages = documentation(rule)
    assert raised(rule, pages.example, "sample.sv") == {rule.name}
    assert raised(rule, pages.mended, "sample.sv") == set()


@RULES
def test_the_verilog_samples(rule: Rule) -> None:
    pages = documentation(rule)
    example, mended = verilog(pages.example), verilog(pages.mended)
    if rule.name == "shape-unresolved":
        # IEEE Std 1364-2001 gives every parameter a value; what is not known comes from elsewhere.
        example = example.replace("parameter WORDS)", "parameter WORDS = `LINE_WORDS)")
    assert is_verilog(example) and is_verilog(mended)
    assert raised(rule, example, "sample.v") == {rule.name}
    assert raised(rule, mended, "sample.v") == set()


@RULES
def test_the_vhdl_samples(rule: Rule) -> None:
    example, mark, mended = (VHDL / f"{rule.name}.vhd").read_text(encoding="utf-8").partition("-- mended\n")
    assert mark
    assert raised(rule, example, "sample.vhd") == {rule.name}
    assert raised(rule, mended, "sample.vhd") == set()


def test_every_vhdl_sample_is_of_a_rule() -> None:
    assert {path.stem for path in VHDL.glob("*.vhd")} == {rule.name for rule in all_rules()}
