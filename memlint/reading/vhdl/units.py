"""Design units of a file with their context clauses."""

from __future__ import annotations

from memlint.reading.facts.items import Import, Item, Unit
from memlint.reading.vhdl.concurrent import items
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.declarations import use_clause
from memlint.reading.vhdl.ends import close, skip_end
from memlint.reading.vhdl.instances import package_instance, path_words
from memlint.reading.vhdl.interfaces import header
from memlint.reading.vhdl.tokens import Token


def design_units(cursor: Cursor) -> tuple[list[Unit], list[Item]]:
    """All units of a file, and what stands outside of them.

    A unit's `items` begin with the Imports of its context clause. Configurations are Skipped items.
    """
    units: list[Unit] = []
    outside: list[Item] = []
    context: list[Item] = []
    while cursor.kind != "EOF":
        start = cursor.at
        match cursor.kind:
            case "LIBRARY":
                context.extend(_library(cursor))
                continue
            case "USE":
                context.extend(use_clause(cursor))
                continue
            case "NAME" if _is_context_reference(cursor):
                context.extend(_context_reference(cursor))
                continue
            case "ENTITY" | "ARCHITECTURE" | "PACKAGE":
                unit = _unit(cursor, context)
            case "NAME" if cursor.token.value == "context":
                unit = _context(cursor)
            case "CONFIGURATION":
                unit = None
                _skip_configuration(cursor)
                outside.append(cursor.skipped("configuration", start))
                context = []
                continue
            case _:
                unit = None
                _skip_stray(cursor)
        if unit is None:
            outside.append(cursor.skipped("text outside a design unit", start))
        else:
            units.append(unit)
            context = []
    return units, outside


def _library(cursor: Cursor) -> list[Item]:
    start = cursor.at
    cursor.at += 1
    tokens = cursor.leaf()
    span = cursor.span(start)
    return [Import("", "", token.value, span=span) for token in tokens if token.type == "NAME"]


def _is_context_reference(cursor: Cursor) -> bool:
    return cursor.token.value == "context" and cursor.peek().type == "NAME" and cursor.peek(2).type == "DOT"


def _context_reference(cursor: Cursor) -> list[Item]:
    """`context lib.name, …;` as the import of all of unit `name`."""
    start = cursor.at
    cursor.at += 1
    words = [token.value for token in cursor.leaf() if token.type == "NAME"]
    span = cursor.span(start)
    return [
        Import(name, "*", library, span=span) for library, name in zip(words[::2], words[1::2], strict=False)
    ]


def _skip_stray(cursor: Cursor) -> None:
    """Step over what begins no unit."""
    if cursor.kind == "END":
        skip_end(cursor)
        return
    cursor.at += 1
    if cursor.tokens[cursor.at - 1].type != "SEMI":
        cursor.leaf()


def _unit(cursor: Cursor, context: list[Item]) -> Unit | None:
    """An entity, architecture, package or package body; None where its head is not to be read."""
    start = cursor.at
    cursor.margin = cursor.indentation(start)
    word = cursor.kind.lower()
    cursor.at += 1
    kind = "package_body" if word == "package" and cursor.accept("BODY") else word
    name = cursor.token
    if not cursor.accept("NAME"):
        return None
    of = library = ""
    if word == "architecture":
        if not cursor.accept("OF"):
            return None
        *path, of = path_words(cursor) or [""]
        library = ".".join(path)
    cursor.accept("IS")
    if kind == "package" and cursor.accept("NEW"):
        return _package_instance(cursor, start, name, context)
    if kind == "package_body":
        of = name.value
    cursor.open(word, name.value)
    parameters, ports, rest = header(cursor)
    rest.extend(items(cursor))
    close(cursor)
    return Unit(
        name.value,
        kind,
        "vhdl",
        tuple(parameters),
        tuple(ports),
        (*context, *rest),
        of=of,
        library=library,
        span=name.span,
        whole=cursor.span(start),
    )


def _package_instance(cursor: Cursor, start: int, name: Token, context: list[Item]) -> Unit:
    """`package p is new lib.g generic map (…);`: a package `of` g whose generics have values."""
    library, of, parameters = package_instance(cursor)
    return Unit(
        name.value,
        "package",
        "vhdl",
        parameters,
        (),
        tuple(context),
        of=of,
        library=library,
        span=name.span,
        whole=cursor.span(start),
    )


def _context(cursor: Cursor) -> Unit | None:
    """`context name is … end context name;`."""
    start = cursor.at
    cursor.margin = cursor.indentation(start)
    cursor.at += 1
    name = cursor.token
    if not cursor.accept("NAME") or not cursor.accept("IS"):
        return None
    cursor.open("context", name.value)
    inner: list[Item] = []
    while True:
        if cursor.kind == "LIBRARY":
            inner.extend(_library(cursor))
        elif cursor.kind == "USE":
            inner.extend(use_clause(cursor))
        elif cursor.kind == "NAME" and _is_context_reference(cursor):
            inner.extend(_context_reference(cursor))
        else:
            break
    close(cursor)
    whole = cursor.span(start)
    return Unit(name.value, "context", "vhdl", (), (), tuple(inner), span=name.span, whole=whole)


def _skip_configuration(cursor: Cursor) -> None:
    """Step over a configuration declaration, whose blocks are `for … end for;`."""
    cursor.at += 1
    while cursor.kind != "EOF" and not cursor.at_unit():
        if cursor.kind == "END" and cursor.peek().type != "FOR":
            skip_end(cursor)
            return
        cursor.at += 1
