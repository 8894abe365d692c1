"""Slices of tokens to facts through the grammar, with short cuts for the commonest slices."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from memlint.reading.enclosed import Enclosed
from memlint.reading.facts.expressions import DataType, Expr, Name, Unsupported
from memlint.reading.grammars import prepared
from memlint.reading.lalr import Misfit, Table
from memlint.reading.vhdl import literals
from memlint.reading.vhdl.build import Build
from memlint.reading.vhdl.operators import TooDeep
from memlint.reading.vhdl.tokens import Token, names_in, slice_span
from memlint.text.source import Span


@cache
def _table() -> Table:
    return Table(prepared("vhdl"), Build())


@dataclass(frozen=True, slots=True)
class Failure:
    """A slice the grammar does not take: `what` is wrong, and the token where it shows (None: the end).

    `too_deep` is set where it only nests too deep.
    """

    what: str
    token: Token | None
    too_deep: bool = False


def parse(start: str, tokens: Sequence[Token]) -> Any:
    """What the grammar's rule `start` makes of a slice, or a Failure."""
    try:
        return _table().parse(start, tokens)
    except Misfit as misfit:
        if misfit.token is not None and misfit.token.type == "DEEP":
            return Failure("nesting too deep to follow", misfit.token, too_deep=True)
        return Failure("", misfit.token)
    except TooDeep:
        return Failure("expression with too many operators in a row", None)


def expression(tokens: Sequence[Token], where: Span) -> Expr:
    """The expression a slice holds; Unsupported where it is none. `where` is the place of an empty one."""
    return _expression("expression", tokens, where)


def discrete_range(tokens: Sequence[Token], where: Span) -> Expr:
    """A range (a Slice of nothing), or what names one; Unsupported where it is none."""
    return _expression("actual", tokens, where)


def choices(tokens: Sequence[Token], where: Span) -> tuple[Expr, ...]:
    """The choices of a case arm; empty for `others`."""
    if len(tokens) == 1:
        if tokens[0].type == "OTHERS":
            return ()
        return (expression(tokens, where),)
    found = parse("choices", tokens) if tokens else Failure("", None)
    if isinstance(found, Failure):
        return (unsupported(found, "choice", tokens, where),)
    return tuple(found)


def elements(tokens: Sequence[Token]) -> list[Any]:
    """The elements of an association list, cut at its commas where it does not parse as a whole.

    Each is an expression or a tuple (formal in a list, actual); those not understood are Unsupported.
    """
    if not tokens:
        return []
    found = parse("elements", tokens)
    if not isinstance(found, Failure):
        return found  # type: ignore[no-any-return]
    result: list[Any] = []
    for part in split(tokens):
        for piece in _at_formals(part):
            result.extend(_association(piece))
    return result


def _association(tokens: list[Token]) -> list[Any]:
    alone = parse("elements", tokens)
    if not isinstance(alone, Failure):
        return alone  # type: ignore[no-any-return]
    span = slice_span(tokens)
    if len(tokens) > 1 and tokens[1].type == "ARROW" and tokens[0].type == "NAME":
        formal = Name(tokens[0].value, span=tokens[0].span)
        return [([formal], unsupported(alone, "actual", tokens[2:], span))]
    return [unsupported(alone, "association", tokens, span)]


def _at_formals(tokens: list[Token]) -> list[list[Token]]:
    """Cut a slice before each `name =>` outside parentheses: there the comma was left out."""
    cuts = [0]
    depth = 0
    for at, token in enumerate(tokens):
        depth += (token.type in ("LPAR", "DEEP")) - (token.type == "RPAR")
        if token.type == "ARROW" and depth == 0 and at > 1 and tokens[at - 1].type == "NAME":
            cuts.append(at - 1)
    return [tokens[cut:end] for cut, end in pairwise([*cuts, len(tokens)]) if cut < end]


def declaration(
    tokens: Sequence[Token],
) -> tuple[DataType, list[tuple[Expr | Enclosed, Expr | None]] | None] | Failure:
    """Subtype indication and default; the default as (value, condition) pairs, last one first."""
    if len(tokens) == 1 and tokens[0].type == "NAME":
        return DataType("named", tokens[0].value, span=tokens[0].span), None
    if not tokens:
        return Failure("missing subtype", None)
    return parse("declaration", tokens)  # type: ignore[no-any-return]


def unsupported(failure: Failure, what: str, tokens: Sequence[Token], where: Span) -> Unsupported:
    """The node for a slice that failed, naming what it should have been and its identifiers."""
    if not tokens:
        return Unsupported(f"missing {what}", (), span=where)
    return Unsupported(failure.what or f"unreadable {what}", names_in(tokens), span=slice_span(tokens))


def split(tokens: Sequence[Token], separator: str = "COMMA") -> list[list[Token]]:
    """Cut a slice at the separators outside all parentheses."""
    parts: list[list[Token]] = [[]]
    depth = 0
    for token in tokens:
        kind = token.type
        if kind == separator and depth == 0:
            parts.append([])
            continue
        if kind == "LPAR" or kind == "DEEP":
            depth += 1
        elif kind == "RPAR":
            depth -= 1
        parts[-1].append(token)
    return parts


def _expression(start: str, tokens: Sequence[Token], where: Span) -> Expr:
    if len(tokens) == 1:
        token = tokens[0]
        if token.type == "NAME":
            return Name(token.value, span=token.span)
        if token.type == "ATOM":
            return literals.atom(token.value, token.span)
    found = parse(start, tokens) if tokens else Failure("", None)
    if isinstance(found, Failure):
        return unsupported(found, "expression", tokens, where)
    return found  # type: ignore[no-any-return]
