"""Every sample text of the tests: the files of tests/samples, and the examples in the rules' docstrings."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from memlint.rules.base import all_rules
from memlint.rules.docs import documentation

SAMPLES = Path(__file__).parents[1] / "samples"
_MARKED = re.compile(r"/\*[ \t]*@mem\b.*?\*/|(?://|--)[ \t]*@mem\b[^\r\n]*", re.DOTALL)


def sample_files() -> list[Path]:
    return sorted(path for path in SAMPLES.rglob("*") if path.suffix in (".sv", ".v", ".vhd"))


def rule_samples() -> Iterator[tuple[str, str]]:
    for rule in all_rules():
        pages = documentation(rule)
        yield f"{rule.name}-example.sv", pages.example
        yield f"{rule.name}-mended.sv", pages.mended


def without_intents(text: str) -> str:
    """All that is no intent comment, without blanks and line ends."""
    return "".join(_MARKED.sub("", text).split())
