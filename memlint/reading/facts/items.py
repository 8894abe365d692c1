"""Declarations and other items of a unit, and the facts of a whole file."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING, ClassVar, TypeAlias

from memlint.reading.facts.expressions import DataType, Dimension, Expr
from memlint.reading.facts.moved import Later, same_but_for_place
from memlint.reading.intent.clauses import Intent
from memlint.text.nodes import node
from memlint.text.source import Span

if TYPE_CHECKING:
    from memlint.reading.facts.statements import Event, Statement


def _span() -> Span:
    return field(compare=False, repr=False, kw_only=True)  # type: ignore[no-any-return]


@node(frozen=True, slots=True)
class AttributeFact:
    """A synthesis attribute on a declaration: `(* ram_block = "x" *)`; value None when it has none."""

    name: str
    value: Expr | None
    span: Span = _span()


@node(frozen=True, slots=True)
class Parameter:
    """A parameter or generic. `local` ones cannot be overridden; `is_type` is `parameter type T = …`.

    `value` is the default (a TypeArgument for a type parameter), None where it has none.
    `type` None means the type follows the value.
    """

    name: str
    type: DataType | None
    dimensions: tuple[Dimension, ...]
    value: Expr | None
    local: bool
    is_type: bool = False
    span: Span = _span()


@node(frozen=True, slots=True)
class Port:
    """direction: input, output, inout, ref, buffer, `interface`. `initial` is the default value."""

    name: str
    direction: str
    type: DataType
    dimensions: tuple[Dimension, ...]
    initial: Expr | None = None
    attributes: tuple[AttributeFact, ...] = ()
    intents: tuple[Intent, ...] = ()
    span: Span = _span()


@node(frozen=True, slots=True)
class Variable:
    """One declared name. kind: `variable`, `net`, `signal`, `shared`, `constant` or `genvar`.

    `span` is the name; `statement` the whole declaration statement. VHDL array types keep their
    dimensions in `type`; Verilog unpacked dimensions are in `dimensions`.
    """

    name: str
    kind: str
    type: DataType
    dimensions: tuple[Dimension, ...]
    initial: Expr | None = None
    attributes: tuple[AttributeFact, ...] = ()
    intents: tuple[Intent, ...] = ()
    span: Span = _span()
    statement: Span = _span()


@node(frozen=True, slots=True)
class Typedef:
    """A named type. `subtype` marks VHDL subtypes. VHDL protected types: type kind `unsupported`."""

    name: str
    type: DataType
    dimensions: tuple[Dimension, ...] = ()
    subtype: bool = False
    span: Span = _span()


@node(frozen=True, slots=True)
class Import:
    """`import pkg::name;` or VHDL `use lib.pkg.name;`; name `*` is all."""

    package: str
    name: str
    library: str = ""
    span: Span = _span()


@node(frozen=True, slots=True)
class Subprogram:
    """A function or a task/procedure (`result` None). Arguments are Ports; `items` are locals.

    A VHDL declaration without body has `body` None.
    """

    name: str
    result: DataType | None
    arguments: tuple[Port, ...]
    items: tuple[Item, ...]
    body: Statement | None
    span: Span = _span()


@node(frozen=True, slots=True)
class ContinuousAssign:
    target: Expr
    value: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Process:
    """kind: always, always_ff, always_comb, always_latch, initial, final, process.

    `events` is the event control or sensitivity list; `star` is `@*`, `@(*)` or VHDL `process (all)`.
    `items` are VHDL process declarations.
    """

    kind: str
    events: tuple[Event, ...]
    star: bool
    body: Statement
    items: tuple[Item, ...] = ()
    label: str = ""
    span: Span = _span()


@node(frozen=True, slots=True)
class Connection:
    """A port connection or parameter override. `name` None is by order; `value` None is unconnected.

    `.*` is `Connection("*", None)`; `.name` is `Connection("name", Name("name"))`.
    """

    name: str | None
    value: Expr | None
    span: Span = _span()


@node(frozen=True, slots=True)
class Instance:
    """One instance. `unit` is the module or entity named (VHDL in lower case), `library` and
    `architecture` where VHDL gives them; `component` marks VHDL component instantiation.
    `dimensions` make an array of instances. `span` is the instance name."""

    name: str
    unit: str
    overrides: tuple[Connection, ...]
    connections: tuple[Connection, ...]
    dimensions: tuple[Dimension, ...] = ()
    library: str = ""
    architecture: str = ""
    component: bool = False
    intents: tuple[Intent, ...] = ()
    span: Span = _span()
    statement: Span = _span()


@node(frozen=True, slots=True)
class GenerateBlock:
    """Items under a label; `label` is `` where the source names none (design numbers it by the standard).

    `bare` tells a Verilog block without `begin … end` around its one item.
    """

    label: str
    items: tuple[Item, ...]
    span: Span = _span()
    bare: bool = False


@node(frozen=True, slots=True)
class GenerateIf:
    """`otherwise` may hold a single GenerateIf for else-if chains (in `items`, label ``)."""

    condition: Expr
    then: GenerateBlock
    otherwise: GenerateBlock | None
    span: Span = _span()


@node(frozen=True, slots=True)
class GenerateFor:
    """Verilog: `variable = first; condition; variable = next`.

    VHDL: `condition` and `next` None, `first` a range.
    """

    variable: str
    first: Expr
    condition: Expr | None
    next: Expr | None
    body: GenerateBlock
    span: Span = _span()


@node(frozen=True, slots=True)
class GenerateCase:
    """Each arm is (choices, block); empty choices is default."""

    subject: Expr
    arms: tuple[tuple[tuple[Expr, ...], GenerateBlock], ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Defparam:
    target: Expr
    value: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Alias:
    """VHDL alias: `name` stands for `target`."""

    name: str
    target: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class AttributeSpec:
    """VHDL `attribute name of target : class is value`."""

    name: str
    target: str
    value: Expr
    span: Span = _span()


@node(frozen=True, slots=True)
class Modport:
    """A modport: (direction, name) pairs."""

    name: str
    ports: tuple[tuple[str, str], ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Component:
    """A VHDL component declaration."""

    name: str
    parameters: tuple[Parameter, ...]
    ports: tuple[Port, ...]
    span: Span = _span()


@node(frozen=True, slots=True)
class Nested:
    """A VHDL declarative region inside another. kind: `package`, `package_body` or `protected_body`.

    An instance of a generic package is one `of` it (with `library`), its associations being `parameters`.
    """

    name: str
    kind: str
    items: tuple[Item, ...]
    parameters: tuple[Parameter, ...] = ()
    of: str = ""
    library: str = ""
    span: Span = _span()


@node(frozen=True, slots=True)
class Skipped:
    """An item not understood. `what` names the construct, `names` the identifiers in it.

    `too_deep` marks what was not read since it nests too deep, whatever it holds.
    """

    what: str
    names: tuple[str, ...]
    span: Span = _span()
    too_deep: bool = False


Item: TypeAlias = (
    Parameter | Port | Variable | Typedef | Import | Subprogram | ContinuousAssign | Process | Instance
    | GenerateBlock | GenerateIf | GenerateFor | GenerateCase | Defparam | Alias | AttributeSpec
    | Modport | Component | Nested | Skipped
)


@node(frozen=True, slots=True)
class Unit(Later):
    """A design unit. kind: module, interface, program, package, entity, architecture, package_body,
    primitive, context. An architecture or package body names its entity or package in `of`.

    `parameters` are those of the header and, for Verilog, of the body too (in order; local ones marked).
    `intents` speak for the unit (`budget`, `plan`); `span` is the name, `whole` the unit's text.
    A unit that an edit before it moved makes what it holds when somebody asks for it.
    """

    later: ClassVar[frozenset[str]] = frozenset(("parameters", "ports", "items", "intents"))

    name: str
    kind: str
    language: str
    parameters: tuple[Parameter, ...]
    ports: tuple[Port, ...]
    items: tuple[Item, ...]
    of: str = ""
    library: str = ""
    intents: tuple[Intent, ...] = ()
    span: Span = _span()
    whole: Span = _span()

    def __eq__(self, other: object) -> bool:
        return same_but_for_place(self, other)


@node(frozen=True, slots=True)
class Problem:
    """Something wrong in the source that a rule reports (`rule` names it), or that a reader skipped.

    `repair` is what to write in place of `span` where only one thing can be meant, else empty. Where it
    `hides` something, a declaration may be missing for it, and with it a memory. `missing` is the included
    file that is not there, as named: whoever includes it, it is one problem of the project.
    """

    rule: str
    message: str
    span: Span
    help: tuple[str, ...] = ()
    repair: str = ""
    hides: bool = False
    missing: str = ""


@node(frozen=True, slots=True)
class FileFacts:
    """All that one file says. `language` is verilog, systemverilog or vhdl.

    `items` are declarations outside any unit. `problems` carry intent-syntax, intent-unattached,
    intent-repeats-clause and source-not-read findings that need no elaboration.
    `includes` are (name as written, resolved file or None).
    """

    file: str
    language: str
    units: tuple[Unit, ...]
    items: tuple[Item, ...]
    problems: tuple[Problem, ...]
    includes: tuple[tuple[str, str | None], ...] = ()
