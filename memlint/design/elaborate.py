"""A unit and its parameter values → its body: scopes declared, generate constructs unrolled."""

from __future__ import annotations

from collections.abc import Iterable

from memlint.design import loops
from memlint.design.array_shapes import array_shapes
from memlint.design.body import (
    Body,
    Contents,
    Drive,
    Parameters,
    ProcessFacts,
    Signal,
    Unread,
    path_name,
)
from memlint.design.children import children_of
from memlint.design.contents import is_zero
from memlint.design.flatten import Flattener
from memlint.design.interfaces import Interfaces, enter_ports, interface_scope, is_interface_port
from memlint.design.library import Library, Questions, assume_unknown
from memlint.design.limits import MOST_BLOCKS, limit_met
from memlint.design.scope import Scope
from memlint.design.signals import (
    dotted_path,
    elsewhere,
    far_targets,
    not_understood,
    signal_named,
    targets,
)
from memlint.design.types import AnyType
from memlint.design.values import Int, Text, TooMany, Unknown, Value
from memlint.reading.collection import paused
from memlint.reading.facts.expressions import (
    Binary,
    Concat,
    DataType,
    Expr,
    Inside,
    Name,
    Slice,
)
from memlint.reading.facts.items import (
    Alias,
    AttributeSpec,
    Component,
    ContinuousAssign,
    Defparam,
    GenerateBlock,
    GenerateCase,
    GenerateFor,
    GenerateIf,
    Import,
    Instance,
    Item,
    Nested,
    Parameter,
    Process,
    Skipped,
    Subprogram,
    Typedef,
    Unit,
    Variable,
)
from memlint.text.source import Span

_DECLARATIONS = Parameter | Variable | Typedef | Subprogram | Alias | Component | Import | Nested
_WIRE = DataType("builtin", "logic")


def elaborate(
    unit: Unit,
    architecture: Unit | None,
    parameters: Parameters,
    questions: Questions,
    deep: tuple[tuple[tuple[str, ...], Value], ...] = (),
    port_types: tuple[tuple[str, AnyType], ...] = (),
    interfaces: Interfaces = (),
) -> Body:
    """The body of a unit. `parameters` override by name; `deep` are defparams for instances below;
    `port_types` are the types of VHDL ports whose declaration leaves them open; `interfaces` are the
    scopes behind interface ports. `questions` take down what was asked of the library."""
    library = questions.library
    library.asking = questions
    try:
        with paused():
            return _elaborated(unit, architecture, parameters, questions, deep, port_types, interfaces)
    finally:
        library.asking = None


def _elaborated(
    unit: Unit,
    architecture: Unit | None,
    parameters: Parameters,
    questions: Questions,
    deep: tuple[tuple[tuple[str, ...], Value], ...],
    port_types: tuple[tuple[str, AnyType], ...],
    interfaces: Interfaces,
) -> Body:
    library = questions.library
    scope = Scope(unit.language, library.root_scope(unit.language), questions.package, unit.name)
    body = Body(unit, scope, unit.language)
    body.intents.extend(unit.intents)
    for parameter in unit.parameters:
        scope.add(parameter)
    for name, value in parameters:
        scope.set(name, value)
    _add_imports(scope, unit.items)
    if architecture is not None:
        _add_imports(scope, architecture.items)
    assume_unknown(scope, unit.parameters, library.assume)
    behind = {name for name, _ in interfaces}
    for port in unit.ports:
        if port.name not in behind:
            scope.add(port)
        interface = is_interface_port(port, library)
        signal = Signal(port.name, port, scope, "interface" if interface else port.direction)
        body.signals[port.name] = signal
        body.of[id(scope), port.name] = signal
        if interface:
            body.interface_ports[port.name] = port
    enter_ports(scope, unit.ports, interfaces)
    for name, type in port_types:
        if not isinstance(type, Unknown):
            scope.set_type(name, type)
    builder = _Builder(body, library, dict(deep))
    items = unit.items if architecture is None else (*unit.items, *architecture.items)
    if architecture is not None:
        body.intents.extend(architecture.intents)
    builder.block(items, scope, "")
    return body


def _add_imports(scope: Scope, items: Iterable[Item]) -> None:
    for item in items:
        if isinstance(item, Import):
            scope.add(item)


class _Builder:
    """Walks the items of a body; holds what the walk adds to."""

    def __init__(self, body: Body, library: Library, deep: dict[tuple[str, ...], Value]) -> None:
        self.body = body
        self.library = library
        self.deep = deep
        self.blocks = 0
        self.flattener = Flattener(body)
        self.instances = _instance_names(body.unit.items) if body.language != "vhdl" else frozenset()

    def block(self, items: tuple[Item, ...], scope: Scope, prefix: str) -> None:
        """Declare everything a block declares, then look at what it does."""
        for item in items:
            if isinstance(item, _DECLARATIONS):
                scope.add(item)
        own = self.body.unit.parameters if scope is self.body.scope else ()
        for item in (*own, *items):
            if isinstance(item, Variable) and item.kind != "genvar":
                self.declare(item, scope, prefix)
            elif isinstance(item, Parameter) and not item.is_type:
                self.declare_constant(item, scope, prefix)
            elif isinstance(item, Defparam):
                self.defparam(item, scope, prefix)
        for item in items:
            if isinstance(item, Instance) and self.is_interface(item):
                self.declare_interface(item, scope, prefix)
                # Before what is connected to them, wherever they stand: shapes may depend on them.
                self.instance(item, scope, prefix)
        if scope.language != "vhdl":
            for item in items:
                self.implicit_nets(item, scope, prefix)
        numbers = 0
        for item in items:
            if isinstance(item, Instance) and self.is_interface(item):
                continue
            if isinstance(item, GenerateIf | GenerateFor | GenerateCase):
                numbers += 1
                self.generate(item, scope, prefix, numbers, items)
            else:
                self.item(item, scope, prefix)

    def declare(self, item: Variable, scope: Scope, prefix: str) -> None:
        signal = Signal(prefix + path_name(item.name), item, scope)
        self.body.signals[signal.name] = signal
        self.body.of[id(scope), item.name] = signal
        if item.initial is None:
            return
        if item.kind == "net":
            # A net declaration assignment is a continuous assignment (IEEE Std 1800-2017, 10.3.1).
            self.assign(Name(item.name, span=item.span), item.initial, scope, item.statement)
            return
        zero = is_zero(item.initial, scope)
        self.body.contents.append(Contents(signal, "zero" if zero else "given", item.statement))

    def implicit_nets(self, item: Item, scope: Scope, prefix: str) -> None:
        """Nets that are declared by being assigned or connected (IEEE Std 1800-2017, 6.10)."""
        expressions: list[Expr] = []
        match item:
            case ContinuousAssign(target=target):
                expressions.append(target)
            case Instance(connections=connections):
                expressions.extend(one.value for one in connections if one.value is not None)
        while expressions:
            expr = expressions.pop()
            if isinstance(expr, Concat):
                expressions.extend(expr.parts)
            if not isinstance(expr, Name) or expr.name in self.instances:
                continue
            if scope.lookup(expr.name) is None and signal_named(expr.name, scope, self.body) is None:
                net = Variable(expr.name, "net", _WIRE, (), span=expr.span, statement=expr.span)
                scope.add(net)
                self.declare(net, scope, prefix)

    def declare_interface(self, item: Instance, scope: Scope, prefix: str) -> None:
        """An interface instance is an object too: `bus.data` is used and assigned here."""
        type = DataType("interface", item.unit, span=item.span)
        variable = Variable(item.name, "net", type, (), span=item.span, statement=item.statement)
        signal = Signal(prefix + path_name(item.name), variable, scope, "interface")
        self.body.of[id(scope), item.name] = signal
        self.body.interface_instances[signal.name] = signal

    def declare_constant(self, item: Parameter, scope: Scope, prefix: str) -> None:
        """A constant array, which is a ROM if anything indexes it by a signal."""
        if not item.dimensions and (item.type is None or _plainly_no_array(item.type)):
            return
        signal = Signal(prefix + path_name(item.name), item, scope)
        if not array_shapes(signal):
            return
        self.body.signals[signal.name] = signal
        self.body.of[id(scope), item.name] = signal
        self.body.contents.append(Contents(signal, "given", item.span))

    def defparam(self, item: Defparam, scope: Scope, prefix: str) -> None:
        path = dotted_path(item.target, scope)
        if path is None or "." not in path:
            return
        self.deep[tuple(f"{prefix}{path}".split("."))] = scope.evaluate(item.value)

    def item(self, item: Item, scope: Scope, prefix: str) -> None:
        match item:
            case ContinuousAssign(target=target, value=value):
                self.assign(target, value, scope, item.span)
            case Process():
                self.flattener.process(item, scope, prefix)
            case Instance():
                self.instance(item, scope, prefix)
            case GenerateBlock(label=label):
                self.enter(item, scope, prefix, label or f"genblk{self.blocks}", None, None)
            case Skipped(what=what, too_deep=True):
                message = f"{what} was not read: what it declares is missing"
                self.body.limits.append(limit_met(message, item.span, "nest less", "or check the brackets"))
            case Skipped(what=what, names=names):
                self.body.unread.append(Unread(what, names, item.span, scope))
            case AttributeSpec():
                self.body.attribute_specs.append((item, scope))
            case _:
                return

    def assign(self, target: Expr, value: Expr, scope: Scope, span: Span) -> None:
        process = ProcessFacts("assign", span)
        for signal, steps, place in targets(target, scope, self.body):
            drive = Drive(signal, steps, value, scope, process, span, part=place)
            signal.drives.append(drive)
            self.body.drives.append(drive)
        for far in far_targets(target, scope, self.body):
            self.body.elsewhere.append((far, Drive(elsewhere(far, scope), (), value, scope, process, span)))
        for part in not_understood(target):
            self.body.unread.append(Unread(part.what, part.names, span, scope))

    def instance(self, item: Instance, scope: Scope, prefix: str) -> None:
        for child in children_of(item, scope, prefix, self.library, self.deep, self.body):
            self.body.children.append(child)
            if child.unit is not None and child.unit.kind == "interface":
                inner = interface_scope(child.unit, child.parameters, self.library)
                scope.enter(item.name, inner)
                scope.enter(child.name[len(prefix) :], inner)

    def is_interface(self, item: Instance) -> bool:
        return self.library.is_interface(item.unit)

    # --- generate ---

    def generate(
        self,
        item: GenerateIf | GenerateFor | GenerateCase,
        scope: Scope,
        prefix: str,
        number: int,
        siblings: tuple[Item, ...],
    ) -> None:
        match item:
            case GenerateFor():
                self.generate_for(item, scope, prefix, number, siblings)
            case GenerateIf():
                self.generate_if(item, scope, prefix, number, siblings)
            case GenerateCase():
                self.generate_case(item, scope, prefix, number, siblings)

    def generate_for(
        self, item: GenerateFor, scope: Scope, prefix: str, number: int, siblings: tuple[Item, ...]
    ) -> None:
        values = loops.count(scope, item.variable, item.first, item.condition, item.next)
        if isinstance(values, TooMany):
            self.limit_met(f"{values.reason}: nothing of this generate loop was read", item)
            return
        if isinstance(values, Unknown):
            self.unresolved(f"a generate loop ({values.reason})", item, scope)
            return
        label = item.body.label or implied(number, siblings)
        for value in values:
            if self.blocks > MOST_BLOCKS:
                self.limit_met(
                    f"`{self.body.unit.name}` has more than {MOST_BLOCKS:,} generate blocks: "
                    f"this loop was not read from {item.variable} = {value} on",
                    item,
                )
                return
            self.enter(item.body, scope, prefix, f"{label}[{value}]", item.variable, value)

    def generate_if(
        self, item: GenerateIf, scope: Scope, prefix: str, number: int, siblings: tuple[Item, ...]
    ) -> None:
        while True:
            value = scope.evaluate(item.condition)
            if isinstance(value, Unknown):
                self.unresolved(f"a generate condition ({value.reason})", item, scope)
                return
            chosen = item.then if truth(value) else item.otherwise
            if chosen is None:
                return
            if not (chosen.bare and len(chosen.items) == 1 and isinstance(chosen.items[0], GenerateIf)):
                self.chosen(chosen, scope, prefix, number, siblings)
                return
            # An `else if`: chains of hundreds occur.
            item = chosen.items[0]

    def generate_case(
        self, item: GenerateCase, scope: Scope, prefix: str, number: int, siblings: tuple[Item, ...]
    ) -> None:
        subject = scope.evaluate(item.subject)
        if isinstance(subject, Unknown):
            self.unresolved(f"a generate case ({subject.reason})", item, scope)
            return
        default: GenerateBlock | None = None
        for choices, block in item.arms:
            if not choices:
                default = block
                continue
            if any(matches(item.subject, choice, scope) for choice in choices):
                self.chosen(block, scope, prefix, number, siblings)
                return
        if default is not None:
            self.chosen(default, scope, prefix, number, siblings)

    def chosen(
        self, block: GenerateBlock, scope: Scope, prefix: str, number: int, siblings: tuple[Item, ...]
    ) -> None:
        if block.bare and len(block.items) == 1 and isinstance(block.items[0], GenerateIf | GenerateCase):
            # A conditional construct directly inside another is no scope of its own (27.5).
            self.generate(block.items[0], scope, prefix, number, siblings)
            return
        self.enter(block, scope, prefix, block.label or implied(number, siblings), None, None)

    def enter(
        self,
        block: GenerateBlock,
        scope: Scope,
        prefix: str,
        label: str,
        variable: str | None,
        value: int | None,
    ) -> None:
        self.blocks += 1
        inner = Scope(scope.language, scope, scope.packages, f"{scope.name}.{label}")
        if variable is not None and value is not None:
            inner.set(variable, Int(value, 32 if scope.language != "vhdl" else None, True))
        scope.enter(label, inner)
        self.block(block.items, inner, f"{prefix}{label}.")

    def limit_met(self, message: str, item: Item) -> None:
        remedies = ("check the bounds of the loop", "or give a parameter a smaller value")
        self.body.limits.append(limit_met(message, item.span, *remedies))

    def unresolved(self, what: str, item: Item, scope: Scope) -> None:
        names: dict[str, None] = {}
        for one in inner_items(item):
            if isinstance(one, Variable | Instance):
                names[one.name] = None
        self.body.unread.append(Unread(what, tuple(names), item.span, scope))


def _instance_names(items: tuple[Item, ...]) -> frozenset[str]:
    every = (one for item in items for one in (item, *inner_items(item)))
    return frozenset(one.name for one in every if isinstance(one, Instance))


def _plainly_no_array(type: DataType) -> bool:
    return type.kind in ("builtin", "implicit", "enum") and len(type.dimensions) < 2


def inner_items(item: Item) -> Iterable[Item]:
    """All items inside a generate construct, at any depth, in the order of the source."""
    stack: list[Item | None] = [item]
    while stack:
        one = stack.pop()
        match one:
            case GenerateBlock(items=items):
                stack.extend(reversed(items))
            case GenerateFor(body=body):
                stack.append(body)
            case GenerateIf(then=then, otherwise=otherwise):
                stack.extend((otherwise, then))
            case GenerateCase(arms=arms):
                stack.extend(block for _, block in reversed(arms))
            case _:
                pass
        if one is not None and one is not item:
            yield one


def implied(number: int, siblings: tuple[Item, ...]) -> str:
    """The name of an unnamed block: `genblk` and its number, zeros in front while it clashes (27.6)."""
    taken = {one.name for one in siblings if isinstance(one, Variable | Instance | Parameter | Typedef)}
    name = f"genblk{number}"
    zeros = "0"
    while name in taken:
        name = f"genblk{zeros}{number}"
        zeros += "0"
    return name


def truth(value: Value) -> bool:
    """Whether a condition's value counts as true."""
    match value:
        case Int(value=number):
            return number != 0
        case Text(value=text):
            return bool(text)
        case _:
            return bool(getattr(value, "value", False))


def matches(subject: Expr, choice: Expr, scope: Scope) -> bool:
    """Whether a generate case's subject equals a choice, or lies in a choice's range."""
    if isinstance(choice, Slice):
        found = scope.evaluate(Inside(subject, (choice,), span=choice.span))
    else:
        found = scope.evaluate(Binary("==", subject, choice, span=choice.span))
    return isinstance(found, Int) and found.value != 0
