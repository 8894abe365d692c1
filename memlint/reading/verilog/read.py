"""One Verilog or SystemVerilog file → its facts, given the macros before it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from memlint.reading.collection import paused
from memlint.reading.facts.children import children
from memlint.reading.facts.expressions import Unsupported
from memlint.reading.facts.items import FileFacts, Skipped
from memlint.reading.facts.statements import SkippedStatement
from memlint.reading.verilog.phases import Phases
from memlint.reading.verilog.preprocess import MacroTable, PreprocessOptions, preprocess
from memlint.reading.verilog.trail import OLDER, Trail, newer_outside, parts, undecided
from memlint.reading.verilog.units import units
from memlint.text.source import SourceText

FindInclude = Callable[[str, str], SourceText | None]
_VERILOG = (".v", ".vh")


@dataclass(frozen=True, slots=True)
class VerilogReading:
    """A file's facts and the macros in force after it, for the next file of the compilation unit.

    `trail` is for `reread`; None where the file has to be read as a whole every time.
    """

    facts: FileFacts
    macros: MacroTable
    trail: Trail | None = field(default=None, compare=False, repr=False)


def read_verilog(
    source: SourceText,
    macros: MacroTable,
    find_include: FindInclude,
    options: PreprocessOptions | None = None,
) -> VerilogReading:
    """Facts of one file; never raises for any text.

    `find_include(name, including_file)` gives an included file's text, None where it is not found.
    """
    with paused():
        return _read_as_written(source, macros, find_include, options or PreprocessOptions())


def _read_as_written(
    source: SourceText, macros: MacroTable, find_include: FindInclude, options: PreprocessOptions
) -> VerilogReading:
    reading = _read(source, macros, find_include, options)
    if source.file.endswith(_VERILOG) and options.keywords == PreprocessOptions().keywords and reading.odd:
        # Words that only SystemVerilog reserves may be names in older code (`do`, `bit`, `priority`).
        older = _read(source, macros, find_include, replace(options, keywords=OLDER))
        if older.odd < reading.odd:
            # What decides between the two is spread over the file: no trail.
            return VerilogReading(older.facts, older.macros)
    return VerilogReading(reading.facts, reading.macros, reading.trail)


@dataclass(frozen=True, slots=True)
class _Reading:
    """One attempt: `odd` is how much was not understood, 0 where no newer keyword can be a name."""

    facts: FileFacts
    macros: MacroTable
    trail: Trail | None
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
    language = language_of(source.file)
    found = units(done.tokens, language)
    may_be_older = language == "verilog"
    placed = parts(done.tokens, found.extents, source.file, may_be_older)
    newer = newer_outside(done.tokens, found.extents) if may_be_older else frozenset()
    unsure = undecided(newer.union(*(part.newer for part in placed)))
    odd = _not_understood((found.units, found.outside)) if unsure else 0
    read, outside = found.units, found.outside
    intents: list[Phases] = []
    if done.comments:
        # A file without intents need not wait for what reads them.
        from memlint.reading.verilog.places import with_intents

        read, outside, intents = with_intents(read, outside, done.tokens, done.comments, sources)
    problems = (*done.problems, *(problem for phases in intents for problem in phases.all))
    facts = FileFacts(source.file, language, read, outside, problems, done.includes)
    trail = None
    if all(comment.file == source.file for comment in done.comments):
        phases = intents[0] if intents else Phases()
        trail = Trail(macros, options, done.history, placed, newer, done.problems, phases)
    return _Reading(facts, done.macros, trail, odd)


def language_of(file: str) -> str:
    """`verilog` or `systemverilog`, by the file's name."""
    return "verilog" if file.endswith(_VERILOG) else "systemverilog"


def _not_understood(root: object) -> int:
    """How many characters the items, statements and expressions have that the reader made nothing of."""
    count = 0
    stack: list[object] = [root]
    while stack:
        node = stack.pop()
        if type(node) is tuple:
            stack.extend(node)
            continue
        held = children(node)
        if held is not None:
            stack.extend(held(node))
        elif isinstance(node, Skipped | SkippedStatement | Unsupported):
            count += node.span.end - node.span.start + 1
    return count
