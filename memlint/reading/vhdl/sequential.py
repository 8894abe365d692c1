"""Sequential statements, and the bodies of processes and subprograms."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from memlint.reading.facts.expressions import Expr, Unsupported
from memlint.reading.facts.items import Item
from memlint.reading.facts.statements import Block, Case, CaseArm, For, Loop, SkippedStatement, Statement
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.declarations import READERS
from memlint.reading.vhdl.deep import skip_compound
from memlint.reading.vhdl.ends import close, closes, skip_end
from memlint.reading.vhdl.lexer import MAX_NESTING
from memlint.reading.vhdl.simple import (
    condition,
    exit_or_next,
    ignored,
    return_statement,
    selected_assignment,
    simple,
    wait,
)
from memlint.reading.vhdl.values import if_chain

_NESTED_SUBPROGRAM = frozenset(("FUNCTION", "PROCEDURE", "PURE", "IMPURE"))
# What can only stand among concurrent statements or declarations of a unit: the `end`s before it are missing.
_ENDS_BODY = frozenset(("SIGNAL", "COMPONENT", "PROCESS", "POSTPONED", "GENERATE", "EOF"))
_AFTER_LABEL = frozenset(("PROCESS", "POSTPONED", "ENTITY", "COMPONENT", "CONFIGURATION", "BLOCK"))
_BRANCH_OF = {"ELSIF": "if", "ELSE": "if", "WHEN": "case"}

SubprogramReader = Callable[[Cursor], list[Item]]


@dataclass(slots=True)
class _Declarations:
    """Where the declarations of a body go. `subprogram` reads nested subprograms."""

    items: list[Item]
    subprogram: SubprogramReader
    begun: bool = False


def body(cursor: Cursor, subprogram: SubprogramReader) -> tuple[tuple[Item, ...], Block]:
    """Declarations, `begin`, statements, up to the `end` of the innermost open construct.

    Declarations after `begin` are taken as well: while a line above them is being typed, nobody
    knows where they stand.
    """
    start = cursor.at
    declarations = _Declarations([], subprogram)
    statements = _statements(cursor, frozenset(), declarations)
    return tuple(declarations.items), Block(statements, span=cursor.span(start))


def _statements(
    cursor: Cursor, terminators: frozenset[str], declarations: _Declarations | None = None
) -> tuple[Statement, ...]:
    """Statements up to one of `terminators` or an `end` of something open."""
    result: list[Statement] = []
    while True:
        kind = cursor.kind
        if kind == "NAME" or kind == "LPAR":
            if not _simple_or_labelled(cursor, result):
                break
        elif kind in terminators or kind in _ENDS_BODY:
            break
        elif (reader := _READERS.get(kind)) is not None:
            _add(result, reader(cursor))
        elif kind == "END":
            if closes(cursor) is not None:
                break
            skip_end(cursor)
        elif kind == "BEGIN":
            cursor.at += 1
            if declarations is not None:
                declarations.begun = True
        elif kind in _NESTED_SUBPROGRAM:
            if declarations is None or declarations.begun:
                break
            declarations.items.extend(declarations.subprogram(cursor))
        elif kind in READERS:
            start = cursor.at
            items = READERS[kind](cursor)
            if declarations is None:
                result.append(cursor.skipped_statement("declaration among statements", start))
            else:
                declarations.items.extend(items)
        elif kind == "SEMI":
            cursor.at += 1
        elif cursor.at_unit() or cursor.inside(_BRANCH_OF.get(kind, "")):
            break
        else:
            start = cursor.at
            cursor.at += 1
            cursor.leaf()
            result.append(cursor.skipped_statement("statement", start))
    return tuple(result)


def statement_outside(cursor: Cursor) -> None:
    """Step over a sequential statement that stands where none may."""
    reader = _READERS.get(cursor.kind)
    if reader is None:
        cursor.at += 1
        cursor.leaf()
    else:
        reader(cursor)


def _add(result: list[Statement], statement: Statement | None) -> None:
    if statement is not None:
        result.append(statement)


def _simple_or_labelled(cursor: Cursor, result: list[Statement]) -> bool:
    """One assignment or call, or a labelled statement; False where what follows is not sequential."""
    follower = cursor.tokens[cursor.at + 1].type
    if follower == "COLON" and cursor.kind == "NAME":
        kind = cursor.peek(2).type
        if kind in _AFTER_LABEL or _is_instance(cursor):
            return False
        cursor.at += 2
        if kind not in ("NAME", "LPAR"):
            return True
    start = cursor.at
    tokens = cursor.leaf()
    _add(result, simple(cursor, start, tokens))
    return True


def _is_instance(cursor: Cursor) -> bool:
    """Whether `label : name … map` stands here."""
    at = cursor.at + 2
    while cursor.tokens[at].type in ("NAME", "DOT"):
        at += 1
    return cursor.tokens[at].type in ("PORT", "GENERIC") and cursor.tokens[at + 1].type == "MAP"


def _if(cursor: Cursor) -> Statement:
    start = cursor.at
    if len(cursor.opened) >= MAX_NESTING:
        return _skip_compound(cursor)
    cursor.open("if")
    arms: list[tuple[Expr | None, Statement]] = []
    while cursor.kind in ("IF", "ELSIF") and (cursor.kind == "ELSIF" or not arms):
        cursor.at += 1
        asked = condition(cursor, "THEN")
        arms.append((asked, _block(cursor, frozenset(("ELSIF", "ELSE")))))
    if cursor.accept("ELSE"):
        arms.append((None, _block(cursor, frozenset(("ELSIF", "ELSE")))))
    close(cursor)
    span = cursor.span(start)
    if len(arms) > MAX_NESTING:
        return cursor.skipped_statement(f"if with more than {MAX_NESTING} branches", start)
    return if_chain(arms, span)


def _block(cursor: Cursor, terminators: frozenset[str]) -> Block:
    start = cursor.at
    statements = _statements(cursor, terminators)
    return Block(statements, span=cursor.span(start))


def _case(cursor: Cursor) -> Statement:
    start = cursor.at
    if len(cursor.opened) >= MAX_NESTING:
        return _skip_compound(cursor)
    cursor.at += 1
    kind = "case?" if cursor.accept("QUERY") else "case"
    subject = condition(cursor, "IS")
    cursor.open("case")
    _block(cursor, frozenset(("WHEN",)))
    arms: list[CaseArm] = []
    while cursor.kind == "WHEN":
        begin = cursor.at
        choices = when_choices(cursor)
        arms.append(CaseArm(choices, _block(cursor, frozenset(("WHEN",))), span=cursor.span(begin)))
    close(cursor)
    return Case(kind, subject, tuple(arms), span=cursor.span(start))


def when_choices(cursor: Cursor) -> tuple[Expr, ...]:
    """From `when` over the `=>`: the choices of an arm, empty for `others`."""
    cursor.at += 1
    start = cursor.at
    arrow = start
    depth = 0
    stop = cursor.next_stop()
    while arrow < stop:
        kind = cursor.tokens[arrow].type
        if kind == "WHEN":
            break
        if kind == "ARROW" and depth == 0:
            cursor.at = arrow + 1
            return parse.choices(cursor.tokens[start:arrow], cursor.here())
        depth += (kind in ("LPAR", "DEEP")) - (kind == "RPAR")
        arrow += 1
    return (Unsupported("missing choice", (), span=cursor.here()),)


def _loop(cursor: Cursor) -> Statement:
    """`for`, `while` and plain loops."""
    start = cursor.at
    if len(cursor.opened) >= MAX_NESTING:
        return _skip_compound(cursor)
    kind = cursor.kind
    cursor.at += 1
    variable, asked = "", None
    if kind == "FOR":
        variable = cursor.name()
        cursor.accept("IN")
        asked = parse.discrete_range(cursor.until("LOOP"), cursor.here())
    elif kind == "WHILE":
        asked = condition(cursor, "LOOP")
    cursor.open("loop")
    block = _block(cursor, frozenset())
    close(cursor)
    span = cursor.span(start)
    if kind == "FOR":
        return For(variable, asked, None, None, block, span=span)
    return Loop(kind.lower(), asked, block, span=span)


def _skip_compound(cursor: Cursor) -> SkippedStatement:
    start = cursor.at
    skip_compound(cursor)
    return cursor.skipped_statement(f"statements nested more than {MAX_NESTING} deep", start)


_READERS: dict[str, Callable[[Cursor], Statement | None]] = {
    "IF": _if,
    "CASE": _case,
    "FOR": _loop,
    "WHILE": _loop,
    "LOOP": _loop,
    "WAIT": wait,
    "ASSERT": ignored,
    "REPORT": ignored,
    "NULL": ignored,
    "RETURN": return_statement,
    "EXIT": exit_or_next,
    "NEXT": exit_or_next,
    "WITH": selected_assignment,
}
