"""Procedural statements: a recursive scan whose leaves are parsed by the grammar."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from memlint.reading.facts.expressions import Expr, Name, Slice
from memlint.reading.facts.items import Item
from memlint.reading.facts.statements import (
    Assign,
    Block,
    Case,
    CaseArm,
    Exit,
    If,
    Loop,
    Return,
    SkippedStatement,
    Statement,
    Timed,
)
from memlint.reading.verilog import loops
from memlint.reading.verilog.assignments import ASSIGNMENTS, assignment
from memlint.reading.verilog.cursor import Cursor, find, split
from memlint.reading.verilog.events import event_control
from memlint.reading.verilog.leaves import BUILTIN_TYPES, DEEPEST, expression, names, slice_span
from memlint.reading.verilog.quick import assignment as quick_assignment
from memlint.reading.verilog.quick import parenthesised
from memlint.reading.verilog.tokens import Token

_LOCAL_DECLARATIONS = BUILTIN_TYPES | frozenset(
    """
    struct union enum var static automatic const localparam parameter typedef import genvar wire
    """.split()
)
_VERIFICATION = frozenset(["assert", "assume", "cover", "restrict", "expect", "wait_order", "covergroup"])
_CLOSES_BLOCK = frozenset(("end", "join", "join_any", "join_none"))
# Words that end the unit or the process around a statement; a statement never runs past them.
_OUTER = frozenset(
    """
    end endcase endmodule endfunction endtask endgenerate endinterface endpackage endprogram else module
    join join_any join_none always always_ff always_comb always_latch
    """.split()
)

Declare = Callable[[Cursor], list[Item]]


def statement(cursor: Cursor, declare: Declare, depth: int = 0) -> Statement | None:
    """One statement; None for an empty one or one that only verifies. Always moves on or stands at an end.

    `declare` reads a local declaration (it lives with the other declarations, above this module).
    """
    if depth > DEEPEST:
        return _skip(cursor, f"statements nested deeper than {DEEPEST}")
    _step_over_attributes(cursor)
    token = cursor.token
    if token.kind == "kw":
        return _keyword(cursor, declare, depth)
    if token.kind == "op":
        return _operator(cursor, declare, depth)
    if token.kind == "id" and cursor.peek().text == ":" and cursor.peek().kind == "op":
        cursor.take()
        cursor.take()
        return statement(cursor, declare, depth + 1)
    if token.kind == "eof":
        return None
    return _simple(cursor, declare)


def _keyword(cursor: Cursor, declare: Declare, depth: int) -> Statement | None:
    word = cursor.token.text
    match word:
        case "begin" | "fork":
            return _block(cursor, declare, depth)
        case "if":
            return _if(cursor, declare, depth)
        case "unique" | "unique0" | "priority":
            cursor.take()
            return statement(cursor, declare, depth)
        case "case" | "casez" | "casex":
            return _case(cursor, declare, depth)
        case "for":
            return _for(cursor, declare, depth)
        case "foreach":
            return _foreach(cursor, declare, depth)
        case "while" | "repeat":
            return _conditioned_loop(cursor, declare, depth, word)
        case "forever":
            start = cursor.at
            cursor.take()
            body = _body(cursor, declare, depth)
            return Loop("forever", None, body, span=cursor.span(start))
        case "do":
            return _do(cursor, declare, depth)
        case "return":
            start = cursor.at
            tokens = _rest(cursor)
            value = expression(tokens[1:]) if len(tokens) > 1 else None
            return Return(value, span=cursor.span(start))
        case "break" | "continue":
            start = cursor.at
            _rest(cursor)
            return Exit("exit" if word == "break" else "next", span=cursor.span(start))
        case "wait":
            start = cursor.at
            cursor.take()
            if cursor.is_op("("):
                cursor.inside()
            return Timed((), _body(cursor, declare, depth), span=cursor.span(start))
        case _:
            return _other_keyword(cursor, declare, depth)


def _other_keyword(cursor: Cursor, declare: Declare, depth: int) -> Statement | None:
    word = cursor.token.text
    if word in _LOCAL_DECLARATIONS and not (word in BUILTIN_TYPES and cursor.peek().text in ("'", "'(")):
        start = cursor.at
        items = declare(cursor)
        return Block((), tuple(items), span=cursor.span(start)) if items else None
    if word == "void":
        return _simple(cursor, declare)
    if word in _VERIFICATION:
        return _verification(cursor, declare, depth)
    if word in ("assign", "deassign", "force", "release", "disable"):
        start = cursor.at
        tokens = _rest(cursor)
        if word in ("deassign", "disable", "release"):
            return None
        return SkippedStatement(f"procedural {word}", names(tokens), span=cursor.span(start))
    if word in _OUTER:
        return None
    if word in ("this", "super"):
        return _simple(cursor, declare)
    return _skip(cursor, f"`{word}`")


def _operator(cursor: Cursor, declare: Declare, depth: int) -> Statement | None:
    text = cursor.token.text
    start = cursor.at
    if text == ";":
        cursor.take()
        return None
    if text == "@":
        cursor.take()
        events, _star = event_control(cursor)
        return Timed(events, _body(cursor, declare, depth), span=cursor.span(start))
    if text in ("#", "##"):
        cursor.take()
        _delay(cursor)
        return Timed((), _body(cursor, declare, depth), span=cursor.span(start))
    if text in ("->", "->>"):
        _rest(cursor)
        return None
    if text in ("++", "--", "{", "'{", "("):
        return _simple(cursor, declare)
    return _skip(cursor, f"`{text}`")


def _body(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    found = statement(cursor, declare, depth + 1)
    return found if found is not None else Block((), span=cursor.span(start, start + 1))


def _block(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    cursor.take()
    label = ""
    if cursor.accept(":") and cursor.token.kind == "id":
        label = cursor.take().text
    statements: list[Statement] = []
    items: list[Item] = []
    while not cursor.ended:
        token = cursor.token
        if token.kind == "kw" and token.text in _CLOSES_BLOCK:
            cursor.take()
            if cursor.is_op(":"):
                cursor.take()
                cursor.take()
            break
        if token.kind == "kw" and token.text in _OUTER and token.text != "else":
            break
        before = cursor.at
        found = statement(cursor, declare, depth + 1)
        if isinstance(found, Block) and not found.statements and found.items and not found.label:
            items.extend(found.items)
        elif found is not None:
            statements.append(found)
        if cursor.at == before:
            cursor.take()
    return Block(tuple(statements), tuple(items), label, span=cursor.span(start))


def _if(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    cursor.take()
    condition = _condition(cursor)
    if condition is None:
        return _skip(cursor, "an unfinished `if`", start)
    then = _body(cursor, declare, depth)
    otherwise = None
    if cursor.accept("else"):
        otherwise = _body(cursor, declare, depth)
    return If(condition, then, otherwise, span=cursor.span(start))


def _condition(cursor: Cursor) -> Expr | None:
    """The expression in the parentheses here; None, and no step, where they are missing or never close."""
    if not cursor.is_op("("):
        return None
    quick = parenthesised(cursor.tokens, cursor.at)
    if quick is not None and cursor.close() == quick[1] - 1:
        found, cursor.at = quick
        return found
    held = cursor.inside()
    return None if held is None else expression(held)


def _case(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    kind = cursor.take().text
    held = cursor.inside() if cursor.is_op("(") else None
    if held is None:
        return _skip(cursor, "an unfinished `case`", start)
    if cursor.accept("inside"):
        kind = "inside"
    elif cursor.is_word("matches"):
        cursor.take()
    arms: list[CaseArm] = []
    while not cursor.ended:
        if cursor.accept("endcase"):
            break
        if cursor.token.kind == "kw" and cursor.token.text in _OUTER:
            break
        before = cursor.at
        arm = _arm(cursor, declare, depth)
        if arm is not None:
            arms.append(arm)
        if cursor.at == before:
            cursor.take()
    return Case(kind, expression(held), tuple(arms), span=cursor.span(start))


def _arm(cursor: Cursor, declare: Declare, depth: int) -> CaseArm | None:
    start = cursor.at
    if cursor.accept("default"):
        cursor.accept(":")
        return CaseArm((), _body(cursor, declare, depth), span=cursor.span(start))
    end, _done = cursor.statement_end()
    colon = find(cursor.tokens[start:end], frozenset((":",)))
    if colon is None:
        _skip(cursor, "a case item without `:`")
        return None
    # `a ? b : c` before the item's colon does not occur in practice; the first colon ends the choices.
    choices = tuple(case_choice(part) for part in split(cursor.tokens[start : start + colon]))
    cursor.at = start + colon + 1
    return CaseArm(choices, _body(cursor, declare, depth), span=cursor.span(start))


def case_choice(tokens: Sequence[Token]) -> Expr:
    """A case item: an expression or an `[a:b]` range."""
    if tokens and tokens[0].text == "[" and tokens[0].kind == "op":
        parts = split(tokens[1:-1], ":")
        if len(parts) == 2:
            span = slice_span(tokens)
            return Slice(Name("", span=span), expression(parts[0]), expression(parts[1]), ":", span=span)
    return expression(tokens)


def _for(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    cursor.take()
    held = cursor.inside() if cursor.is_op("(") else None
    if held is None:
        return _skip(cursor, "an unfinished `for`", start)
    parts = split(held, ";")
    body = _body(cursor, declare, depth)
    span = cursor.span(start)
    if len(parts) != 3:
        return SkippedStatement("an unfinished `for`", names(held), span=span)
    condition = expression(parts[1]) if parts[1] else None
    steps = [assignment(part) for part in split(parts[2]) if part]
    return loops.counted(parts[0], body, steps, condition, span)


def _foreach(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    cursor.take()
    held = cursor.inside() if cursor.is_op("(") else None
    if held is None:
        return _skip(cursor, "an unfinished `foreach`", start)
    body = _body(cursor, declare, depth)
    span = cursor.span(start)
    return loops.foreach(held, body, span)


def _conditioned_loop(cursor: Cursor, declare: Declare, depth: int, kind: str) -> Statement:
    start = cursor.at
    cursor.take()
    held = cursor.inside() if cursor.is_op("(") else None
    if held is None:
        return _skip(cursor, f"an unfinished `{kind}`", start)
    body = _body(cursor, declare, depth)
    return Loop(kind, expression(held), body, span=cursor.span(start))


def _do(cursor: Cursor, declare: Declare, depth: int) -> Statement:
    start = cursor.at
    cursor.take()
    body = _body(cursor, declare, depth)
    condition: Expr | None = None
    if cursor.accept("while") and cursor.is_op("("):
        held = cursor.inside()
        condition = expression(held) if held else None
        cursor.accept(";")
    return Loop("do", condition, body, span=cursor.span(start))


def _verification(cursor: Cursor, declare: Declare, depth: int) -> Statement | None:
    cursor.take()
    for word in ("property", "sequence", "final"):
        cursor.accept(word)
    if cursor.is_op("#"):
        cursor.take()
        cursor.take()
    if cursor.is_op("("):
        cursor.inside()
    if not cursor.is_word("else"):
        statement(cursor, declare, depth + 1)
    if cursor.accept("else"):
        statement(cursor, declare, depth + 1)
    return None


def _delay(cursor: Cursor) -> None:
    if cursor.is_op("("):
        if cursor.inside() is None:
            cursor.take()
        return
    if cursor.token.kind in ("num", "id"):
        cursor.take()


def _rest(cursor: Cursor) -> Sequence[Token]:
    """The tokens of a simple statement without its `;`; steps over it."""
    start = cursor.at
    end, done = cursor.statement_end()
    cursor.at = end
    return cursor.tokens[start : end - 1 if done else end]


def _simple(cursor: Cursor, declare: Declare) -> Statement | None:
    """An assignment, a call, or a local declaration of a named type."""
    start = cursor.at
    if cursor.token.kind == "id" and _named_declaration(cursor):
        items = declare(cursor)
        return Block((), tuple(items), span=cursor.span(start)) if items else None
    if cursor.token.text.startswith("`") and cursor.peek().text == "(":
        close = cursor.close(start + 1)
        if close is not None and cursor.tokens[close + 1].kind in ("id", "kw"):
            # A macro nobody defined, without a `;` of its own.
            cursor.at = close + 1
            return assignment(cursor.tokens[start : close + 1])
    quick = quick_assignment(cursor.tokens, start, ASSIGNMENTS)
    if quick is not None:
        target, op, value, end = quick
        span = cursor.span(start, end)
        cursor.at = end + 1
        return Assign(target, value, op != "<=", op[:-1] if op not in ("=", "<=") else "", span=span)
    tokens = _rest(cursor)
    if not tokens:
        return None
    return assignment(tokens)


def _named_declaration(cursor: Cursor) -> bool:
    following = cursor.peek()
    if following.kind == "id":
        return True
    if following.text == "::":
        return cursor.peek(3).kind == "id"
    return False


def _step_over_attributes(cursor: Cursor) -> None:
    while cursor.is_op("(*"):
        if cursor.inside() is None:
            cursor.take()


def _skip(cursor: Cursor, what: str, start: int | None = None) -> Statement:
    begin = cursor.at if start is None else start
    cursor.at = begin
    end, _done = cursor.statement_end()
    cursor.at = max(end, begin + 1)
    if cursor.at >= len(cursor.tokens):
        cursor.at = len(cursor.tokens) - 1
    tokens = cursor.tokens[begin : cursor.at]
    return SkippedStatement(what, names(tokens), span=cursor.span(begin))
