"""Ports connected part by part, and constant parts of expressions.

VHDL may give a formal its actuals in parts (`q(7 downto 0) => low, request.at => address`): readers make
that one connection whose value is a Pattern of (part, actual).
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from memlint.design.body import SelectStep
from memlint.reading.facts.expressions import (
    Concat,
    Expr,
    Index,
    Member,
    Name,
    Number,
    Open,
    Pattern,
    Slice,
)
from memlint.reading.facts.items import Unit

_STEP = re.compile(r"\.([^.\[]+)|\[(-?\d+)\]")


def actuals(value: Expr) -> Iterator[tuple[Expr | None, Expr]]:
    """Each (part of the formal, actual) of a connection; part None is all of it, or one in a row."""
    match value:
        case Pattern(items=items):
            yield from ((part, actual) for part, actual in items if not isinstance(actual, Open))
        case Concat(parts=parts):
            yield from ((None, part) for part in parts)
        case Open():
            return
        case _:
            yield None, value


def concerned(value: Expr, steps: tuple[SelectStep, ...]) -> list[Expr]:
    """The actuals that a part of a formal may be connected to: those of other fields are left out."""
    found = list(actuals(value))
    first = steps[0] if steps else None
    if first is not None and first.kind == "field" and isinstance(value, Pattern):
        found = [one for one in found if not isinstance(one[0], Name) or one[0].name == first.name]
    return [actual for _, actual in found]


def selected(expr: Expr, select: str) -> Expr | None:
    """`expr` with a constant select (`.clk`, `[2]`) put after it; None where it does not show the part."""
    for field, index in _STEP.findall(select):
        found = _field(expr, field) if field else _element(expr, int(index))
        if found is None:
            return None
        expr = found
    return expr


def _field(expr: Expr, name: str) -> Expr | None:
    if isinstance(expr, Pattern):
        return next((value for key, value in expr.items if isinstance(key, Name) and key.name == name), None)
    return Member(expr, name, span=expr.span)


def _element(expr: Expr, index: int) -> Expr | None:
    match expr:
        case Concat(parts=parts):
            at = len(parts) - 1 - index
            if 0 <= at < len(parts):
                return parts[at]
        case Pattern(items=items):
            places = ((key, value) for key, value in items if isinstance(key, Number))
            return next((value for key, value in places if key.value == index), None)
        case _:
            pass
    return Index(expr, Number(index, None, True, span=expr.span), span=expr.span)


def part_text(part: Expr | None) -> str | None:
    """A part of a formal as a constant select (`.clk`, `[2]`); `` for all of it, None for a range."""
    match part:
        case None:
            return ""
        case Name(name=name) if name:
            return f".{name}"
        case Number(value=value) if value is not None:
            return f"[{value}]"
        case Slice():
            return None
        case _:
            return None


def port_directions(unit: Unit) -> dict[str, str]:
    """The directions of a unit's ports; of several with one name the first counts."""
    return {port.name: port.direction for port in reversed(unit.ports)}
