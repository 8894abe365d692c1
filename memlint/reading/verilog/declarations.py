"""Declarations: parameters, ports, variables, nets, typedefs; each name is parsed on its own."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from memlint.reading.facts.expressions import DataType, Expr
from memlint.reading.facts.items import (
    AttributeFact,
    Import,
    Item,
    Parameter,
    Port,
    Skipped,
    Typedef,
    Variable,
)
from memlint.reading.verilog import leaves, quick_types
from memlint.reading.verilog.cursor import Cursor, find, split
from memlint.reading.verilog.leaves import ParseError, expression, names, slice_span
from memlint.reading.verilog.tokens import Token

if TYPE_CHECKING:
    from memlint.reading.verilog.typed import Typed

DIRECTIONS = frozenset(("input", "output", "inout", "ref"))
NETS = frozenset("""
    wire tri wand wor triand trior tri0 tri1 supply0 supply1 trireg uwire interconnect
    """.split())
_MODIFIERS = frozenset(["var", "const", "static", "automatic", "rand", "randc", "local", "protected"])
_STRENGTHS = frozenset(
    """
    supply0 supply1 strong0 strong1 pull0 pull1 weak0 weak1 highz0 highz1 small medium large
    """.split()
)
IMPLICIT = DataType("implicit")


def statement_tokens(cursor: Cursor) -> tuple[Sequence[Token], bool]:
    """The tokens of the declaration here, without its `;`, and whether the `;` was there; steps over it."""
    start = cursor.at
    end, done = cursor.statement_end()
    cursor.at = end
    return cursor.tokens[start : end - 1 if done else end], done


def attributes(cursor: Cursor) -> tuple[AttributeFact, ...]:
    """The attribute instances `(* … *)` here; steps over them."""
    found: list[AttributeFact] = []
    while cursor.is_op("(*"):
        held = cursor.inside()
        if held is None:
            cursor.take()
            break
        for part in split(held):
            if part and part[0].kind in ("id", "kw"):
                value = expression(part[2:]) if len(part) > 2 and part[1].text == "=" else None
                found.append(AttributeFact(part[0].text, value, span=slice_span(part)))
    return tuple(found)


def _strip_attributes(tokens: Sequence[Token]) -> Sequence[Token]:
    while tokens and tokens[0].kind == "op" and tokens[0].text == "(*":
        end = next((at for at, one in enumerate(tokens) if one.kind == "op" and one.text == "*)"), None)
        if end is None:
            return tokens
        tokens = tokens[end + 1 :]
    return tokens


def _modifiers(tokens: Sequence[Token]) -> tuple[Sequence[Token], list[str]]:
    """Leading words that are no part of the type (lifetime, net type, strength, delay), taken off."""
    words: list[str] = []
    if tokens and tokens[0][0] == "id":
        return tokens, words
    at = 0
    while at < len(tokens):
        token = tokens[at]
        if token.kind == "kw" and (token.text in _MODIFIERS or token.text in NETS):
            words.append(token.text)
            at += 1
            if at < len(tokens) and token.text in NETS and tokens[at].text == "(":
                inside = [one.text for one in tokens[at + 1 : at + 4]]
                if inside and inside[0] in _STRENGTHS:
                    while at < len(tokens) and tokens[at].text != ")":
                        at += 1
                    at += 1
            while (
                at < len(tokens) and tokens[at].kind == "kw" and tokens[at].text in ("vectored", "scalared")
            ):
                at += 1
            continue
        if token.kind == "op" and token.text == "#" and at + 1 < len(tokens):
            at += 2
            if tokens[at - 1].text == "(":
                while at < len(tokens) and tokens[at - 1].text != ")":
                    at += 1
            continue
        break
    return tokens[at:], words


def variables(
    tokens: Sequence[Token], attribute_facts: tuple[AttributeFact, ...] = (), kind: str = "variable"
) -> list[Item]:
    """Variables or nets of one declaration statement; a name that does not parse becomes Skipped."""
    if not tokens:
        return []
    statement = slice_span(tokens)
    rest, words = _modifiers(tokens)
    if any(word in NETS for word in words):
        kind = "net"
    elif "const" in words:
        kind = "constant"
    quick = quick_types.declarators(rest)
    if quick is not None:
        implied = quick[0].type or IMPLICIT
        return [
            Variable(
                one.name,
                kind,
                implied,
                one.dimensions,
                one.initial,
                attribute_facts,
                span=one.span,
                statement=statement,
            )
            for one in quick
        ]
    found: list[Item] = []
    base: DataType | None = None
    for at, part in enumerate(split(rest)):
        part = _without_delay(part)
        if not part:
            continue
        try:
            typed = leaves.typed(part) if at == 0 else leaves.declarator(part)
        except ParseError as error:
            found.append(_skipped("a declaration", error, part))
            if at == 0:
                base = None
            continue
        if at == 0:
            base = typed.type or IMPLICIT
        if base is None:
            base = DataType("unsupported", "the type before it was not understood")
        found.append(
            Variable(
                typed.name,
                kind,
                base,
                typed.dimensions,
                typed.initial,
                attribute_facts,
                span=typed.span,
                statement=statement,
            )
        )
    return found


def _without_delay(part: Sequence[Token]) -> Sequence[Token]:
    """A declaration without attributes before it and without a net's delay, `wire [7:0] #2 q`."""
    part = _strip_attributes(part)
    at = find(part, frozenset(("#", "=")))
    if at is None or at + 1 >= len(part) or part[at].text != "#":
        return part
    end = at + 2
    if part[at + 1].text == "(":
        end = next((one for one in range(at, len(part)) if part[one].text == ")"), len(part) - 1) + 1
    # `type #(…)::name` is a class with parameters.
    return part if end < len(part) and part[end].text == "::" else [*part[:at], *part[end:]]


def parameters(tokens: Sequence[Token], local: bool) -> list[Parameter | Skipped]:
    """Parameters of one list or statement; `parameter` and `localparam` words inside switch the kind."""
    found: list[Parameter | Skipped] = []
    base: DataType | None = None
    is_type = False
    for part in split(tokens):
        part = _strip_attributes(part)
        if not part:
            continue
        fresh = False
        while part and part[0].kind == "kw" and part[0].text in ("parameter", "localparam", "specparam"):
            local = part[0].text != "parameter" if part[0].text != "parameter" else local and not found
            local = part[0].text != "parameter"
            part = part[1:]
            fresh = True
        if not part:
            continue
        if part[0].kind == "kw" and part[0].text == "type" and len(part) > 1 and part[1].text != "(":
            is_type, part, fresh = True, part[1:], True
        elif fresh:
            is_type = False
        try:
            typed, typed_base = _parameter(part, is_type)
        except ParseError as error:
            found.append(_skipped("a parameter", error, part))
            continue
        if typed_base is not None or fresh:
            base = typed_base
        found.append(
            Parameter(
                typed.name,
                None if is_type else base,
                typed.dimensions,
                typed.initial,
                local,
                is_type,
                span=typed.span,
            )
        )
    return found


def _parameter(part: Sequence[Token], is_type: bool) -> tuple[Typed, DataType | None]:
    if is_type:
        return leaves.type_parameter(part), None
    typed = leaves.typed(part)
    return typed, typed.type


def ports(tokens: Sequence[Token]) -> tuple[list[Port], list[Skipped]]:
    """An ANSI port list, or bare names of a non-ANSI one (direction ``)."""
    found: list[Port] = []
    skipped: list[Skipped] = []
    direction = ""
    base: DataType = IMPLICIT
    for part in split(tokens):
        part = _strip_attributes(part)
        if not part:
            continue
        given = False
        if part[0].kind == "kw" and part[0].text in DIRECTIONS:
            direction, part, given = part[0].text, part[1:], True
        part, words = _modifiers(part)
        if not part:
            continue
        if part[0].kind == "op" and part[0].text == ".":
            # `.outer(inner)`: the port is known outside by another name than inside.
            port = _renamed(part, direction)
            if port is not None:
                found.append(port)
            continue
        try:
            typed = leaves.typed(part)
        except ParseError as error:
            skipped.append(_skipped("a port", error, part))
            continue
        if typed.type is not None:
            base = typed.type
            if typed.type.kind in ("interface",) or (typed.type.kind == "named" and not given and not words):
                direction = (
                    "interface" if not given and _maybe_interface(typed.type, direction, found) else direction
                )
        elif given or words:
            base = IMPLICIT
        kind = "interface" if base.kind == "interface" else (direction or ("input" if found else ""))
        found.append(Port(typed.name, kind, base, typed.dimensions, typed.initial, span=typed.span))
    return found, skipped


def _maybe_interface(kind: DataType, direction: str, before: list[Port]) -> bool:
    """A named type without any direction: an interface port, or a user type that inherits a direction."""
    return kind.kind == "interface" or ((not direction or direction == "interface") and not kind.scope)


def _renamed(part: Sequence[Token], direction: str) -> Port | None:
    if len(part) < 4 or part[1].kind != "id":
        return None
    inner = expression(part[3:-1])
    return Port(part[1].text, direction, IMPLICIT, (), inner, span=slice_span(part[1:2]))


def port_declaration(tokens: Sequence[Token]) -> tuple[list[Port], list[Skipped]]:
    """A non-ANSI port declaration in the body: `output reg [7:0] a, b`."""
    return ports(tokens)


def typedef(tokens: Sequence[Token]) -> list[Item]:
    """`typedef <type> name dims`, after the keyword; a forward declaration gives nothing."""
    if not tokens or (len(tokens) == 1 and tokens[0].kind == "id"):
        return []
    if tokens[0].kind == "kw" and tokens[0].text in ("class", "interface"):
        return []
    try:
        typed = leaves.typed(tokens)
    except ParseError as error:
        return [_skipped("a typedef", error, tokens)]
    if typed.type is None:
        return []
    return [Typedef(typed.name, typed.type, typed.dimensions, span=typed.span)]


def imports(tokens: Sequence[Token]) -> list[Item]:
    """`pkg::name, pkg::*`, after the keyword."""
    found: list[Item] = []
    for part in split(tokens):
        if len(part) == 3 and part[1].text == "::":
            found.append(Import(part[0].text, part[2].text, span=slice_span(part)))
    return found


def assigned(tokens: Sequence[Token]) -> tuple[Expr, Expr] | None:
    """`target = value` of a continuous assignment; None when there is no `=`."""
    at = find(tokens, frozenset(("=",)))
    if not at:
        return None
    return expression(tokens[:at]), expression(tokens[at + 1 :])


def _skipped(what: str, error: ParseError, tokens: Sequence[Token]) -> Skipped:
    what = f"{what}, near `{error.found}`"
    return Skipped(what, names(tokens), span=slice_span(tokens), too_deep=error.too_deep)
