"""Procedural statements as the readers give them."""

from __future__ import annotations

from dataclasses import field
from typing import TypeAlias

from memlint.reading.facts.expressions import Call, Expr
from memlint.reading.facts.items import Item
from memlint.text.nodes import node
from memlint.text.source import Span


def _span() -> Span:
    return field(compare=False, repr=False, kw_only=True)  # type: ignore[no-any-return]


@node(frozen=True, slots=True)
class Event:
    """One term of an event control: edge `posedge`, `negedge`, `edge` or `` (any change)."""

    edge: str
    signal: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Block:
    """`begin … end`; `items` are local declarations (Variable, Parameter, Typedef …)."""

    statements: tuple[Statement, ...]
    items: tuple[Item, ...] = ()
    label: str = ""
    span: Span = _span()


@node(frozen=True, slots=True)
class If:
    condition: Expr
    then: Statement
    otherwise: Statement | None
    span: Span = _span()


@node(frozen=True, slots=True)
class CaseArm:
    """`choices` empty is default / others. Range choices are `Slice`s whose base is `Name("")`."""

    choices: tuple[Expr, ...]
    body: Statement
    span: Span = _span()


@node(frozen=True, slots=True)
class Case:
    """kind: case, casez, casex, inside, `case?`."""

    kind: str
    subject: Expr
    arms: tuple[CaseArm, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class For:
    """A counted loop.

    Verilog: `variable = first; condition; step` (step is an Assign). VHDL: `condition` and `step` None,
    `first` the range (a `Slice` with base `Name("")`, a `'range` Attribute or a subtype name).
    foreach: kind `foreach`, `first` the array, `variable` one index name (nested For for more).
    """

    variable: str
    first: Expr | None
    condition: Expr | None
    step: Assign | None
    body: Statement
    kind: str = "for"
    span: Span = _span()


@node(frozen=True, slots=True)
class Loop:
    """Other loops: kind `while`, `do`, `repeat`, `forever`, `loop`; `condition` where there is one."""

    kind: str
    condition: Expr | None
    body: Statement
    span: Span = _span()


@node(frozen=True, slots=True)
class Assign:
    """An assignment. Blocking: `=` (VHDL `:=`); else `<=`. `op` is the operator of `+=` and its kin, else ``.

    VHDL conditional and selected assignments become `If` / `Case` (procedural) or a `Conditional` value.
    """

    target: Expr
    value: Expr
    blocking: bool
    op: str = ""
    span: Span = _span()


@node(frozen=True, slots=True)
class CallStatement:
    """A task, procedure or system task call (`$readmemh(…)`), or a function called for its effect."""

    call: Call
    span: Span = _span()


@node(frozen=True, slots=True)
class Return:
    value: Expr | None
    span: Span = _span()


@node(frozen=True, slots=True)
class Exit:
    """`break`/`exit` (kind `exit`) or `continue`/`next` (kind `next`), with VHDL's `when` condition."""

    kind: str
    condition: Expr | None = None
    span: Span = _span()


@node(frozen=True, slots=True)
class Timed:
    """An event control inside a process (`@(posedge clk) …`, VHDL `wait until …`), or a delay (no events).

    VHDL `wait until cond`: one event per edge function in `cond` if there is one, `condition` = cond.
    """

    events: tuple[Event, ...]
    body: Statement | None
    condition: Expr | None = None
    span: Span = _span()


@node(frozen=True, slots=True)
class SkippedStatement:
    """Text the reader did not understand; `names` are the identifiers in it."""

    what: str
    names: tuple[str, ...]
    span: Span = _span()


Statement: TypeAlias = (
    Block | If | Case | For | Loop | Assign | CallStatement | Return | Exit | Timed | SkippedStatement
)
