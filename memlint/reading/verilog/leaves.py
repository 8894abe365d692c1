"""Leaves of the structural scan by the grammar: expressions, types and declarations from token slices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache
from typing import TYPE_CHECKING, Any

from memlint.reading.facts.expressions import DataType, Expr, Name, String, Unsupported
from memlint.reading.grammars import prepared
from memlint.reading.verilog import quick, quick_types
from memlint.reading.verilog.literals import number
from memlint.text.source import Span

if TYPE_CHECKING:
    from memlint.reading.lalr import Table
    from memlint.reading.verilog.tokens import Token
    from memlint.reading.verilog.typed import Typed


class ParseError(Exception):
    """A slice the grammar does not take, or that nests `too_deep`. `span` is the offending token, `found` its
    text."""

    def __init__(self, found: str, span: Span, *, too_deep: bool = False) -> None:
        super().__init__(found)
        self.found = found
        self.span = span
        self.too_deep = too_deep


_OPERATORS = {
    "(": "LPAR",
    ")": "RPAR",
    "[": "LSQB",
    "]": "RSQB",
    "{": "LBRACE",
    "}": "RBRACE",
    "'{": "APOSBRACE",
    "'": "_APOS",
    ",": "_COMMA",
    ";": "_SEMI",
    ":": "_COLON",
    "?": "_QUESTION",
    ".": "_DOT",
    "::": "_SCOPE",
    "=": "_EQUALS",
    "#": "_HASH",
    "+:": "PLUSCOLON",
    "-:": "MINUSCOLON",
    "$": "DOLLAR",
    "*": "STAR",
    "<<": "STREAM",
    ">>": "STREAM",
    **dict.fromkeys(("!", "~", "~&", "~|"), "UNARY"),
    **dict.fromkeys(("+", "-", "&", "|", "^", "~^", "^~"), "EITHER"),
    **dict.fromkeys(
        ("/", "%", "**", "==", "!=", "===", "!==", "==?", "!=?", "<", "<=", ">", ">=", "&&", "||"), "BINARY"
    ),
    **dict.fromkeys(("<<<", ">>>", "->", "<->"), "BINARY"),
}
BUILTIN_TYPES = frozenset(
    """
    logic reg bit integer int byte shortint longint time real shortreal realtime string event chandle
    void
    """.split()
)
_KEYWORDS = {
    **dict.fromkeys(BUILTIN_TYPES, "BUILTIN"),
    "signed": "SIGNING",
    "unsigned": "SIGNING",
    "struct": "STRUCT",
    "union": "STRUCT",
    "packed": "PACKED",
    "enum": "ENUM",
    "type": "TYPE",
    "inside": "INSIDE",
    "default": "DEFAULT",
    "interface": "INTERFACE",
    "virtual": "VIRTUAL",
}
_KINDS = {"id": "ID", "num": "NUMBER", "str": "STRING", "sys": "SYSTEM"}
# Deeper nesting than this is no code anyone wrote; the walks over the nodes are recursive.
DEEPEST = 150


class _Leaf:
    """What lark sees of a token: the attributes it asks for, and the span."""

    __slots__ = ("span", "text", "type")
    line = column = end_line = end_column = start_pos = end_pos = 0

    def __init__(self, kind: str, text: str, span: Span) -> None:
        self.type = kind
        self.text = text
        self.span = span


def leaves(tokens: Sequence[Token]) -> Iterator[_Leaf]:
    """A slice as the grammar's terminals. Raises ParseError where a token is none, or nests too deep."""
    depth = 0
    for kind, text, file, start, end in tokens:
        span = Span(file, start, end)
        if kind == "op":
            name = _OPERATORS.get(text)
            if text in ("(", "[", "{", "'{", "?"):
                depth += 1
                if depth > DEEPEST:
                    raise ParseError(f"nesting deeper than {DEEPEST}", span, too_deep=True)
            elif text in (")", "]", "}"):
                depth -= 1
        elif kind == "kw":
            name = _KEYWORDS.get(text)
            if name is None and text in ("this", "super", "null"):
                name = "ID"
        else:
            name = _KINDS.get(kind)
        if name is None:
            raise ParseError(text, span)
        yield _Leaf(name, text, span)


@cache
def _table() -> Table:
    from memlint.reading.lalr import Table
    from memlint.reading.verilog.build import Build

    return Table(prepared("systemverilog"), Build())


def parse(start: str, tokens: Sequence[Token]) -> Any:
    """What the grammar's rule `start` makes of a slice. Raises ParseError."""
    from memlint.reading.lalr import Misfit

    try:
        return _table().parse(start, leaves(tokens))
    except Misfit as misfit:
        token = misfit.token
    if isinstance(token, _Leaf):
        raise ParseError(token.text, token.span)
    last = tokens[-1] if tokens else None
    span = Span(last.file, last.start, last.end) if last else Span("", 0, 0)
    raise ParseError("the end of the statement", span)


def expression(tokens: Sequence[Token]) -> Expr:
    """The expression a slice holds; what the grammar does not take becomes Unsupported, never an error."""
    if len(tokens) == 1:
        kind, text, file, start, end = tokens[0]
        if kind == "id":
            return Name(text, span=Span(file, start, end))
        if kind == "num":
            value = number(text, Span(file, start, end))
            if value is not None:
                return value
        if kind == "str":
            return String(text, span=Span(file, start, end))
    if not tokens:
        return Unsupported("an empty expression", (), span=Span("", 0, 0))
    found = quick.read(tokens)
    if found is not None:
        return found
    try:
        return parse("expression", tokens)  # type: ignore[no-any-return]
    except ParseError as error:
        return Unsupported(f"an expression near `{error.found}`", names(tokens), span=slice_span(tokens))


def typed(tokens: Sequence[Token]) -> Typed:
    """A declaration up to its first comma. Raises ParseError."""
    found = quick_types.typed(tokens)
    return found if found is not None else parse("typed", tokens)


def declarator(tokens: Sequence[Token]) -> Typed:
    """A further name of a declaration. Raises ParseError."""
    found = quick_types.declarator(tokens)
    return found if found is not None else parse("declarator", tokens)


def data_type(tokens: Sequence[Token]) -> DataType:
    """A data type. Raises ParseError."""
    return parse("data_type", tokens)  # type: ignore[no-any-return]


def type_parameter(tokens: Sequence[Token]) -> Typed:
    """`T = type` of a type parameter. Raises ParseError."""
    found: Typed = parse("type_parameter", tokens)
    if found.initial is None:
        return found
    return replace(found, initial=replace(found.initial, span=slice_span(tokens[2:])))


def names(tokens: Sequence[Token]) -> tuple[str, ...]:
    """The identifiers of a slice, each once, in order."""
    return tuple(dict.fromkeys(token.text for token in tokens if token.kind == "id"))


def slice_span(tokens: Sequence[Token]) -> Span:
    """The span a slice covers in the file of its first token."""
    _kind, _text, file, start, end = tokens[0]
    _kind, _text, last_file, _start, last_end = tokens[-1]
    return Span(file, start, last_end if last_file == file and last_end > end else end)
