"""Declarative items: objects, types, aliases, attributes, components, use clauses."""

from __future__ import annotations

from collections.abc import Callable

from memlint.reading.facts.items import Alias, AttributeSpec, Component, Import, Item, Variable
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.ends import close, skip_end
from memlint.reading.vhdl.interfaces import header, identifiers
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.tokens import Token
from memlint.reading.vhdl.typedefs import subtype_declaration, type_declaration
from memlint.reading.vhdl.values import value_of

_OBJECTS = {"SIGNAL": "signal", "CONSTANT": "constant", "VARIABLE": "variable", "SHARED": "shared"}
_TARGETS = frozenset(("NAME", "STRING", "ATOM", "ALL", "OTHERS"))
# Libraries every file sees without a library clause; `use ieee.std_logic_1164` is seldom without one.
_LIBRARIES = frozenset(("work", "std", "ieee"))


def object_declaration(cursor: Cursor) -> list[Item]:
    """From `signal`, `constant`, `variable` or `shared` over the `;`: a Variable a name."""
    start = cursor.at
    kind = _OBJECTS[cursor.kind]
    cursor.at += 1
    cursor.accept("VARIABLE")
    begin = cursor.at
    tokens = cursor.leaf()
    names, after = identifiers(tokens, 0)
    declared = parse.declaration(tokens[after:]) if names else Failure("", tokens[-1] if tokens else None)
    if isinstance(declared, Failure):
        cursor.recover(begin, declared)
        return [cursor.skipped(f"{kind} declaration", start)]
    data_type, values = declared
    initial = None
    if values is not None:
        values.reverse()
        initial = value_of(values)
    statement = cursor.span(start)
    return [
        Variable(name.value, kind, data_type, (), initial, span=name.span, statement=statement)
        for name in names
    ]


def alias_declaration(cursor: Cursor) -> list[Item]:
    """From `alias` over the `;`; a signature is dropped."""
    start = cursor.at
    cursor.at += 1
    name = cursor.token
    if not (cursor.accept("NAME") or cursor.accept("STRING") or cursor.accept("ATOM")):
        cursor.leaf()
        return [cursor.skipped("alias declaration", start)]
    if cursor.accept("COLON"):
        cursor.at = cursor.next_stop()
    if not cursor.accept("IS"):
        cursor.leaf()
        return [cursor.skipped("alias declaration", start)]
    tokens: list[Token] = cursor.until("SEMI")
    while cursor.kind == "RETURN":
        # A signature says what a subprogram returns: `[integer return boolean]`.
        cursor.at += 1
        cursor.until("SEMI")
    brackets = [at for at, token in enumerate(tokens) if token.type == "LBRACK"]
    target = parse.expression(tokens[: brackets[0]] if brackets else tokens, cursor.here())
    return [Alias(name.value, target, span=name.span)]


def attribute(cursor: Cursor) -> list[Item]:
    """An attribute specification, one fact a target; an attribute declaration says nothing."""
    start = cursor.at
    cursor.at += 1
    name = cursor.token
    if cursor.accept("NAME"):
        if cursor.accept("COLON"):
            cursor.leaf()
            return []
        if cursor.accept("OF"):
            targets = _attribute_targets(cursor)
            if targets:
                # The entity class, which may be a word that begins a statement elsewhere, and `is`.
                cursor.at += 2
                value = parse.expression(cursor.leaf(), cursor.here())
                span = cursor.span(start)
                return [AttributeSpec(name.value, target, value, span=span) for target in targets]
    cursor.leaf()
    return [cursor.skipped("attribute specification", start)]


def _attribute_targets(cursor: Cursor) -> list[str]:
    """The names before the `:`, which is stepped over; none where it is missing."""
    targets: list[str] = []
    at = cursor.at
    while True:
        token = cursor.tokens[at]
        if token.type == "LBRACK":
            while cursor.tokens[at].type not in ("RBRACK", "SEMI", "EOF"):
                at += 1
        elif token.type in _TARGETS:
            targets.append(token.value)
        elif token.type != "COMMA":
            break
        at += 1
    if token.type != "COLON" or cursor.tokens[at + 2].type != "IS":
        return []
    cursor.at = at + 1
    return targets


def component_declaration(cursor: Cursor) -> list[Item]:
    """From `component` over `end component;`."""
    start = cursor.at
    cursor.at += 1
    name = cursor.token
    if not cursor.accept("NAME"):
        cursor.leaf()
        return [cursor.skipped("component declaration", start)]
    cursor.accept("IS")
    cursor.open("component", name.value)
    parameters, ports, rest = header(cursor)
    close(cursor)
    return [Component(name.value, tuple(parameters), tuple(ports), span=name.span), *rest]


def use_clause(cursor: Cursor) -> list[Item]:
    """From `use` over the `;`; package `*` is every package of the library, name `` the package itself."""
    start = cursor.at
    cursor.at += 1
    result: list[Item] = []
    for tokens in parse.split(cursor.leaf()):
        words = [token.value for token in tokens if token.type in ("NAME", "STRING", "ATOM")]
        span = cursor.span(start)
        match words:
            case [library, "all"] if library in _LIBRARIES:
                result.append(Import("*", "*", library, span=span))
            case [library, package] if library in _LIBRARIES:
                result.append(Import(package, "", library, span=span))
            case [package, name]:
                result.append(Import(package, _all(name), span=span))
            case [library, *path, name] if path:
                result.append(Import(".".join(path), _all(name), library, span=span))
            case _:
                result.append(cursor.skipped("use clause", start))
    return result


def _all(name: str) -> str:
    return "*" if name == "all" else name


def file_declaration(cursor: Cursor) -> list[Item]:
    """From `file` over the `;`: says nothing about hardware."""
    cursor.at += 1
    cursor.leaf()
    if cursor.accept("IS"):
        cursor.leaf()
    return []


def group_or_disconnection(cursor: Cursor) -> list[Item]:
    start = cursor.at
    what = "disconnection specification" if cursor.kind == "DISCONNECT" else "group"
    cursor.at += 1
    cursor.leaf()
    return [cursor.skipped(what, start)]


def configuration_specification(cursor: Cursor) -> list[Item]:
    """`for u1, u2 : unit use entity …; [end for;]`."""
    start = cursor.at
    cursor.at += 1
    while not cursor.accept("SEMI") and cursor.kind not in ("END", "BEGIN", "EOF"):
        cursor.at += 1
    if cursor.kind == "END" and cursor.peek().type == "FOR":
        skip_end(cursor)
    return [cursor.skipped("configuration specification", start)]


READERS: dict[str, Callable[[Cursor], list[Item]]] = {
    "SIGNAL": object_declaration,
    "CONSTANT": object_declaration,
    "VARIABLE": object_declaration,
    "SHARED": object_declaration,
    "TYPE": type_declaration,
    "SUBTYPE": subtype_declaration,
    "ALIAS": alias_declaration,
    "ATTRIBUTE": attribute,
    "COMPONENT": component_declaration,
    "USE": use_clause,
    "FILE": file_declaration,
    "GROUP": group_or_disconnection,
    "DISCONNECT": group_or_disconnection,
}
"""What reads a declaration, by the type of its first token."""
