"""What each directive does."""

from __future__ import annotations

import re
from bisect import bisect_left
from operator import itemgetter

from memlint.reading.facts.items import Problem
from memlint.reading.verilog import directives
from memlint.reading.verilog.expansion import put_in, quoted
from memlint.reading.verilog.includes import include
from memlint.reading.verilog.lexer import lex
from memlint.reading.verilog.macros import parse_define
from memlint.reading.verilog.tokens import KEYWORDS_OF, Token
from memlint.reading.verilog.working import Glue, Stream, Work, emit, rest_of_file
from memlint.text.source import Span

_START = itemgetter(3)
_LINE = re.compile(r'`line\s+([0-9]{1,9})\s+"([^"]*)"')


def obey(work: Work, stream: Stream, at: int, out: list[Token]) -> int:
    """Do what a `dir` token asks for; the index to go on from, -1 when the stream starts anew."""
    token = stream.tokens[at]
    text = token.text
    if text in ("`ifdef", "`ifndef", "`elsif", "`else", "`endif"):
        return _conditional(work, stream, at)
    if text == "`protected" or (text.startswith("`pragma") and (text == "`pragma" or text[7].isspace())):
        return _protected(work, stream, at)
    if not work.active:
        return at + 1
    if text in directives.OPERANDS:
        if text == "`end_keywords":
            _keywords(work, None, token, out)
        operands = directives.OPERANDS[text]
        return at + 1 + (operands if stream.same_line(token, stream.peek(at + operands)) else 0)
    match text:
        case "``":
            work.glue = Glue.PASTE
            return at + 1
        case "`undef":
            name, end = _name(work, stream, at)
            if name:
                work.set_macro(name, None)
            return end
        case "`undefineall":
            work.cleared = True
            work.changes.clear()
            work.history.defines.append((work.history.here, "", None))
            return at + 1
        case "`include":
            return include(work, stream, at)
        case "`timescale":
            return directives.timescale_end(stream.tokens, at + 1)
        case "`begin_keywords":
            version = stream.peek(at + 1)
            if version.kind != "str":
                return at + 1
            _keywords(work, version.text, token, out)
            return at + 2
        case "`__FILE__" | "`__LINE__":
            emit(work, [_whereabouts(work, token)], out)
            return at + 1
        case "`":
            emit(work, [token._replace(kind="op")], out)
            return at + 1
    if text.startswith("`define") and text[7:8] in ("", " ", "\t", "\n", "\r", "\\", "/"):
        _define(work, token)
        return at + 1
    if text.startswith("`line") and (text == "`line" or text[5].isspace()):
        found = _LINE.match(text)
        if found:
            line = work.sources[token.file].position(token.start).line
            work.history.entangled = True
            work.renumbered[token.file] = (int(found[1]) - line - 1, found[2])
        return at + 1
    if text.startswith('`"'):
        emit(work, [token._replace(kind="str", text=quoted(work, stream, token))], out)
        return at + 1
    return put_in(work, stream, at, out)


def _conditional(work: Work, stream: Stream, at: int) -> int:
    token = stream.tokens[at]
    if len(work.files) == 1:
        work.history.branches.append((work.history.here, token.text))
    conditionals = work.conditionals
    problem = None
    end = at + 1
    match token.text:
        case "`ifdef" | "`ifndef":
            holds = False
            if work.active:
                name, end = _name(work, stream, at)
                holds = name is not None and (work.macro(name) is not None) == (token.text == "`ifdef")
            conditionals.open(token, holds)
        case "`elsif":
            holds = False
            if conditionals.undecided():
                name, end = _name(work, stream, at)
                holds = name is not None and work.macro(name) is not None
            problem = conditionals.next(token, holds)
        case "`else":
            problem = conditionals.next(token, True)
        case "`endif":
            problem = conditionals.close(token)
    if problem:
        work.problems[problem.message, problem.span] = problem
    return end


def _name(work: Work, stream: Stream, at: int) -> tuple[str | None, int]:
    """The macro name behind a directive and the index behind it."""
    token, name = stream.tokens[at], stream.peek(at + 1)
    if name.kind in ("id", "kw", "dir") and stream.same_line(token, name):
        return name.text.lstrip("`"), at + 2
    work.report(
        f"{token.text} names no macro", token.span, "write the macro's name behind it, on the same line"
    )
    return None, at + 1


def _define(work: Work, token: Token) -> None:
    macro = parse_define(token.text, token.span)
    if isinstance(macro, Problem):
        work.problems[macro.message, macro.span] = macro
        return
    if macro.name in directives.RESERVED:
        message = f"`define {macro.name} would replace a directive; it is ignored"
        work.report(message, token.span, "choose another name")
        return
    if macro.body.endswith("\\"):
        message = f"white space follows the last backslash, so the text of macro `{macro.name} ends there"
        work.report(
            message, token.span, "remove the white space behind the backslash", "remove the backslash"
        )
    work.set_macro(macro.name, macro)


def _keywords(work: Work, version: str | None, token: Token, out: list[Token]) -> None:
    """Reserve the words of another version from here on, or with None those of before."""
    work.history.entangled = True
    if version is not None and version not in KEYWORDS_OF:
        known = ", ".join(KEYWORDS_OF)
        work.report(
            f'`begin_keywords "{version}" names no version of the standard', token.span, f"one of {known}"
        )
        version = work.keywords[-1]
    if version is None and len(work.keywords) == 1:
        work.report("`end_keywords without a `begin_keywords before it", token.span, "remove it")
        return
    if out is work.out:
        directives.apply_keywords(out, work.keywords_from, work.keywords[-1])
        work.keywords_from = len(out)
    if version is None:
        work.keywords.pop()
    else:
        work.keywords.append(version)


def _whereabouts(work: Work, token: Token) -> Token:
    shift, file = work.renumbered.get(token.file, (0, token.file))
    if token.text == "`__FILE__":
        return token._replace(kind="str", text=file)
    work.history.entangled = True
    line = work.sources[token.file].position(token.start).line + shift
    return token._replace(kind="num", text=str(line))


def _protected(work: Work, stream: Stream, at: int) -> int:
    token = stream.tokens[at]
    end = directives.protected_end(stream.source, token) if stream.whole else None
    if end is None:
        return at + 1
    work.history.entangled = True
    if work.active:
        work.report(
            "this protected region is encrypted; what it declares is unknown",
            Span(token.file, token.start, end),
            "describe the units in it in [[black_box]] of memlint.toml",
        )
    after = bisect_left(stream.tokens, end, lo=at, key=_START)
    if stream.tokens[after - 1].end == end:
        return after
    # Something in the region looked like an open comment or string: read on from its true end.
    anew = rest_of_file(work, stream.source, lex(stream.source, end), end)
    stream.tokens, stream.stops = anew.tokens, anew.stops
    stream.marks, stream.faults, stream.unclosed = anew.marks, anew.faults, None
    return -1
