"""Small designs written inside tests."""

from __future__ import annotations

from typing import Any

from memlint.design.design import Design, DesignOptions, elaborate_design
from memlint.design.memory import Memory
from memlint.reading.facts.items import FileFacts
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.text.source import SourceText


def facts_of(text: str, file: str = "test.sv") -> FileFacts:
    """The facts of a text as one file, without include files."""
    return read_verilog(SourceText(file, text), MacroTable(), lambda name, including: None).facts


def design_of(text: str, **options: Any) -> Design:
    """The design below `top` of a SystemVerilog text."""
    return elaborate_design([facts_of(text)], DesignOptions(tops=("top",), **options))


def only_memory(text: str, **options: Any) -> Memory:
    """The one memory of a design."""
    (memory,) = design_of(text, **options).memories
    return memory
