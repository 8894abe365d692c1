"""Design units of a token stream: modules, interfaces, packages, programs, and what stands outside them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from memlint.reading.facts.items import Item, Parameter, Port, Skipped, Unit, Variable
from memlint.reading.verilog import declarations
from memlint.reading.verilog.cursor import Cursor
from memlint.reading.verilog.items import item, items
from memlint.reading.verilog.tokens import Token
from memlint.text.source import Span

_ENDS = {
    "module": "endmodule",
    "macromodule": "endmodule",
    "interface": "endinterface",
    "package": "endpackage",
    "program": "endprogram",
    "primitive": "endprimitive",
}


@dataclass(frozen=True, slots=True)
class Extent:
    """The tokens [first, behind) of a unit; `closed` tells that its own end word ends it."""

    first: int
    behind: int
    closed: bool


@dataclass(frozen=True, slots=True)
class Found:
    """The units of a stream, the declarations outside them, and where each unit stands."""

    units: tuple[Unit, ...]
    outside: tuple[Item, ...]
    extents: tuple[Extent, ...]


def units(tokens: Sequence[Token], language: str) -> Found:
    """All units of a stream, and the declarations outside units."""
    cursor = Cursor(tokens)
    found: list[Unit] = []
    outside: list[Item] = []
    extents: list[Extent] = []
    while not cursor.ended:
        declarations.attributes(cursor)
        token = cursor.token
        before = cursor.at
        if token.kind == "kw" and token.text in _ENDS and not _class_like(cursor):
            unit, closed = _unit(cursor, language)
            if unit is not None:
                found.append(unit)
                extents.append(Extent(before, cursor.at, closed))
        elif token.kind == "kw" and token.text == "extern":
            declarations.statement_tokens(cursor)
        else:
            outside.extend(item(cursor))
        if cursor.at == before:
            cursor.take()
    return Found(tuple(found), tuple(outside), tuple(extents))


def _class_like(cursor: Cursor) -> bool:
    """`interface class` is a class; `virtual interface` never starts a line here."""
    return cursor.is_word("interface") and cursor.peek().text == "class"


def _unit(cursor: Cursor, language: str) -> tuple[Unit | None, bool]:
    """The unit here, if it has a name, and whether its own end word ends it."""
    start = cursor.at
    kind = cursor.take().text
    kind = "module" if kind == "macromodule" else kind
    end_word = _ENDS[kind]
    while cursor.token.kind == "kw" and cursor.token.text in ("automatic", "static"):
        cursor.take()
    if cursor.token.kind != "id":
        return None, False
    name = cursor.take()
    if kind == "primitive":
        _step_to(cursor, end_word)
        whole = cursor.span(start)
        return Unit(name.text, kind, language, (), (), (), span=_span(name), whole=whole), False
    header: list[Item] = []
    while cursor.is_word("import"):
        header.extend(item(cursor))
    parameters: list[Parameter | Skipped] = []
    if cursor.accept("#") and cursor.is_op("("):
        held = cursor.inside()
        if held is not None:
            parameters = declarations.parameters(held, local=False)
    while cursor.is_word("import"):
        header.extend(item(cursor))
    ports: list[Port] = []
    if cursor.is_op("("):
        held = cursor.inside()
        if held is not None:
            ports, skipped = declarations.ports(held)
            header.extend(skipped)
        else:
            cursor.at = cursor.statement_end()[0]
    cursor.accept(";")
    body = items(cursor, frozenset((end_word,)))
    closed = cursor.accept(end_word)
    if closed and cursor.is_op(":"):
        cursor.take()
        cursor.take()
    whole = cursor.span(start)
    header.extend(one for one in parameters if isinstance(one, Skipped))
    own = [one for one in parameters if isinstance(one, Parameter)]
    return _assemble(name, kind, language, own, ports, [*header, *body], whole), closed


def _assemble(
    name: Token,
    kind: str,
    language: str,
    header_parameters: list[Parameter],
    header_ports: list[Port],
    body: list[Item],
    whole: Span,
) -> Unit:
    # With a parameter port list, `parameter` in the body is local (IEEE Std 1800-2017, 6.20.1).
    local_body = bool(header_parameters) and kind != "package"
    parameters = list(header_parameters)
    for one in body:
        if isinstance(one, Parameter):
            parameters.append(replace(one, local=True) if local_body else one)
    declared = {one.name: one for one in body if isinstance(one, Port)}
    variables = {one.name: one for one in body if isinstance(one, Variable)}
    ports = [_merged(port, declared.get(port.name), variables.get(port.name)) for port in header_ports]
    names = {port.name for port in ports}
    rest = tuple(
        one
        for one in body
        if not isinstance(one, Port | Parameter) and not (isinstance(one, Variable) and one.name in names)
    )
    return Unit(
        name.text, kind, language, tuple(parameters), tuple(ports), rest, span=_span(name), whole=whole
    )


def _merged(port: Port, declared: Port | None, variable: Variable | None) -> Port:
    """A non-ANSI port from its header name, its direction declaration and its net or variable declaration."""
    if declared is not None and not port.direction:
        port = replace(
            port,
            direction=declared.direction,
            type=declared.type,
            dimensions=declared.dimensions,
            span=declared.span,
        )
    if variable is not None:
        kind = port.type
        if kind.kind == "implicit" and not kind.dimensions:
            kind = variable.type
        dimensions = port.dimensions or variable.dimensions
        port = replace(
            port,
            type=kind,
            dimensions=dimensions,
            initial=port.initial or variable.initial,
            attributes=port.attributes or variable.attributes,
            intents=port.intents or variable.intents,
        )
    return port if port.direction else replace(port, direction="inout")


def _step_to(cursor: Cursor, word: str) -> None:
    while not cursor.ended and not cursor.is_word(word):
        if cursor.is_word("module") or cursor.is_word("endmodule"):
            return
        cursor.take()
    cursor.accept(word)


def _span(token: Token) -> Span:
    return Span(token.file, token.start, token.end)
