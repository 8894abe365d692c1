"""Assignments with conditional and selected values, and values with conditions anywhere else."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from memlint.reading.enclosed import Enclosed, bare
from memlint.reading.facts.expressions import Binary, Conditional, Expr, Inside, Open, Unsupported
from memlint.reading.facts.statements import Assign, Block, Case, CaseArm, If, Statement
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.associations import is_range
from memlint.reading.vhdl.lexer import MAX_NESTING
from memlint.reading.vhdl.parse import Failure
from memlint.reading.vhdl.tokens import Token
from memlint.text.source import Span

Values: TypeAlias = list[tuple[Expr | Enclosed, Expr | None]]
"""Values with the conditions they are taken under, first to last; None: in all other cases."""


@dataclass(frozen=True, slots=True)
class Assignment:
    """`target <= values` or `:=`; a value of Open is `unaffected`."""

    target: Expr
    values: Values
    blocking: bool

    @property
    def complete(self) -> bool:
        """Whether the target gets a value in every case."""
        return self.values[-1][1] is None and not any(isinstance(value, Open) for value, _ in self.values)


def assignment_mark(tokens: Sequence[Token]) -> int:
    """Index of the `<=` or `:=` that makes a slice an assignment, -1 where it is none."""
    depth = 0
    for index, token in enumerate(tokens):
        match token.type:
            case "LPAR" | "DEEP":
                depth += 1
            case "RPAR":
                depth -= 1
            case "LE" | "GETS" | "ASSIGN" if depth == 0:
                return index
    return -1


def assignment(tokens: list[Token], mark: int) -> Assignment | Failure | None:
    """An assignment from its tokens; None for `force` and `release`, which do nothing in hardware.

    Delay mechanisms are dropped. The mark is retagged, since `<=` is a relation to the grammar.
    """
    token = tokens[mark]
    if token.type == "LE":
        token.type = "GETS"
    after = mark + 1
    kinds = [each.type for each in tokens[after : after + 2]]
    if kinds and kinds[0] in ("TRANSPORT", "GUARDED", "INERTIAL", "REJECT"):
        while after < len(tokens) and tokens[after].type == "GUARDED":
            after += 1
        if tokens[after : after + 1] and tokens[after].type == "REJECT":
            while after < len(tokens) and tokens[after].type != "INERTIAL":
                after += 1
        if tokens[after : after + 1] and tokens[after].type in ("TRANSPORT", "INERTIAL"):
            after += 1
        tokens = tokens[: mark + 1] + tokens[after:]
    elif kinds and kinds[0] == "NAME" and token.type == "GETS":
        word = tokens[after].value
        if word == "force" and len(kinds) == 2 and kinds[1] in ("NAME", "ATOM", "STRING", "IN", "OUT"):
            return None
        if word == "release" and len(kinds) == 2 and kinds[1] in ("IN", "OUT"):
            return None
    found = parse.parse("assignment", tokens)
    if isinstance(found, Failure):
        return found
    target, _, values = found
    values.reverse()
    return Assignment(target, values, token.type == "ASSIGN")


def value_of(values: Values, otherwise: Expr | None = None) -> Expr:
    """Values as one expression; `otherwise` stands for `unaffected` and for the case nobody names."""
    last, condition = values[-1]
    missing = otherwise if otherwise is not None else Open(span=last.span)
    if len(values) > MAX_NESTING:
        return Unsupported(
            "more conditional values than are followed", (), span=values[0][0].span.to(last.span)
        )
    result: Expr = missing if isinstance(last, Open) else bare(last)
    span = last.span
    if condition is not None:
        span = span.to(condition.span)
        result = Conditional(condition, result, missing, span=span)
    for value, condition in reversed(values[:-1]):
        assert condition is not None
        span = value.span.to(span)
        then: Expr = missing if isinstance(value, Open) else bare(value)
        result = Conditional(condition, then, result, span=span)
    return result


def assign_statement(assigned: Assignment, span: Span) -> Statement:
    """A sequential assignment; with conditions, an If whose branches assign."""
    arms: list[tuple[Expr | None, Statement]] = []
    if len(assigned.values) > MAX_NESTING:
        return Assign(assigned.target, value_of(assigned.values), assigned.blocking, span=span)
    for value, condition in assigned.values:
        body: Statement = Block((), span=span)
        if not isinstance(value, Open):
            body = Assign(assigned.target, bare(value), assigned.blocking, span=span)
        arms.append((condition, body))
    return if_chain(arms, span)


def if_chain(arms: list[tuple[Expr | None, Statement]], span: Span) -> Statement:
    """Arms (condition, body) as nested Ifs; the condition None is the last `else`."""
    result: Statement | None = None
    for condition, body in reversed(arms):
        result = body if condition is None else If(condition, body, result, span=span)
    assert result is not None
    return result


def selected(
    subject: Expr, tokens: list[Token], matching: bool, span: Span
) -> tuple[Case, tuple[Expr, Expr] | None] | Failure:
    """A selected assignment, `target <= a when c1, b when c2`, from the tokens after `select`.

    The Case that does it in a process; and (target, value) with a chain of Conditionals where every case
    has a value and the chain is short enough to follow.
    """
    mark = assignment_mark(tokens)
    if mark <= 0:
        return Failure("", tokens[0] if tokens else None)
    target = parse.expression(tokens[:mark], span)
    arms = parse.parse("selection", [each for each in tokens[mark + 1 :] if each.type not in _DELAYS])
    if isinstance(arms, Failure):
        return arms
    blocking = tokens[mark].type == "ASSIGN"
    cases: list[CaseArm] = []
    values: Values = []
    for value, choices in arms:
        rest = any(_is_others(choice) for choice in choices)
        body: Statement = Block((), span=value.span)
        if not isinstance(value, Open):
            body = Assign(target, value, blocking, span=value.span)
        cases.append(CaseArm(() if rest else tuple(choices), body, span=value.span))
        values.append((value, None if rest else _chosen(subject, choices)))
    case = Case("case?" if matching else "case", subject, tuple(cases), span=span)
    whole = Assignment(target, values, blocking)
    # Without `others` the choices are complete all the same (IEEE Std 1076-2008, 10.9): the last is the rest.
    values[-1] = (values[-1][0], None)
    if not whole.complete or len(values) > MAX_NESTING or any(each is None for _, each in values[:-1]):
        return case, None
    return case, (target, value_of(values))


_DELAYS = frozenset(("TRANSPORT", "GUARDED", "INERTIAL"))


def _is_others(choice: Expr) -> bool:
    return getattr(choice, "name", "") == "others"


def _chosen(subject: Expr, choices: list[Expr]) -> Expr:
    """The condition under which a selected value is taken."""
    first = choices[0]
    span = first.span.to(choices[-1].span)
    if len(choices) == 1 and not is_range(first):
        return Binary("==", subject, first, span=span)
    return Inside(subject, tuple(choices), span=span)
