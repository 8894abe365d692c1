"""Instantiations with their generic and port maps."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from memlint.reading.facts.expressions import Open
from memlint.reading.facts.items import Connection, Instance, Parameter
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.associations import named
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.tokens import Token

_UNIT_WORDS = frozenset(("ENTITY", "COMPONENT", "CONFIGURATION"))


def is_instance(cursor: Cursor, at: int) -> bool:
    """Whether an instantiated unit is named at token `at`, which follows a label's colon."""
    tokens = cursor.tokens
    if tokens[at].type in _UNIT_WORDS:
        return True
    if tokens[at].type != "NAME":
        return False
    while tokens[at].type in ("NAME", "DOT"):
        at += 1
    # `label : name;` may also be a call without arguments, which nobody labels.
    return tokens[at].type == "SEMI" or (
        tokens[at].type in ("PORT", "GENERIC") and tokens[at + 1].type == "MAP"
    )


def instance(cursor: Cursor, label: Token, start: int) -> Instance:
    """From the unit named after the label over the `;`. `start` is the index of the label."""
    word = cursor.kind
    if word in _UNIT_WORDS:
        cursor.at += 1
    # An unknown or half-typed name is an instance of a unit called ``.
    path: list[str] = []
    while cursor.kind == "NAME" and cursor.peek().type != "COLON":
        path.append(cursor.token.value)
        cursor.at += 1
        if not cursor.accept("DOT"):
            break
    architecture = ""
    if cursor.kind == "LPAR" and word == "ENTITY":
        architecture = next((each.value for each in cursor.parentheses() if each.type == "NAME"), "")
    overrides: list[Connection] = []
    connections: list[Connection] = []
    tokens = cursor.leaf()
    for kind, inside in _maps(tokens):
        (overrides if kind == "GENERIC" else connections).extend(connected(inside))
    return Instance(
        label.value,
        path[-1] if path else "",
        tuple(overrides),
        tuple(connections),
        library=".".join(path[:-1]),
        architecture=architecture,
        component=word not in ("ENTITY", "CONFIGURATION"),
        span=label.span,
        statement=cursor.span(start),
    )


def _maps(tokens: Sequence[Token]) -> list[tuple[str, Sequence[Token]]]:
    """GENERIC or PORT with the tokens inside its parentheses, which may lack the closing one."""
    marks = [
        at
        for at in range(len(tokens) - 1)
        if tokens[at].type in ("GENERIC", "PORT") and tokens[at + 1].type == "MAP"
    ]
    result: list[tuple[str, Sequence[Token]]] = []
    for at, end in pairwise([*marks, len(tokens)]):
        inside = tokens[at + 2 : end]
        if inside and inside[0].type == "LPAR":
            inside = inside[1:-1] if inside[-1].type == "RPAR" else inside[1:]
            result.append((tokens[at].type, inside))
    return result


def connected(tokens: Sequence[Token]) -> list[Connection]:
    """An association list as connections; see `associations.named` for formals given part by part."""
    elements: list[Any] = parse.elements(tokens)
    result: list[Connection] = []
    for element in elements:
        if not isinstance(element, tuple):
            value = None if isinstance(element, Open) else element
            result.append(Connection(None, value, span=element.span))
    for name, value, span in named(each for each in elements if isinstance(each, tuple)):
        result.append(Connection(name, None if isinstance(value, Open) else value, span=span))
    return result


def path_words(cursor: Cursor) -> list[str]:
    """The words of `a.b.c`, stepped over."""
    words: list[str] = []
    while cursor.kind == "NAME":
        words.append(cursor.token.value)
        cursor.at += 1
        if not cursor.accept("DOT"):
            break
    return words


def package_instance(cursor: Cursor) -> tuple[str, str, tuple[Parameter, ...]]:
    """After `package p is new`, over the `;`: library and name of the generic package, and what it is given.

    Each association is a local parameter; those by position have the name ``.
    """
    *library, of = path_words(cursor) or [""]
    parameters: list[Parameter] = []
    if cursor.accept("GENERIC") and cursor.accept("MAP") and cursor.kind == "LPAR":
        for given in connected(cursor.parentheses()):
            parameters.append(Parameter(given.name or "", None, (), given.value, local=True, span=given.span))
    cursor.leaf()
    return ".".join(library), of, tuple(parameters)
