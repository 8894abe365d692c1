"""What a macro use names, and the groups of tokens it gives as arguments."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from memlint.reading.verilog.macros import Macro, arguments, unclosed
from memlint.reading.verilog.tokens import Token
from memlint.reading.verilog.working import Stream, Work


@dataclass(frozen=True, slots=True)
class Call:
    """A macro use. Without `macro` it cannot be expanded, `unread` stands for it. `end`: index behind it.

    There are as many `groups` as the macro has formals; a missing one is empty.
    """

    macro: Macro | None
    groups: Sequence[Sequence[Token]]
    place: Token
    unread: Token
    end: int


def find_call(work: Work, stream: Stream, at: int) -> Call:
    """The macro use that starts at an index; what is wrong with it is reported."""
    token = stream.tokens[at]
    name, macro, end = _named(work, stream, at)
    start = stream.place or token
    unread = start._replace(kind="id", text=f"`{name}")
    if macro is None:
        # What it leaves unread matters only if it touches an array: its name stays in the text for that.
        return Call(None, (), start, unread, end)
    if _nests_too_deep(work, name, start) or exhausted(work, start):
        return Call(None, (), start, unread, end)
    if macro.formals is None:
        return Call(macro, (), start, unread, end)
    found = None
    if stream.unclosed is None or end not in stream.unclosed:
        found = arguments(stream.tokens, end)
    if found is None:
        if stream.peek(end).text in ("(", "(*") and stream.unclosed is None:
            stream.unclosed = unclosed(stream.tokens)
        _report_open(work, stream.peek(end), name, start)
        return Call(None, (), start, unread, end)
    groups, end = found
    place = stream.place or token._replace(end=stream.tokens[end - 1].end)
    if not _fits(work, macro, groups, place):
        return Call(None, (), place, unread._replace(end=place.end), end)
    missing = len(macro.formals) - len(groups)
    return Call(macro, [*groups, *([] for _ in range(missing))][: len(macro.formals)], place, unread, end)


def exhausted(work: Work, place: Token) -> bool:
    """Whether macros put in as much as they may; reported the first time."""
    limit = work.options.max_expanded
    if work.expanded <= limit:
        return False
    work.report(
        f"macros put in more than {limit} tokens; from here on none is expanded",
        place.span,
        "look for macros that each use another several times",
        once=True,
    )
    return True


def _named(work: Work, stream: Stream, at: int) -> tuple[str, Macro | None, int]:
    """Name, macro and the index behind; a name nobody defined is tried with what is pasted to it."""
    name = stream.tokens[at].text[1:].removeprefix("\\")
    end = at + 1
    macro = work.macro(name)
    while (
        macro is None and stream.peek(end).text == "``" and stream.peek(end + 1).kind in ("id", "kw", "num")
    ):
        name += stream.peek(end + 1).text
        end += 2
        macro = work.macro(name)
    return name, macro, end


def _nests_too_deep(work: Work, name: str, place: Token) -> bool:
    limit = work.options.max_depth
    if name in work.in_use:
        loop = " uses ".join(f"`{each}" for each in [*work.in_use[work.in_use.index(name) :], name])
        message = f"macro `{name} uses itself ({loop}); it is not expanded"
        work.report(message, place.span, "break the loop in one of its definitions", once=True)
        return True
    if work.depth >= limit:
        message = f"macro uses nest more than {limit} deep; `{name} is not expanded"
        work.report(message, place.span, "use fewer macros within macros", once=True)
        return True
    return False


def _report_open(work: Work, opening: Token, name: str, place: Token) -> None:
    if opening.text in ("(", "(*"):
        work.report(f"the argument list of macro `{name} is not closed", place.span, "close it with )")
    else:
        work.report(
            f"macro `{name} takes arguments, and this use gives none; it is not expanded",
            place.span,
            f"write `{name}(…)",
        )


def _fits(work: Work, macro: Macro, groups: Sequence[Sequence[Token]], place: Token) -> bool:
    formals = macro.formals or ()
    needed = max((at for at, formal in enumerate(formals, 1) if formal.default is None), default=0)
    given = len(groups) if groups != [[]] or len(formals) > 1 else min(1, len(formals))
    if needed <= given <= len(formals) or (groups == [[]] and needed == 0):
        return True
    takes = str(len(formals)) if needed == len(formals) else f"{needed} to {len(formals)}"
    takes += " argument" if takes == "1" else " arguments"
    work.report(
        f"macro `{macro.name} takes {takes}, and this use gives {given}; it is not expanded",
        place.span,
        f"give {takes}",
        "change the macro's definition",
    )
    return False
