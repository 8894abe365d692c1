"""Expressions and data types as the readers give them: unevaluated, language-neutral.

Spans do not take part in equality, so two spellings of one expression compare equal and hash alike.

Operators have one spelling for all languages, SystemVerilog's: `== != < <= > >= === !== ==? !=?`,
`+ - * / % mod ** << >> <<< >>> & | ^ ~& ~| ~^ && || -> <->`; unary `+ - ! ~ & | ^ ~& ~| ~^ abs not ++ --`.
VHDL's `=` is `==`, `/=` is `!=`, `rem` is `%`, `mod` is `mod`, `and or xor nand nor xnor` are
`& | ^ ~& ~| ~^`, `not` is `not`, and its `&` is a `Concat`.
"""

from __future__ import annotations

from dataclasses import field
from typing import TypeAlias

from memlint.text.nodes import node
from memlint.text.source import Span


def _span() -> Span:
    return field(compare=False, repr=False, kw_only=True)  # type: ignore[no-any-return]


@node(frozen=True, slots=True)
class Number:
    """An integer literal. `value` is None where digits are x or z; `width` None where unsized.

    SystemVerilog's fill literals `'0` and `'1` have `fill` set and width None.
    """

    value: int | None
    width: int | None
    signed: bool
    span: Span = _span()
    fill: bool = False


@node(frozen=True, slots=True)
class Real:
    value: float
    span: Span = _span()


@node(frozen=True, slots=True)
class String:
    """A string literal, or a VHDL character literal (one character, `character` set)."""

    value: str
    span: Span = _span()
    character: bool = False


@node(frozen=True, slots=True)
class Name:
    """A simple name; VHDL names in lower case (extended identifiers as written)."""

    name: str
    span: Span = _span()


@node(frozen=True, slots=True)
class Scoped:
    """`pkg::name`, or VHDL `library.package.name` once known to be one (`scope` is the package)."""

    scope: str
    name: str
    span: Span = _span()


@node(frozen=True, slots=True)
class Member:
    """`base.name`: a field of a record, a hierarchical name or an interface member; not yet told apart."""

    base: Expr
    name: str
    span: Span = _span()


@node(frozen=True, slots=True)
class Index:
    """`base[index]`. In VHDL a call of a function looks alike: readers give `Call`, design decides."""

    base: Expr
    index: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Slice:
    """`base[left kind right]`; kind is `:` (Verilog), `+:`, `-:`, `to` or `downto`."""

    base: Expr
    left: Expr
    right: Expr
    kind: str
    span: Span = _span()


@node(frozen=True, slots=True)
class Unary:
    op: str
    operand: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Binary:
    op: str
    left: Expr
    right: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Conditional:
    condition: Expr
    then: Expr
    otherwise: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Concat:
    """`{a, b}` or VHDL `a & b`, most significant first. A streaming concatenation is `Unsupported`."""

    parts: tuple[Expr, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Replicate:
    count: Expr
    parts: tuple[Expr, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Call:
    """A function or system function call, or in VHDL a name with parentheses: call, index or conversion.

    `function` is a Name, Scoped or Member; system functions keep the dollar sign (`$clog2`).
    `named` holds arguments given by name.
    """

    function: Expr
    arguments: tuple[Expr, ...]
    span: Span = _span()
    named: tuple[tuple[str, Expr], ...] = ()


@node(frozen=True, slots=True)
class Cast:
    """`type'(value)`, `16'(value)` (target an expression), `signed'(value)` (target a DataType)."""

    target: DataType | Expr
    value: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Pattern:
    """An assignment pattern `'{…}` or a VHDL aggregate.

    Each item is (key, value): key None is positional, a `Name("default")`/`Name("others")` is the rest;
    VHDL choices `a | b =>` repeat the item. A range choice is a `Slice` whose base is `Name("")`.
    """

    items: tuple[tuple[Expr | None, Expr], ...]
    span: Span = _span()
    repeat: Expr | None = None


@node(frozen=True, slots=True)
class TypeArgument:
    """A data type where an expression may stand: `$bits(logic [3:0])`, a type parameter's value."""

    type: DataType
    span: Span = _span()


@node(frozen=True, slots=True)
class Inside:
    """`value inside {a, [b:c]}`; ranges are `Slice`s whose base is `Name("")`."""

    value: Expr
    choices: tuple[Expr, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Attribute:
    """VHDL `prefix'name` or `prefix'name(argument)`; prefix may denote a type."""

    prefix: Expr
    name: str
    arguments: tuple[Expr, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Open:
    """An unconnected port, a `$` bound or VHDL `open` / `<>`."""

    span: Span = _span()


@node(frozen=True, slots=True)
class Unsupported:
    """A construct the reader does not know; `what` names it for the message.

    `names` are the identifiers that stand in it, so that nothing that touches an array goes unseen.
    """

    what: str
    names: tuple[str, ...]
    span: Span = _span()


Expr: TypeAlias = (
    Number | Real | String | Name | Scoped | Member | Index | Slice | Unary | Binary | Conditional
    | Concat | Replicate | Call | Cast | Pattern | TypeArgument | Inside | Attribute | Open | Unsupported
)


@node(frozen=True, slots=True)
class Dimension:
    """One packed or unpacked dimension.

    `[a:b]` is left a, right b, kind `:`; `[N]` is left N, right None, kind `size`.
    VHDL: kind `to` or `downto`; kind `subtype` means `left` names a discrete subtype or a `'range`
    attribute; kind `box` is `range <>` (unconstrained; `left` names the index subtype).
    Dynamic arrays, queues and associative arrays have kind `dynamic` and are never memories.
    """

    left: Expr
    right: Expr | None
    kind: str
    span: Span = _span()


@node(frozen=True, slots=True)
class EnumMember:
    name: str
    value: Expr | None
    span: Span = _span()


@node(frozen=True, slots=True)
class Field:
    """A field of a struct, union or record."""

    name: str
    type: DataType
    dimensions: tuple[Dimension, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class DataType:
    """A data type as written.

    kind: `builtin` (name is logic, reg, bit, integer, int, byte, time, real, string, event, chandle, …),
    `named` (name, maybe with scope: a typedef, type parameter, VHDL subtype), `struct`, `union`, `enum`,
    `array` (VHDL array definition: `dimensions` over `element`), `implicit` (only dimensions and sign),
    `interface` (name, modport in `scope`), `unsupported`.

    `packed` on struct and union tells packed ones. `dimensions` are the packed dimensions, or in VHDL
    the index constraint of a subtype indication (outermost first).

    VHDL subtype indications: `scope` is the dotted prefix as written; the range of a scalar is the parameter
    `range` (a Slice whose base is `Name("")`, or a `'range` attribute); constraints of the element are the
    `dimensions` of an `implicit` `element`, those of record fields `fields` of `implicit` type. Integer and
    real types are `builtin` with the parameter `range`; access, file, physical and protected `unsupported`.
    """

    kind: str
    name: str = ""
    scope: str = ""
    signed: bool = False
    packed: bool = False
    dimensions: tuple[Dimension, ...] = ()
    fields: tuple[Field, ...] = ()
    members: tuple[EnumMember, ...] = ()
    element: DataType | None = None
    parameters: tuple[tuple[str, Expr], ...] = ()
    span: Span | None = field(default=None, compare=False, repr=False)
