"""Macro uses: what each puts in, its arguments expanded (IEEE Std 1800-2017 22.5.1)."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import replace

from memlint.reading.verilog.calls import Call, exhausted, find_call
from memlint.reading.verilog.lexer import lex, unescape
from memlint.reading.verilog.macros import Macro, without_comments
from memlint.reading.verilog.substitution import Actual, cost, instantiate, placed, spelled
from memlint.reading.verilog.tokens import Token
from memlint.reading.verilog.working import Glue, Stream, Work, emit, heed
from memlint.text.source import SourceText, Span


def put_in(work: Work, stream: Stream, at: int, out: list[Token]) -> int:
    """Put in what a macro use stands for; the index behind the use."""
    call = find_call(work, stream, at)
    _heed_within(work, stream, at + 1, call.end)
    macro, place = call.macro, call.place
    if stream.whole and len(work.files) == 1 and call.end > at + 1:
        work.history.uses.append((place.start, place.end))
    actuals = _actuals(work, stream, macro, call) if macro else []
    if macro:
        work.expanded += cost(macro, actuals)
    if macro is None or exhausted(work, place):
        emit(work, [call.unread], out)
        return call.end
    if macro.unknown is not None:
        span = Span(place.file, place.start, place.end)
        work.problems[macro.unknown.message, span] = replace(macro.unknown, span=span)
    stops: list[int] = []
    if macro.plain is not None:
        tokens = [Token(kind, text, place.file, place.start, place.end) for kind, text in macro.plain]
    else:
        tokens, stops = instantiate(macro, actuals, place)
    before = len(out)
    if work.glue is Glue.NONE:
        work.glue = Glue.NUMBER
    work.in_use.append(macro.name)
    _nested(work, Stream(stream.source, tokens, stops, place), out)
    work.in_use.pop()
    if len(out) == before and stream.peek(call.end).text == "``":
        # Nothing on the left of a paste: what is on its right stands alone.
        return call.end + 1
    if work.glue is Glue.NONE or len(out) == before:
        work.glue = Glue.NUMBER
    return call.end


def _nested(work: Work, stream: Stream, out: list[Token]) -> None:
    if not stream.stops:
        emit(work, stream.tokens, out)
        return
    work.depth += 1
    work.walk(work, stream, out)
    work.depth -= 1


def _heed_within(work: Work, stream: Stream, start: int, end: int) -> None:
    """Heed what stands among the arguments of a macro use."""
    if not stream.marks and not stream.faults:
        return
    for index in range(bisect_left(stream.stops, start), len(stream.stops)):
        if stream.stops[index] >= end:
            return
        heed(work, stream, stream.stops[index])


def _actuals(work: Work, stream: Stream, macro: Macro, call: Call) -> list[Actual]:
    """The actual arguments of a call, macros in them expanded."""
    actuals = []
    for group, formal in zip(call.groups, macro.formals or (), strict=True):
        place = stream.place
        if not group and formal.default is not None:
            place = call.place
            group = placed(lex(SourceText("", formal.default)).tokens[:-1], place)
        stops = [at for at, token in enumerate(group) if token.kind == "dir"]
        if stops or place is not None:
            group = _expanded(work, Stream(stream.source, group, stops, place))
            text = spelled(group) if macro.weaves else ""
        else:
            weaves = macro.weaves and group
            text = without_comments(stream.source.text[group[0].start : group[-1].end]) if weaves else ""
        actuals.append(Actual(tuple(group), text))
    return actuals


def _expanded(work: Work, stream: Stream) -> Sequence[Token]:
    """The tokens of a stream, macros in it expanded, apart from what is being put out."""
    if not stream.stops:
        return stream.tokens
    out: list[Token] = []
    glue, work.glue = work.glue, Glue.NONE
    _nested(work, stream, out)
    work.glue = glue
    return out


def quoted(work: Work, stream: Stream, token: Token) -> str:
    """The string that `"…`" makes, the macros named in it expanded."""
    done, content = "", token.text[2:-2]
    place = stream.place or token
    while "`" in content:
        before, _, _ = content.partition("`")
        done += before
        content = content[len(before) :]
        tokens = lex(SourceText(token.file, content)).tokens[:-1]
        if len(tokens[0].text) == 1:
            done += "`"
            content = content[1:]
            continue
        expanded: list[Token] = []
        glue, work.glue = work.glue, Glue.NONE
        end = put_in(work, Stream(stream.source, tokens, [], place), 0, expanded)
        work.glue = glue
        done += spelled(expanded)
        content = content[tokens[end - 1].end :]
        work.expanded += len(content) // 8
    return unescape(done + content)
