"""One Verilog or SystemVerilog file → its facts, given the macros before it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace

from memlint.reading.facts.expressions import Unsupported
from memlint.reading.facts.items import FileFacts, Skipped
from memlint.reading.facts.statements import SkippedStatement
from memlint.reading.verilog.places import with_intents
from memlint.reading.verilog.preprocess import MacroTable, PreprocessOptions, preprocess
from memlint.reading.verilog.tokens import KEYWORDS_OF
from memlint.reading.verilog.units import units
from memlint.text.source import SourceText, Span

FindInclude = Callable[[str, str], SourceText | None]
_VERILOG = (".v", ".vh")
_OLDER = "1364-2005"
_OLDER_WORDS = KEYWORDS_OF[_OLDER]
# Whoever writes these words means SystemVerilog.
_NEVER_NAMES = frozenset(
    "always_comb always_ff always_latch endclass endinterface endpackage endprogram import typedef".split()
)


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
    options = options or PreprocessOptions()
    reading = _read(source, macros, find_include, options)
    if source.file.endswith(_VERILOG) and options.keywords == PreprocessOptions().keywords and reading.odd:
        # Words that only SystemVerilog reserves may be names in older code (`do`, `bit`, `priority`).
        older = _read(source, macros, find_include, replace(options, keywords=_OLDER))
        if older.odd < reading.odd:
            reading = older
    return VerilogReading(reading.facts, reading.macros)


@dataclass(frozen=True, slots=True)
class _Reading:
    """One attempt: `odd` is how much was not understood, 0 where no newer keyword can be a name."""

    facts: FileFacts
    macros: MacroTable
    odd: int


def _read(
    source: SourceText, macros: MacroTable, find_include: FindInclude, options: PreprocessOptions
) -> _Reading:
    sources = {source.file: source}

    def find(name: str, including: str) -> SourceText | None:
        found = find_include(name, including)
        if found is not None:
            sources[found.file] = found
        return found

    done = preprocess(source, macros, find, options)
    language = "verilog" if source.file.endswith(_VERILOG) else "systemverilog"
    found, outside = units(done.tokens, language)
    words = {token.text for token in done.tokens if token.kind == "kw"}
    older = language == "verilog" and not words <= _OLDER_WORDS and not words & _NEVER_NAMES
    odd = _not_understood((found, outside)) if older else 0
    problems = done.problems
    if done.comments:
        found, outside, intent_problems = with_intents(found, outside, done.tokens, done.comments, sources)
        problems = (*problems, *intent_problems)
    facts = FileFacts(source.file, language, found, outside, problems, done.includes)
    return _Reading(facts, done.macros, odd)


def _not_understood(root: object) -> int:
    """How many characters the items, statements and expressions have that the reader made nothing of."""
    count = 0
    stack: list[object] = [root]
    while stack:
        node = stack.pop()
        if isinstance(node, tuple):
            stack.extend(node)
        elif isinstance(node, Skipped | SkippedStatement | Unsupported):
            count += node.span.end - node.span.start + 1
        elif is_dataclass(node) and not isinstance(node, Span):
            stack.extend(getattr(node, one.name) for one in fields(node))
    return count
