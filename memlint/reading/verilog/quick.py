"""The commonest expressions by recursive descent, in front of the grammar.

What stands here gives the nodes and spans that grammar/systemverilog.lark and `build` give, several times
faster; anything else is a Misfit, and the grammar has the word on it. Both are held to each other by tests.
"""

from __future__ import annotations

from collections.abc import Sequence

from memlint.reading.facts.expressions import (
    Binary,
    Call,
    Cast,
    Concat,
    Conditional,
    DataType,
    Expr,
    Index,
    Member,
    Name,
    Open,
    Replicate,
    Scoped,
    Slice,
    String,
    Unary,
)
from memlint.reading.verilog.folding import PRECEDENCE, fold
from memlint.reading.verilog.literals import number
from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

_UNARY = frozenset(("!", "~", "~&", "~|", "+", "-", "&", "|", "^", "~^", "^~"))
_POSTFIX = frozenset(("[", ".", "(", "'"))
_END = Token("eof", "", "", 0, 0)
# Slices this long may nest deeper, or hold more conditionals, than the grammar's feed allows: it counts.
LONGEST = 400
_DEEPEST = 40


class Misfit(Exception):
    """Something the grammar has to look at."""


class Cut:
    """Tokens, one of kind eof behind them, and the index of the next one.

    `outer` is set where the last expression read stands in parentheses: its span with them.
    """

    __slots__ = ("at", "depth", "outer", "tokens")

    def __init__(self, tokens: Sequence[Token], at: int = 0) -> None:
        self.tokens = tokens
        self.at = at
        self.depth = 0
        self.outer: Span | None = None


def cut_of(tokens: Sequence[Token]) -> Cut | None:
    """A slice to be read; None if it is so long that the grammar's feed has to count how deep it nests."""
    return Cut([*tokens, _END]) if len(tokens) <= LONGEST else None


def read(tokens: Sequence[Token]) -> Expr | None:
    """The expression a slice holds; None where the grammar has to say."""
    cut = cut_of(tokens)
    if cut is None:
        return None
    try:
        found = expression(cut)
    except Misfit:
        return None
    return found if cut.at == len(tokens) else None


def assignment(
    tokens: Sequence[Token], at: int, operators: frozenset[str]
) -> tuple[Expr, str, Expr, int] | None:
    """Target, operator, value and the index of the `;` of an assignment at an index; None where the grammar
    has to say. `tokens` end with one of kind eof."""
    cut = Cut(tokens, at)
    try:
        target = _unary(cut)
        kind, operator, _file, _start, _end = tokens[cut.at]
        if kind != "op" or operator not in operators:
            return None
        cut.at += 1
        value = expression(cut)
    except Misfit:
        return None
    end = tokens[cut.at]
    if end[1] != ";" or end[0] != "op" or cut.at - at > LONGEST:
        return None
    return target, operator, value, cut.at


def parenthesised(tokens: Sequence[Token], opening: int) -> tuple[Expr, int] | None:
    """The expression in the parentheses that open at an index, and the index behind them; None where the
    grammar has to say. `tokens` end with one of kind eof."""
    cut = Cut(tokens, opening + 1)
    try:
        found = expression(cut)
        expect(cut, ")")
    except Misfit:
        return None
    return (found, cut.at) if cut.at - opening <= LONGEST else None


def expression(cut: Cut) -> Expr:
    """The longest expression here; steps over it. Raises Misfit."""
    cut.depth += 1
    if cut.depth > _DEEPEST:
        raise Misfit
    left = _unary(cut)
    kind, text, _file, _start, _end = cut.tokens[cut.at]
    if kind == "op":
        if text in PRECEDENCE:
            first = cut.outer or left.span
            cut.at += 1
            right = _unary(cut)
            last = cut.outer or right.span
            kind, following, _file, _start, _end = cut.tokens[cut.at]
            if kind == "op" and following in PRECEDENCE:
                left, following = _chain(cut, [left, right], [text, following], [first, last])
            else:
                left = Binary("~^" if text == "^~" else text, left, right, span=joined(first, last))
            cut.outer = None
            text = following
        if text == "?" and cut.tokens[cut.at][0] == "op":
            first = cut.outer or left.span
            cut.at += 1
            then = expression(cut)
            expect(cut, ":")
            otherwise = expression(cut)
            left = Conditional(left, then, otherwise, span=joined(first, cut.outer or otherwise.span))
            cut.outer = None
    elif kind == "kw":
        raise Misfit
    cut.depth -= 1
    return left


def _chain(cut: Cut, operands: list[Expr], operators: list[str], spans: list[Span]) -> tuple[Expr, str]:
    """More operands, the second operator not stepped over yet; and the text that follows them."""
    while True:
        cut.at += 1
        operand = _unary(cut)
        operands.append(operand)
        spans.append(cut.outer or operand.span)
        kind, text, _file, _start, _end = cut.tokens[cut.at]
        if kind != "op" or text not in PRECEDENCE:
            return fold(operands, operators, spans), text
        operators.append(text)


def _unary(cut: Cut) -> Expr:
    kind, text, file, start, end = cut.tokens[cut.at]
    outer: Span | None = None
    if kind == "id":
        found: Expr = Name(text, span=Span(file, start, end))
    elif kind == "num":
        value = number(text, Span(file, start, end))
        if value is None:
            raise Misfit
        found = value
    elif kind == "op":
        if text == "(":
            cut.at += 1
            found = expression(cut)
            outer = closed(cut, Span(file, start, end), ")")
            cut.at -= 1
        elif text == "{":
            found = _braces(cut, Span(file, start, end))
        elif text in _UNARY:
            cut.at += 1
            cut.depth += 1
            if cut.depth > _DEEPEST:
                raise Misfit
            operand = _unary(cut)
            cut.depth -= 1
            span = cut.outer or operand.span
            cut.outer = None
            whole = Span(file, start, max(end, span.end) if span.file == file else end)
            return Unary("~^" if text == "^~" else text, operand, span=whole)
        elif text == "$":
            found = Open(span=Span(file, start, end))
        else:
            raise Misfit
    elif kind == "sys":
        found = _system(cut, text, Span(file, start, end))
    elif kind == "kw":
        found = _keyword_cast(cut, text, Span(file, start, end))
    elif kind == "str":
        found = String(text, span=Span(file, start, end))
    else:
        raise Misfit
    cut.at += 1
    kind, text, _file, _start, _end = cut.tokens[cut.at]
    if kind == "op":
        if text == "::":
            found = _scoped(cut, found)
            kind, text, _file, _start, _end = cut.tokens[cut.at]
        while text in _POSTFIX and kind == "op":
            found = _postfix(cut, found, text, outer or found.span)
            outer = None
            kind, text, _file, _start, _end = cut.tokens[cut.at]
        if text == "'{" and kind == "op":
            raise Misfit
    cut.outer = outer
    return found


def _postfix(cut: Cut, base: Expr, opening: str, begin: Span) -> Expr:
    """What stands behind `base`, whose span with its parentheses is `begin`, and the base."""
    cut.at += 1
    if opening == "[":
        first = expression(cut)
        kind, text, _file, _start, _end = cut.tokens[cut.at]
        if kind != "op":
            raise Misfit
        if text == "]":
            return Index(base, first, span=closed(cut, begin, "]"))
        if text not in (":", "+:", "-:"):
            raise Misfit
        cut.at += 1
        second = expression(cut)
        return Slice(base, first, second, text, span=closed(cut, begin, "]"))
    if opening == ".":
        kind, text, file, start, end = cut.tokens[cut.at]
        if kind != "id":
            raise Misfit
        cut.at += 1
        return Member(base, text, span=joined(begin, Span(file, start, end)))
    if opening == "(":
        return _call(cut, base, begin)
    expect(cut, "(")
    value = expression(cut)
    target: Expr | DataType = base
    if type(base) is Name:
        target = DataType("named", base.name, span=base.span)
    elif type(base) is Scoped:
        target = DataType("named", base.name, base.scope, span=base.span)
    return Cast(target, value, span=closed(cut, begin, ")"))


def _call(cut: Cut, function: Expr, begin: Span) -> Expr:
    """A call, behind its opening parenthesis."""
    token = cut.tokens[cut.at]
    if token[1] == ")" and token[0] == "op":
        return Call(function, (), span=closed(cut, begin, ")"))
    arguments = _listed(cut, expression(cut), ")")
    return Call(function, tuple(arguments), span=closed(cut, begin, ")"))


def _system(cut: Cut, name: str, span: Span) -> Expr:
    function = Name(name, span=span)
    following = cut.tokens[cut.at + 1]
    if following[1] != "(" or following[0] != "op":
        return Call(function, (), span=span)
    cut.at += 2
    found = _call(cut, function, span)
    cut.at -= 1
    return found


def _keyword_cast(cut: Cut, word: str, span: Span) -> Expr:
    """`int'(value)` and `signed'(value)`; the step over the closing parenthesis is left to the caller."""
    if word in ("signed", "unsigned"):
        target = DataType("implicit", word, signed=word == "signed", span=span)
    elif word in ("int", "logic", "bit", "integer", "byte", "longint", "shortint"):
        target = DataType("builtin", word, span=span)
    else:
        raise Misfit
    cut.at += 1
    expect(cut, "'")
    expect(cut, "(")
    value = expression(cut)
    span = closed(cut, span, ")")
    cut.at -= 1
    return Cast(target, value, span=span)


def _scoped(cut: Cut, scope: Expr) -> Expr:
    before = cut.tokens[cut.at - 1]
    kind, text, file, start, end = cut.tokens[cut.at + 1]
    if type(scope) is not Name or before[0] != "id" or kind != "id":
        raise Misfit
    cut.at += 2
    return Scoped(scope.name, text, span=joined(scope.span, Span(file, start, end)))


def _braces(cut: Cut, begin: Span) -> Expr:
    """`{a, b}` or `{n{a, b}}`; the step over the closing brace is left to the caller."""
    cut.at += 1
    first = expression(cut)
    token = cut.tokens[cut.at]
    if token[1] == "{" and token[0] == "op":
        cut.at += 1
        parts = _listed(cut, expression(cut), "}")
        cut.at += 1
        span = closed(cut, begin, "}")
        cut.at -= 1
        return Replicate(first, tuple(parts), span=span)
    parts = _listed(cut, first, "}")
    span = closed(cut, begin, "}")
    cut.at -= 1
    return Concat(tuple(parts), span=span)


def _listed(cut: Cut, first: Expr, closing: str) -> list[Expr]:
    """The expressions up to a closing bracket; the first is read already."""
    parts = [first]
    while True:
        kind, text, _file, _start, _end = cut.tokens[cut.at]
        if kind != "op":
            raise Misfit
        if text == closing:
            return parts
        if text != ",":
            raise Misfit
        cut.at += 1
        parts.append(expression(cut))


def closed(cut: Cut, begin: Span, text: str) -> Span:
    """Step over this closing bracket; the span from `begin` to it. Raises Misfit where none stands."""
    kind, found, file, _start, end = cut.tokens[cut.at]
    if found != text or kind != "op":
        raise Misfit
    cut.at += 1
    if file != begin.file:
        return begin
    return Span(file, begin.start, end if end > begin.end else begin.end)


def expect(cut: Cut, text: str) -> None:
    """Step over this operator. Raises Misfit where something else stands."""
    token = cut.tokens[cut.at]
    if token[1] != text or token[0] != "op":
        raise Misfit
    cut.at += 1


def joined(first: Span, last: Span) -> Span:
    """As `Span.to`, without the calls."""
    if first.file != last.file:
        return first
    end = last.end
    return Span(first.file, first.start, end if end > first.end else first.end)
