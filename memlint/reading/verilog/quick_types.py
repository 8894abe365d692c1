"""The commonest declarations in front of the grammar, as `quick` has the commonest expressions."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.reading.facts.expressions import DataType, Dimension, Expr, Open
from memlint.reading.verilog.quick import Cut, Misfit, closed, cut_of, expect, expression, joined
from memlint.reading.verilog.tokens import Token
from memlint.reading.verilog.typed import SIGNED, Typed
from memlint.text.source import Span

_BUILTIN = frozenset(
    """
    logic reg bit integer int byte shortint longint time real shortreal realtime string event chandle void
    """.split()
)
_SIGNS = frozenset(("signed", "unsigned"))


def typed(tokens: Sequence[Token]) -> Typed | None:
    """A declaration up to its first comma; None where the grammar has to say."""
    cut = cut_of(tokens)
    if cut is None:
        return None
    try:
        found = _typed(cut)
    except Misfit:
        return None
    return found if cut.at == len(tokens) else None


def declarator(tokens: Sequence[Token]) -> Typed | None:
    """A further name of a declaration; None where the grammar has to say."""
    cut = cut_of(tokens)
    if cut is None:
        return None
    try:
        found = _named(cut, None)
    except Misfit:
        return None
    return found if cut.at == len(tokens) else None


def declarators(tokens: Sequence[Token]) -> list[Typed] | None:
    """All names of a declaration; None where the grammar has to say of one of them."""
    cut = cut_of(tokens)
    if cut is None:
        return None
    try:
        found = [_typed(cut)]
        while cut.at < len(tokens):
            expect(cut, ",")
            found.append(_named(cut, None))
    except Misfit:
        return None
    return found


def _typed(cut: Cut) -> Typed:
    kind, text, file, start, end = cut.tokens[0]
    span = Span(file, start, end)
    if kind == "id":
        return _of_named_type(cut, text, span)
    if kind == "op":
        dimensions = _dimensions(cut)
        if not dimensions:
            raise Misfit
        return _named(cut, DataType("implicit", dimensions=dimensions, span=dimensions[0].span))
    if kind != "kw":
        raise Misfit
    cut.at = 1
    if text in _BUILTIN:
        sign = cut.tokens[1]
        signed = text in SIGNED
        if sign[0] == "kw" and sign[1] in _SIGNS:
            signed = sign[1] == "signed"
            cut.at = 2
        return _named(cut, DataType("builtin", text, signed=signed, dimensions=_dimensions(cut), span=span))
    if text in _SIGNS:
        dimensions = _dimensions(cut)
        return _named(cut, DataType("implicit", signed=text == "signed", dimensions=dimensions, span=span))
    raise Misfit


def _of_named_type(cut: Cut, name: str, span: Span) -> Typed:
    """A declaration that starts with an identifier: the name of a type, or the only name there is."""
    tokens = cut.tokens
    scope = ""
    cut.at = 1
    kind, text, _file, _start, _end = tokens[1]
    if kind == "op" and text != "=" and text != "[":
        if text != "::" or tokens[2][0] != "id":
            raise Misfit
        _kind, last, file, start, end = tokens[2]
        scope, name, span = name, last, joined(span, Span(file, start, end))
        cut.at = 3
    dimensions = _dimensions(cut)
    kind, text, _file, _start, _end = tokens[cut.at]
    if kind == "id":
        return _named(cut, DataType("named", name, scope, dimensions=dimensions, span=span))
    return Typed(None, name, span, dimensions, _initial(cut))


def _named(cut: Cut, type_: DataType | None) -> Typed:
    kind, name, file, start, end = cut.tokens[cut.at]
    if kind != "id":
        raise Misfit
    cut.at += 1
    return Typed(type_, name, Span(file, start, end), _dimensions(cut), _initial(cut))


def _initial(cut: Cut) -> Expr | None:
    token = cut.tokens[cut.at]
    if token[1] != "=" or token[0] != "op":
        return None
    cut.at += 1
    return expression(cut)


def _dimensions(cut: Cut) -> tuple[Dimension, ...]:
    tokens = cut.tokens
    token = tokens[cut.at]
    if token[1] != "[" or token[0] != "op":
        return ()
    found: list[Dimension] = []
    while token[1] == "[" and token[0] == "op":
        _kind, _text, file, start, end = token
        begin = Span(file, start, end)
        cut.at += 1
        first = expression(cut)
        token = tokens[cut.at]
        if token[1] == ":" and token[0] == "op":
            cut.at += 1
            last = expression(cut)
            found.append(Dimension(first, last, ":", span=closed(cut, begin, "]")))
        else:
            kind = "dynamic" if type(first) is Open else "size"
            found.append(Dimension(first, None, kind, span=closed(cut, begin, "]")))
        token = tokens[cut.at]
    return tuple(found)
