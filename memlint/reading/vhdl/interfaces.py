"""Generic, port and parameter lists."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.reading.facts.expressions import DataType, Expr
from memlint.reading.facts.items import Item, Parameter, Port, Skipped
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.tokens import BARRIERS, STOPS, Token, names_in, slice_span
from memlint.reading.vhdl.values import value_of
from memlint.text.source import Span

_CLASSES = frozenset(("SIGNAL", "CONSTANT", "VARIABLE", "FILE"))
_MODES = {"IN": "input", "OUT": "output", "INOUT": "inout", "BUFFER": "buffer", "LINKAGE": "inout"}
_SUBPROGRAMS = frozenset(("FUNCTION", "PROCEDURE", "PURE", "IMPURE"))


def generic_clause(cursor: Cursor) -> tuple[list[Parameter], list[Skipped]]:
    """From `generic` over the `;`: the constants and types, and what else a generic may be, by name."""
    cursor.at += 1
    parameters, skipped = generics(cursor)
    cursor.accept("SEMI")
    return parameters, skipped


def generics(cursor: Cursor) -> tuple[list[Parameter], list[Skipped]]:
    """A list of generics in parentheses."""
    parameters: list[Parameter] = []
    skipped: list[Skipped] = []
    if cursor.kind not in ("LPAR", "DEEP"):
        return parameters, skipped
    for tokens in _elements(_inside(cursor)):
        first = tokens[0].type
        if first == "TYPE" and len(tokens) > 1:
            name = tokens[1]
            parameters.append(
                Parameter(name.value, None, (), None, local=False, is_type=True, span=name.span)
            )
        elif first in _SUBPROGRAMS or first == "PACKAGE":
            what = "generic package" if first == "PACKAGE" else "generic subprogram"
            skipped.append(Skipped(what, names_in(tokens), span=slice_span(tokens)))
        else:
            element = _element(tokens)
            if isinstance(element, Skipped):
                skipped.append(element)
                continue
            for name in element.names:
                parameters.append(
                    Parameter(name.value, element.type, (), element.initial, local=False, span=name.span)
                )
    return parameters, skipped


def port_clause(cursor: Cursor) -> tuple[list[Port], list[Skipped]]:
    """From `port` over the `;`."""
    cursor.at += 1
    result = ports(cursor)
    cursor.accept("SEMI")
    return result


def ports(cursor: Cursor) -> tuple[list[Port], list[Skipped]]:
    """A list of ports or subprogram parameters in parentheses."""
    result: list[Port] = []
    skipped: list[Skipped] = []
    if cursor.kind not in ("LPAR", "DEEP"):
        return result, skipped
    for tokens in _elements(_inside(cursor)):
        element = _element(tokens)
        if isinstance(element, Skipped):
            skipped.append(element)
            continue
        for name in element.names:
            result.append(
                Port(name.value, element.direction, element.type, (), element.initial, span=name.span)
            )
    return result, skipped


class _Declared:
    """What one element of a list declares."""

    __slots__ = ("direction", "initial", "names", "type")

    def __init__(self, names: list[Token], direction: str, type: DataType, initial: Expr | None) -> None:
        self.names = names
        self.direction = direction
        self.type = type
        self.initial = initial


def _element(tokens: list[Token]) -> _Declared | Skipped:
    at = 1 if tokens[0].type in _CLASSES else 0
    names, at = identifiers(tokens, at)
    if not names:
        return Skipped("interface declaration", names_in(tokens), span=slice_span(tokens))
    direction = "input"
    if at < len(tokens) and tokens[at].type in _MODES:
        direction = _MODES[tokens[at].type]
        at += 1
    elif _is_view(tokens, at):
        # A mode view (2019) gives every field its own direction, as a modport does.
        view = tokens[at + 1]
        span = Span(view.file, view.start, tokens[-1].end)
        return _Declared(names, "interface", DataType("interface", view.value, span=span), None)
    declared = parse.declaration(tokens[at:])
    if isinstance(declared, Failure):
        unreadable = DataType("unsupported", "unreadable type", span=slice_span(tokens))
        return _Declared(names, direction, unreadable, None)
    data_type, values = declared
    if values is None:
        return _Declared(names, direction, data_type, None)
    values.reverse()
    return _Declared(names, direction, data_type, value_of(values))


def _is_view(tokens: Sequence[Token], at: int) -> bool:
    kinds = [token.type for token in tokens[at : at + 2]]
    return kinds == ["NAME", "NAME"] and tokens[at].value == "view"


def identifiers(tokens: Sequence[Token], at: int) -> tuple[list[Token], int]:
    """`a, b :` from index `at`: the names and the index after the colon; no names where it is not that."""
    names: list[Token] = []
    while at + 1 < len(tokens) and tokens[at].type == "NAME":
        names.append(tokens[at])
        separator = tokens[at + 1].type
        at += 2
        if separator == "COLON":
            return names, at
        if separator != "COMMA":
            break
    return [], at


def _elements(tokens: list[Token]) -> list[list[Token]]:
    """The elements of a list. Where a `;` is missing, a second `names :` begins the next one."""
    result: list[list[Token]] = []
    for part in _split(tokens):
        begin = 0
        for colon in [at for at, token in enumerate(part) if token.type == "COLON"][1:]:
            start = colon - 1
            while start - 2 > begin and part[start - 1].type == "COMMA" and part[start - 2].type == "NAME":
                start -= 2
            if start - 1 > begin and part[start - 1].type in _CLASSES:
                start -= 1
            if start > begin and part[0].type not in _SUBPROGRAMS:
                result.append(part[begin:start])
                begin = start
        if part[begin:]:
            result.append(part[begin:])
    return result


def _inside(cursor: Cursor) -> list[Token]:
    """The tokens inside the parentheses that open here; steps over them.

    Where they never close, all up to a word that cannot stand inside, or a line that begins a
    declaration and is indented no deeper than the line the list begins on.
    """
    begin = cursor.at + 1
    end = cursor.closing.get(cursor.at)
    if end is not None:
        cursor.at = end + 1
        return cursor.tokens[begin:end]
    margin = cursor.indentation(cursor.at)
    end = begin
    while (kind := cursor.tokens[end].type) not in BARRIERS:
        declares = kind in STOPS and kind != "SEMI"
        if declares and cursor.new_line(end) and cursor.indentation(end) <= margin:
            break
        end += 1
    cursor.at = end
    return cursor.tokens[begin:end]


def _split(tokens: list[Token]) -> list[list[Token]]:
    """Cut a list at its `;`; only a subprogram has any inside parentheses, others left them open."""
    parts: list[list[Token]] = [[]]
    depth = 0
    for token in tokens:
        kind = token.type
        if kind == "SEMI" and (depth == 0 or parts[-1][0].type not in _SUBPROGRAMS):
            parts.append([])
            depth = 0
            continue
        depth += (kind in ("LPAR", "DEEP")) - (kind == "RPAR")
        if depth < 0:
            break
        parts[-1].append(token)
    return parts


def header(cursor: Cursor) -> tuple[list[Parameter], list[Port], list[Item]]:
    """The generic and port clauses of an entity, component, block or package, with their map aspects."""
    parameters: list[Parameter] = []
    port_list: list[Port] = []
    rest: list[Item] = []
    while cursor.kind in ("GENERIC", "PORT"):
        start = cursor.at
        if cursor.peek().type == "MAP":
            cursor.at += 2
            cursor.leaf()
            rest.append(cursor.skipped("map aspect of a block or package", start))
        elif cursor.kind == "GENERIC":
            more_parameters, skipped = generic_clause(cursor)
            parameters.extend(more_parameters)
            rest.extend(skipped)
        else:
            more_ports, skipped = port_clause(cursor)
            port_list.extend(more_ports)
            rest.extend(skipped)
    return parameters, port_list, rest
