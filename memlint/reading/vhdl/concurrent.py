"""Concurrent statements: processes, assignments, instances, blocks, generates; and the items of a unit."""

from __future__ import annotations

from memlint.reading.facts.expressions import Call
from memlint.reading.facts.items import ContinuousAssign, GenerateBlock, Item, Nested, Process
from memlint.reading.facts.statements import CallStatement, Event, Statement
from memlint.reading.vhdl import generates, parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.declarations import configuration_specification
from memlint.reading.vhdl.ends import close, closes, skip_end
from memlint.reading.vhdl.instances import instance, is_instance, package_instance
from memlint.reading.vhdl.interfaces import header
from memlint.reading.vhdl.lexer import MAX_NESTING
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.sequential import body, statement_outside
from memlint.reading.vhdl.simple import assignment_or_call, with_select
from memlint.reading.vhdl.subprograms import declaration, is_declaration, subprogram
from memlint.reading.vhdl.tokens import Token
from memlint.reading.vhdl.values import Assignment, assign_statement, value_of
from memlint.text.source import Span

_SEQUENTIAL = frozenset("IF CASE FOR WHILE LOOP WAIT REPORT NULL RETURN EXIT NEXT".split())
_BRANCHES = frozenset(("ELSIF", "ELSE", "WHEN"))
# Words of the property language that stand where a statement may, followed by another word.
_PROPERTY_WORDS = frozenset("default property sequence assume cover restrict fairness strong".split())


def items(cursor: Cursor) -> list[Item]:
    """Declarations and concurrent statements up to an `end` of something open, or a new unit.

    The two are not told apart by `begin`: nothing that begins one may begin the other, and half-typed
    code seldom has every `begin`.
    """
    result: list[Item] = []
    while True:
        kind = cursor.kind
        if kind == "NAME":
            _named(cursor, result)
        elif is_declaration(kind):
            result.extend(declaration(cursor))
        elif kind == "BEGIN" or kind == "SEMI":
            cursor.at += 1
        elif kind == "END":
            if closes(cursor) is not None:
                return result
            skip_end(cursor)
        elif kind == "EOF" or cursor.at_unit():
            return result
        elif kind == "PACKAGE":
            result.extend(_nested_package(cursor))
        elif kind in _BRANCHES and (cursor.inside("generate") or cursor.inside("alternative")):
            return result
        elif kind == "FOR" and _is_configuration(cursor):
            result.extend(configuration_specification(cursor))
        elif kind in _SEQUENTIAL:
            start = cursor.at
            statement_outside(cursor)
            result.append(cursor.skipped("sequential statement outside a process", start))
        else:
            _statement(cursor, cursor.at, None, result)


def _is_configuration(cursor: Cursor) -> bool:
    """Whether `for name, … : unit` stands here."""
    at = cursor.at + 1
    while cursor.tokens[at].type in ("NAME", "COMMA", "ALL", "OTHERS"):
        at += 1
    return cursor.tokens[at].type == "COLON"


def _named(cursor: Cursor, result: list[Item]) -> None:
    """What begins with a name: a labelled statement, an assignment, a call, a property."""
    start = cursor.at
    follower = cursor.peek().type
    if follower == "COLON":
        label = cursor.token
        cursor.at += 2
        _statement(cursor, start, label, result)
    elif follower == "NAME" and cursor.token.value in _PROPERTY_WORDS:
        cursor.at += 2
        cursor.skip_statement()
        result.append(cursor.skipped("property", start))
    else:
        _simple(cursor, start, "", result)


def _statement(cursor: Cursor, start: int, label: Token | None, result: list[Item]) -> None:
    """The concurrent statement after a label, or one without."""
    name = "" if label is None else label.value
    cursor_kind = cursor.kind
    if cursor_kind == "POSTPONED":
        cursor.at += 1
        cursor_kind = cursor.kind
    match cursor_kind:
        case "PROCESS":
            result.append(_process(cursor, start, name))
        case "ASSERT":
            cursor.at += 1
            cursor.leaf()
            # `next` is an operator of the property language.
            while cursor.accept("NEXT"):
                cursor.leaf()
        case "WITH":
            result.extend(_selected(cursor, start, name))
        case "BLOCK" if label is not None:
            result.append(_block(cursor, label))
        case "FOR" | "IF" | "CASE" if label is not None:
            result.append(generates.generate(cursor, start, label, items))
        case "NAME" | "LPAR" | "ENTITY" | "COMPONENT" | "CONFIGURATION":
            if label is not None and is_instance(cursor, cursor.at):
                result.append(instance(cursor, label, start))
            elif cursor_kind in ("NAME", "LPAR"):
                _simple(cursor, start, name, result)
            else:
                cursor.at += 1
                cursor.leaf()
                result.append(cursor.skipped("statement", start))
        case "EOF" | "END":
            result.append(cursor.skipped("unfinished statement", start))
        case _ if label is not None and is_declaration(cursor_kind):
            # A label typed above something that takes none.
            result.append(cursor.skipped("unfinished statement", start))
        case _:
            cursor.at += 1
            cursor.leaf()
            result.append(cursor.skipped("statement", start))


def _process(cursor: Cursor, start: int, label: str) -> Process:
    """From `process` over its `end`."""
    cursor.at += 1
    events: list[Event] = []
    star = False
    if cursor.kind == "LPAR":
        tokens = cursor.parentheses()
        star = [token.type for token in tokens] == ["ALL"]
        for each in [] if star else parse.split(tokens):
            where = cursor.here()
            signal = parse.expression(each, where)
            events.append(Event("", signal, span=signal.span))
    cursor.accept("IS")
    cursor.open("process", label)
    declared, block = body(cursor, subprogram)
    close(cursor)
    return Process("process", tuple(events), star, block, declared, label, span=cursor.span(start))


def _as_process(statement: Statement, label: str, span: Span) -> Process:
    """A concurrent statement as the process it stands for (IEEE Std 1076-2008, 11.4 and 11.6)."""
    return Process("process", (), True, statement, (), label, span=span)


def _simple(cursor: Cursor, start: int, label: str, result: list[Item]) -> None:
    """A concurrent assignment or procedure call."""
    begin = cursor.at
    found = assignment_or_call(cursor, begin, cursor.leaf())
    span = cursor.span(start)
    match found:
        case Assignment():
            result.append(_assign(found, label, span))
        case Call():
            result.append(_as_process(CallStatement(found, span=span), label, span))
        case Failure(what, too_deep=True):
            result.append(cursor.skipped_as_too_deep(what, start))
        case Failure(what, _):
            result.append(cursor.skipped(what or "statement", start))


def _assign(assigned: Assignment, label: str, span: Span) -> Item:
    """Where some case leaves the target as it is, the assignment stores: a process, not a wire."""
    if assigned.complete or len(assigned.values) > MAX_NESTING:
        return ContinuousAssign(assigned.target, value_of(assigned.values), span=span)
    return _as_process(assign_statement(assigned, span), label, span)


def _selected(cursor: Cursor, start: int, label: str) -> list[Item]:
    cursor.at += 1
    begin = cursor.at
    tokens = cursor.leaf()
    span = cursor.span(start)
    found = with_select(tokens, span)
    if isinstance(found, Failure):
        cursor.recover(begin, found)
        return [cursor.skipped("selected assignment", start)]
    case, wire = found
    if wire is None:
        return [_as_process(case, label, span)]
    target, value = wire
    return [ContinuousAssign(target, value, span=span)]


def _block(cursor: Cursor, label: Token) -> Item:
    """A block statement, as a generate block with its label; a guard is ignored."""
    cursor.at += 1
    if cursor.kind == "LPAR":
        cursor.parentheses()
    cursor.accept("IS")
    if len(cursor.opened) >= MAX_NESTING:
        start = cursor.at
        cursor.skip_statement()
        return cursor.skipped_as_too_deep(f"blocks nested more than {MAX_NESTING} deep", start)
    cursor.open("block", label.value)
    inner = header(cursor)[2]
    inner.extend(items(cursor))
    close(cursor)
    return GenerateBlock(label.value, tuple(inner), span=label.span)


def _nested_package(cursor: Cursor) -> list[Item]:
    """From `package` over its `;` or `end`."""
    start = cursor.at
    cursor.at += 1
    kind = "package_body" if cursor.accept("BODY") else "package"
    span = cursor.token.span
    name = cursor.name()
    if not cursor.accept("IS") or len(cursor.opened) >= MAX_NESTING:
        cursor.leaf()
        return [cursor.skipped("nested package", start)]
    if cursor.accept("NEW"):
        library, of, given = package_instance(cursor)
        return [Nested(name, kind, (), given, of, library, span=span)]
    cursor.open("package", name)
    parameters, _, inner = header(cursor)
    inner.extend(items(cursor))
    close(cursor)
    return [Nested(name, kind, tuple(inner), tuple(parameters), span=span)]
