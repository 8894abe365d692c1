"""Statements of one leaf: assignments, calls, `wait`, `return`, `exit`; and conditions."""

from __future__ import annotations

from memlint.reading.enclosed import bare
from memlint.reading.facts.expressions import Attribute, Binary, Call, Expr, Member, Name
from memlint.reading.facts.statements import (
    CallStatement,
    Case,
    Event,
    Exit,
    Return,
    Statement,
    Timed,
)
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.cursor import Cursor
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.tokens import Token
from memlint.reading.vhdl.values import (
    Assignment,
    assign_statement,
    assignment,
    assignment_mark,
    if_chain,
    selected,
    value_of,
)
from memlint.text.source import Span

_EDGES = {"rising_edge": "posedge", "falling_edge": "negedge"}


def simple(cursor: Cursor, start: int, tokens: list[Token]) -> Statement | None:
    """The assignment or procedure call that the leaf `tokens`, from `start` on, is."""
    if not tokens:
        return None
    match assignment_or_call(cursor, start, tokens):
        case Assignment() as assigned:
            return assign_statement(assigned, cursor.span(start))
        case Call() as call:
            return CallStatement(call, span=cursor.span(start))
        case Failure(what, _):
            return cursor.skipped_statement(what or "statement", start)
    return None


def assignment_or_call(cursor: Cursor, begin: int, tokens: list[Token]) -> Assignment | Call | Failure | None:
    """What a leaf of the tokens from `begin` on is; None where it does nothing in hardware.

    Where it fails, the cursor goes back to the line it fails on. What stands before that line is taken
    if it is complete, and an assignment at least for its target: half a line typed must not make a
    memory lose its write port.
    """
    found = _assignment_or_call(tokens)
    if not isinstance(found, Failure):
        return found
    cursor.recover(begin, found)
    head = tokens[: cursor.at - begin]
    if len(head) < len(tokens):
        again = _assignment_or_call(head)
        if isinstance(again, Assignment) or (isinstance(again, Call) and again.arguments):
            return again
    mark = assignment_mark(head)
    if mark <= 0:
        return found
    target = parse.parse("expression", head[:mark])
    if isinstance(target, Failure):
        return found
    value = parse.unsupported(found, "expression", head[mark + 1 :], head[mark].span)
    return Assignment(target, [(value, None)], head[mark].type == "ASSIGN")


def _assignment_or_call(tokens: list[Token]) -> Assignment | Call | Failure | None:
    mark = assignment_mark(tokens)
    if mark > 0:
        return assignment(tokens, mark)
    found = parse.parse("expression", tokens)
    if isinstance(found, Failure):
        return found
    return call_of(found) or Failure("", None)


def call_of(expression: Expr) -> Call | None:
    """A procedure call from what parsed as an expression; a name alone has no arguments."""
    match expression:
        case Call():
            return expression
        case Name() | Member():
            return Call(expression, (), span=expression.span)
    return None


def condition(cursor: Cursor, terminal: str) -> Expr:
    """An expression up to `terminal`; where that is missing, up to the line on which things go wrong."""
    start = cursor.at
    tokens = cursor.until(terminal)
    where = cursor.here()
    if cursor.tokens[cursor.at - 1].type == terminal and tokens:
        return parse.expression(tokens, where)
    found: Expr | Failure = parse.parse("expression", tokens) if tokens else Failure("", None)
    if not isinstance(found, Failure):
        return found
    arm = next((at for at, token in enumerate(tokens) if token.type == "WHEN"), None)
    if arm is not None and terminal == "IS":
        # The first arm of a case whose `is` is not there yet.
        cursor.at = start + arm
    else:
        cursor.recover(start, found)
    head = cursor.tokens[start : cursor.at] if cursor.at < start + len(tokens) else tokens
    return parse.expression(head, where)


def wait(cursor: Cursor) -> Statement:
    start = cursor.at
    cursor.at += 1
    parts: dict[str, list[Token]] = {}
    current: list[Token] = []
    for token in cursor.leaf():
        if token.type in ("ON", "UNTIL", "FOR"):
            current = parts.setdefault(token.type, [])
        else:
            current.append(token)
    span = cursor.span(start)
    events = [
        Event("", parse.expression(tokens, span), span=span)
        for tokens in parse.split(parts.get("ON", []))
        if tokens
    ]
    asked = parse.expression(parts["UNTIL"], span) if "UNTIL" in parts else None
    if asked is not None:
        events.extend(_edge_events(asked))
    return Timed(tuple(events), None, asked, span=span)


def _edge_events(asked: Expr) -> list[Event]:
    """One event for each edge function, and each `clk'event and clk = '…'`, in a condition."""
    match asked:
        case Call(Name(function), (signal,)) if function in _EDGES:
            return [Event(_EDGES[function], signal, span=asked.span)]
        case Binary("&", Attribute(clock, "event", ()), Binary("==", signal, level)) if clock == signal:
            edge = {"1": "posedge", "0": "negedge"}.get(getattr(level, "value", ""), "")
            return [Event(edge, signal, span=asked.span)] if edge else []
        case Binary("&" | "|", left, right):
            return _edge_events(left) + _edge_events(right)
    return []


def ignored(cursor: Cursor) -> None:
    """`null`, `assert`, `report`: nothing in hardware."""
    cursor.at += 1
    cursor.leaf()


def return_statement(cursor: Cursor) -> Statement:
    start = cursor.at
    cursor.at += 1
    begin = cursor.at
    tokens = cursor.leaf()
    if not tokens:
        return Return(None, span=cursor.span(start))
    if len(tokens) == 1:
        return Return(parse.expression(tokens, cursor.here()), span=cursor.span(start))
    if tokens[0].type == "WHEN":
        asked = parse.expression(tokens[1:], cursor.here())
        return if_chain([(asked, Return(None, span=cursor.span(start)))], cursor.span(start))
    found = parse.parse("values", tokens)
    if isinstance(found, Failure):
        cursor.recover(begin, found)
        return cursor.skipped_statement(found.what or "return statement", start)
    found.reverse()
    span = cursor.span(start)
    if found[-1][1] is None:
        return Return(value_of(found), span=span)
    return if_chain([(asked, Return(bare(value), span=span)) for value, asked in found], span)


def exit_or_next(cursor: Cursor) -> Statement:
    """`exit` and `next`; the label of the loop is dropped."""
    start = cursor.at
    kind = cursor.kind.lower()
    cursor.at += 1
    tokens = cursor.leaf()
    if tokens and tokens[0].type == "NAME":
        del tokens[0]
    asked = None
    if tokens and tokens[0].type == "WHEN":
        asked = parse.expression(tokens[1:], cursor.here())
    return Exit(kind, asked, span=cursor.span(start))


def selected_assignment(cursor: Cursor) -> Statement:
    start = cursor.at
    cursor.at += 1
    tokens = cursor.leaf()
    span = cursor.span(start)
    found = with_select(tokens, span)
    if isinstance(found, Failure):
        cursor.recover(start + 1, found)
        return cursor.skipped_statement("selected assignment", start)
    return found[0]


def with_select(tokens: list[Token], span: Span) -> tuple[Case, tuple[Expr, Expr] | None] | Failure:
    """A selected assignment from the tokens after `with`; see values.selected."""
    at = next((at for at, token in enumerate(tokens) if token.type == "SELECT"), -1)
    if at < 0:
        return Failure("", None)
    subject = parse.expression(tokens[:at], span)
    rest = tokens[at + 1 :]
    matching = bool(rest) and rest[0].type == "QUERY"
    return selected(subject, rest[1:] if matching else rest, matching, span)
