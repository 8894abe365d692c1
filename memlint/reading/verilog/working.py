"""What preprocessing has in hand: the tokens being walked, the state between them, the tokens put out."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum

from memlint.reading.facts.items import Problem
from memlint.reading.verilog.comments import Comment, Mark, Switch, marks
from memlint.reading.verilog.directives import Conditionals
from memlint.reading.verilog.history import History
from memlint.reading.verilog.lexer import RULE, Lexed, lex
from memlint.reading.verilog.macros import Macro, MacroChanges, MacroTable
from memlint.reading.verilog.substitution import between, number, spelled
from memlint.reading.verilog.tokens import Token
from memlint.text.source import SourceText, Span

FindInclude = Callable[[str, str], SourceText | None]
_NOTHING = Token("eof", "", "", 0, 0)


@dataclass(frozen=True, slots=True)
class PreprocessOptions:
    """Settings, and limits against texts that grow without bound.

    `translate_off`: words that may stand before `translate_off` in a comment. `keywords`: the version of
    the standard whose words are reserved, as `begin_keywords names it. Depths count nested macro uses and
    files; `max_expanded` and `max_included` count the tokens macros and included files put in.
    """

    translate_off: tuple[str, ...] = ("synthesis", "pragma")
    keywords: str = "1800-2017"
    max_depth: int = 100
    max_expanded: int = 2_000_000
    max_include_depth: int = 64
    max_included: int = 5_000_000


DEFAULT_OPTIONS = PreprocessOptions()


@dataclass(slots=True)
class Stream:
    """Raw tokens to be walked; `stops` are the indices, in order, at which there is something to do.

    `place` is set for tokens a macro put in: the outermost use. `whole` streams are all the rest of a file.
    `marks` and `faults` belong to the token they stand before.
    """

    source: SourceText
    tokens: Sequence[Token]
    stops: Sequence[int]
    place: Token | None = None
    whole: bool = False
    marks: Mapping[int, Sequence[Mark]] = field(default_factory=dict)
    faults: Mapping[int, Problem] = field(default_factory=dict)
    unclosed: frozenset[int] | None = None

    def peek(self, at: int) -> Token:
        """The token at an index; past the end, one of kind eof."""
        return self.tokens[at] if at < len(self.tokens) else _NOTHING

    def same_line(self, first: Token, then: Token) -> bool:
        """Whether no line ends between two tokens; of tokens a macro put in, always."""
        if self.place is not None or then.kind == "eof":
            return then.kind != "eof"
        between = self.source.text[first.end : then.start]
        return "\n" not in between and "\r" not in between


class Glue(Enum):
    """How the next token put out joins the last one."""

    NONE = "apart"
    NUMBER = "apart, but a size, a base and digits are one number: 8'd`VALUE"
    PASTE = "one token"


@dataclass(slots=True)
class Work:
    """The state of one call of preprocess."""

    file: str
    base: MacroTable
    find_include: FindInclude
    options: PreprocessOptions
    read_file: Callable[[Work, SourceText], None]
    walk: Callable[[Work, Stream, list[Token]], None]
    out: list[Token] = field(default_factory=list)
    comments: list[Comment] = field(default_factory=list)
    problems: dict[tuple[str, Span | None], Problem] = field(default_factory=dict)
    includes: dict[str, str | None] = field(default_factory=dict)
    sources: dict[str, SourceText] = field(default_factory=dict)
    changes: dict[str, Macro | None] = field(default_factory=dict)
    cleared: bool = False
    consulted: set[str] = field(default_factory=set)
    conditionals: Conditionals = field(default_factory=Conditionals)
    off: Switch | None = None
    glue: Glue = Glue.NONE
    depth: int = 0
    in_use: list[str] = field(default_factory=list)
    files: list[str] = field(default_factory=list)
    expanded: int = 0
    included: int = 0
    keywords: list[str] = field(default_factory=list)
    keywords_from: int = 0
    renumbered: dict[str, tuple[int, str]] = field(default_factory=dict)
    history: History = field(default_factory=History)

    @property
    def active(self) -> bool:
        """Whether tokens here are put out and directives here count."""
        return self.off is None and self.conditionals.active

    def macro(self, name: str) -> Macro | None:
        """The macro of that name as defined here; the name counts as consulted if that came from outside."""
        if name in self.changes:
            return self.changes[name]
        if self.cleared:
            return None
        self.consulted.add(name)
        return self.base.macros.get(name)

    def set_macro(self, name: str, macro: Macro | None) -> None:
        """Define a macro here, or with None undefine it."""
        self.changes[name] = macro
        self.history.defines.append((self.history.here, name, macro))

    def report(
        self, message: str, span: Span, *remedies: str, once: bool = False, missing: str = ""
    ) -> None:
        """Note a problem; with `once` only the first with this message in the file."""
        key = (message, None if once else span)
        self.problems.setdefault(key, Problem(RULE, message, span, remedies, missing=missing))

    def table_changes(self) -> MacroChanges:
        """What was defined and undefined so far."""
        return MacroChanges(self.cleared, dict(self.changes))


def rest_of_file(
    work: Work, source: SourceText, lexed: Lexed, first: int, last: int | None = None
) -> Stream:
    """A stream of what was lexed of a file from offset `first` to `last`."""
    found = marks(source, lexed, work.options.translate_off, first, last)
    faults = dict(lexed.faults)
    stops = sorted({*lexed.directives, *found, *faults}) if found or faults else lexed.directives
    return Stream(source, lexed.tokens[:-1], stops, None, True, found, faults)


def heed(work: Work, stream: Stream, at: int) -> None:
    """Take note of comments and faults that belong to the token at an index."""
    for mark in stream.marks.get(at, ()):
        if isinstance(mark, Switch):
            if work.conditionals.active:
                work.off = (work.off or mark) if mark.off else None
        elif work.active:
            work.comments.append(mark)
    if at in stream.faults and work.active:
        problem = stream.faults[at]
        work.problems[problem.message, problem.span] = problem


def emit(work: Work, tokens: Sequence[Token], out: list[Token]) -> None:
    """Put tokens out, the first joined to the last as `work.glue` says."""
    if not tokens:
        return
    if work.glue is not Glue.NONE:
        glue, work.glue = work.glue, Glue.NONE
        if out:
            joined = _paste(out[-1], tokens[0]) if glue is Glue.PASTE else number(out[-1], tokens[0])
            if joined:
                out[-1:] = joined
                if len(out) > 1 and (whole := number(out[-2], out[-1])):
                    out[-2:] = whole
                work.expanded += len(joined[0].text) // 8
                tokens = tokens[1:]
    out.extend(tokens)


def _paste(left: Token, right: Token) -> list[Token]:
    """The tokens that two texts without space between them give, at the place of the left one."""
    text = spelled((left,)).rstrip() + spelled((right,))
    tokens = lex(SourceText(left.file, text)).tokens[:-1]
    return [
        Token("id" if token.kind == "dir" else token.kind, token.text, *between(left, right))
        for token in tokens
    ]
