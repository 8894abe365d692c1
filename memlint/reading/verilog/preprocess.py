"""From the text of one file to the tokens a parser reads (IEEE Std 1800-2017 clause 22).

`preprocess` is a function of its arguments alone: its result holds for as long as the file, the files it
includes and the macros it consulted stay the same.
"""

from __future__ import annotations

from dataclasses import dataclass

from memlint.reading.facts.items import Problem
from memlint.reading.verilog import directives
from memlint.reading.verilog.comments import Comment
from memlint.reading.verilog.dispatch import obey
from memlint.reading.verilog.history import History
from memlint.reading.verilog.lexer import lex
from memlint.reading.verilog.macros import MacroChanges, MacroTable
from memlint.reading.verilog.tokens import Token
from memlint.reading.verilog.working import (
    DEFAULT_OPTIONS,
    FindInclude,
    PreprocessOptions,
    Stream,
    Work,
    emit,
    heed,
    rest_of_file,
)
from memlint.text.source import SourceText, Span

__all__ = ["Comment", "MacroTable", "PreprocessOptions", "Preprocessed", "preprocess"]


@dataclass(frozen=True)
class Preprocessed:
    """What a file gives.

    `tokens` include those of included files and end with an `eof` of this file. `comments` start with
    `@mem` and stand in active code. `macros` are those defined behind the file, `changes` what it did to
    those before it. `includes` are (name as written, file found or None), `sources` the files found.
    `used_macros` are the names whose definition from outside mattered. `history` is for `reread`.
    """

    tokens: list[Token]
    comments: tuple[Comment, ...]
    macros: MacroTable
    changes: MacroChanges
    problems: tuple[Problem, ...]
    includes: tuple[tuple[str, str | None], ...]
    sources: tuple[SourceText, ...]
    used_macros: frozenset[str]
    history: History


def preprocess(
    source: SourceText,
    macros: MacroTable,
    find_include: FindInclude,
    options: PreprocessOptions = DEFAULT_OPTIONS,
    part: tuple[int, int] | None = None,
) -> Preprocessed:
    """Read `source` as the next file of a compile unit in which `macros` are defined. Never raises.

    `find_include` gives the text of an included file from its name as written and the name of the file
    that includes it. Of `part` only the text between two offsets is read.
    """
    work = Work(source.file, macros, find_include, options, _file, _run, keywords=[options.keywords])
    try:
        _file(work, source, part)
    except RecursionError:
        where = Span(source.file, 0, 0)
        work.report(
            "macros and included files nest too deep to be read", where, "look for one that uses itself"
        )
    directives.apply_keywords(work.out, work.keywords_from, work.keywords[-1])
    end = part[1] if part else len(source.text)
    work.history.expanded = work.expanded
    work.out.append(Token("eof", "", source.file, end, end))
    changes = work.table_changes()
    return Preprocessed(
        work.out,
        tuple(work.comments),
        macros.with_changes(changes),
        changes,
        tuple(work.problems.values()),
        tuple(work.includes.items()),
        tuple(each for each in work.sources.values() if each is not source),
        frozenset(work.consulted),
        work.history,
    )


def _file(work: Work, source: SourceText, part: tuple[int, int] | None = None) -> None:
    """Read a file, the outermost one or an included one, from an active place."""
    work.sources[source.file] = source
    work.files.append(source.file)
    floor, work.conditionals.floor = work.conditionals.floor, len(work.conditionals.branches)
    first, last = part or (0, None)
    _run(work, rest_of_file(work, source, lex(source, first, last), first, last), work.out)
    for problem in work.conditionals.end():
        work.problems[problem.message, problem.span] = problem
    if work.off is not None:
        work.report(
            "translation is switched off here and never on again; the rest of the file is not read",
            work.off.span,
            "switch it on again with a translate_on comment in the same file",
        )
        work.off = None
    work.conditionals.floor = floor
    work.files.pop()


def _run(work: Work, stream: Stream, out: list[Token]) -> None:
    """Walk a stream from stop to stop; what lies between is put out as it is."""
    at = 0
    next_stop = 0
    while next_stop < len(stream.stops):
        stop = stream.stops[next_stop]
        next_stop += 1
        if stop < at:
            continue
        if stop > at and work.active:
            emit(work, stream.tokens[at:stop], out)
        heed(work, stream, stop)
        at = stop
        if stream.peek(stop).kind == "dir":
            if stream.whole and len(work.files) == 1:
                work.history.here = stream.tokens[stop].start
            at = obey(work, stream, stop, out)
            if at < 0:
                at = next_stop = 0
    if work.active:
        emit(work, stream.tokens[at:] if at else stream.tokens, out)
