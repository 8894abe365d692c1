"""One Verilog or SystemVerilog file → its facts, given the macros before it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from memlint.reading.facts.items import FileFacts
from memlint.reading.verilog.places import with_intents
from memlint.reading.verilog.preprocess import MacroTable, PreprocessOptions, preprocess
from memlint.reading.verilog.units import units
from memlint.text.source import SourceText

FindInclude = Callable[[str, str], SourceText | None]


@dataclass(frozen=True, slots=True)
class VerilogReading:
    """A file's facts and the macros in force after it, for the next file of the compilation unit."""

    facts: FileFacts
    macros: MacroTable


def read_verilog(
    source: SourceText,
    macros: MacroTable,
    find_include: FindInclude,
    options: PreprocessOptions | None = None,
) -> VerilogReading:
    """Facts of one file; never raises for any text.

    `find_include(name, including_file)` gives an included file's text, None where it is not found.
    """
    sources = {source.file: source}

    def find(name: str, including: str) -> SourceText | None:
        found = find_include(name, including)
        if found is not None:
            sources[found.file] = found
        return found

    done = preprocess(source, macros, find, options or PreprocessOptions())
    language = "verilog" if source.file.endswith((".v", ".vh")) else "systemverilog"
    found, outside = units(done.tokens, language)
    problems = done.problems
    if done.comments:
        found, outside, intent_problems = with_intents(found, outside, done.tokens, done.comments, sources)
        problems = (*problems, *intent_problems)
    return VerilogReading(
        FileFacts(source.file, language, found, outside, problems, done.includes), done.macros
    )
