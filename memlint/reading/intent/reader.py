"""The text of `@mem` comments as intents, clause by clause: an error in one never costs the others."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from memlint.reading.facts.items import Problem
from memlint.reading.intent.arithmetic import place
from memlint.reading.intent.build import build, holds_of, shape_of
from memlint.reading.intent.clauses import Budget, Clause, Holds, Intent, Plan, Shape, Times
from memlint.reading.intent.comments import Piece
from memlint.reading.intent.parsing import Stuck, Tree, parse
from memlint.reading.intent.refusal import Refusal
from memlint.reading.intent.repeats import without_repeats
from memlint.reading.intent.wording import FORMS, first_word, misfit
from memlint.text.source import SourceText, Span

_EXAMPLES = {"size": "32K x 40", "amount": "64 x 1522 byte"}

LONGEST = 10_000
"""The most code points one comment may have; a longer one is refused unread."""

_SEPARATOR = re.compile(r';|"[^"]*(?:"|\Z)')
# Up to its colon; without one, the whole clause, as no clause can be told from the path then.
_ON = re.compile(r'\s*(on(?!\w)[^:;"]*(?::|[^;]*))')


@dataclass(slots=True)
class _Section:
    """The clauses under one `on`, while they are gathered."""

    on: str = ""
    on_span: Span | None = None
    lost: bool = False
    clauses: list[Clause] = field(default_factory=list)
    failed: set[str] = field(default_factory=set)
    outer: list[Span] = field(default_factory=list)


def read_intents(
    pieces: Sequence[Piece], source: SourceText
) -> tuple[tuple[Intent, ...], tuple[Problem, ...]]:
    """The intents of one group of comments and what is wrong with them.

    A comment that begins with `on path:` starts an intent of its own within the group; without `on`
    a group gives one intent at most. Clauses that cannot be read are left out. Never raises.
    """
    sections: list[_Section] = []
    problems: list[Problem] = []
    for piece in pieces:
        outer = Span(source.file, *piece.outer)
        if len(piece.text) > LONGEST:
            message = f"an intent of {len(piece.text):,} characters is too long: the most is {LONGEST:,}"
            problems.append(Problem("intent-syntax", message, outer, ("split it into several comments",)))
            continue
        head = _ON.match(piece.text)
        if head or not sections:
            sections.append(_Section())
        section = sections[-1]
        section.outer.append(outer)
        at = 0
        if head:
            at = head.end()
            problems.extend(_read_on(section, head[1], piece.start + head.start(1), source))
        problems.extend(_read_clauses(section, piece.text, at, piece.start, source))
    for section in sections:
        problems.extend(_check(section))
    intents, repeated = without_repeats(
        [_intent(section) for section in sections if section.clauses and not section.lost], source
    )
    return intents, (*problems, *repeated)


def parse_shape(text: str) -> Shape:
    """`32K x 40` or `32Kx40` as a Shape; raises ValueError with what is wrong and what to write."""
    return shape_of(_parse(text.strip(), "size"), Span("", 0, len(text)))


def parse_holds(text: str) -> Holds:
    """`64 x 1522 byte` and the like as a Holds; raises ValueError with what is wrong and what to write."""
    return holds_of(_parse(text.strip(), "amount"), text, Span("", 0, len(text)))


def clause_extents(text: str) -> tuple[tuple[int, int], ...]:
    """Where the clauses stand in what follows a marker, without the blanks around them and without `on`."""
    head = _ON.match(text)
    return tuple(_split(text, head.end() if head else 0))


def _read_on(section: _Section, text: str, start: int, source: SourceText) -> Iterator[Problem]:
    text = text.rstrip()
    try:
        path: Any = _parse(text, "on").children[0]
    except Refusal as refusal:
        # Which memory is meant is not known, so its clauses are checked for mistakes and dropped.
        section.lost = True
        yield _problem(refusal, start, source)
        return
    first, last = place(path)
    section.on = str(path)
    section.on_span = Span(source.file, start + first, start + last)


def _read_clauses(section: _Section, text: str, at: int, start: int, source: SourceText) -> Iterator[Problem]:
    for first, last in _split(text, at):
        clause = text[first:last]

        def locate(begin: int, end: int, base: int = start + first) -> Span:
            return Span(source.file, base + begin, base + end)

        try:
            section.clauses.append(build(_parse(clause, "clause"), clause, locate))
        except Refusal as refusal:
            section.failed.add(first_word(clause))
            yield replace(_problem(refusal, start + first, source), repair=_repair(refusal, clause, locate))


def _repair(refusal: Refusal, clause: str, locate: Callable[[int, int], Span]) -> str:
    """The word to put in the place of a misspelt one, if with it the clause can be read."""
    if not refusal.repair:
        return ""
    mended = clause[: refusal.start] + refusal.repair + clause[refusal.end :]
    try:
        build(_parse(mended, "clause"), mended, locate)
    except Refusal:
        return ""
    return refusal.repair


def _split(text: str, at: int) -> Iterator[tuple[int, int]]:
    """The extents of the clauses: what lies between `;` outside quotes, without blanks, if anything."""
    ends = [match.start() for match in _SEPARATOR.finditer(text, at) if match[0] == ";"]
    for end in (*ends, len(text)):
        clause = text[at:end]
        stripped = clause.strip()
        if stripped:
            first = at + clause.index(stripped)
            yield first, first + len(stripped)
        at = end + 1


def _parse(text: str, start: str) -> Tree:
    _check_quotes(text)
    example = FORMS.get(first_word(text)) or _EXAMPLES.get(start, "")
    if not text:
        raise Refusal("nothing is written here", 0, 0, (f"write it like `{example}`",))
    try:
        return parse(text, start)  # type: ignore[no-any-return]
    except Stuck as stuck:
        refusal = misfit(stuck.at, stuck.accepts, text, example)
    raise refusal


def _check_quotes(text: str) -> None:
    if text.count('"') % 2:
        at = text.rindex('"')
        raise Refusal("this quote is not closed", at, len(text), ('write the closing `"`',))


def _check(section: _Section) -> Iterator[Problem]:
    """What holds only between clauses. A clause that failed to parse still counts as written."""
    kinds = {type(clause) for clause in section.clauses}
    if not kinds and not section.failed and not section.lost:
        yield Problem("intent-syntax", "this intent says nothing", section.outer[0], _EMPTY_HELP)
    sized = {Shape, Holds} & kinds or {"shape", "holds"} & section.failed
    for clause in section.clauses:
        if isinstance(clause, Plan) and not sized:
            message = f"`plan {clause.name}` does not say how large the memory will be"
            yield Problem("intent-syntax", message, clause.span, _PLAN_HELP)
        if isinstance(clause, Times) and Plan not in kinds and "plan" not in section.failed:
            yield Problem("intent-syntax", "`times` counts planned memories only", clause.span, _TIMES_HELP)
        if isinstance(clause, Plan | Budget) and section.on:
            word = "plan" if isinstance(clause, Plan) else "budget"
            message = f"`{word}` speaks for the enclosing unit, and `on {section.on}:` for one memory"
            help = (f"write `{word}` in a comment of its own, without `on`",)
            yield Problem("intent-syntax", message, clause.span, help)


_EMPTY_HELP = ("write a clause, such as `in bulk` or `shape 32K x 40`", "or take the comment away")
_PLAN_HELP = ("add `shape 32K x 40`", "or add `holds 64 x 1522 byte`")
_TIMES_HELP = ("take it away: the HDL says how often a memory stands there", "or add `plan` with a name")


def _intent(section: _Section) -> Intent:
    span = section.outer[0].to(section.outer[-1])
    return Intent(tuple(section.clauses), section.on, section.on_span, span=span)


def _problem(refusal: Refusal, at: int, source: SourceText) -> Problem:
    span = Span(source.file, at + refusal.start, at + refusal.end)
    return Problem("intent-syntax", refusal.message, span, refusal.help)
