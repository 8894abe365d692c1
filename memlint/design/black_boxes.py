"""Memory units without source, as the project describes them: each instance is a memory."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from memlint.design.body import Child, ClockTerm
from memlint.design.hierarchy import Node
from memlint.design.intents import IntentBinder
from memlint.design.library import Library
from memlint.design.memory import Access, Clock, Memory, MemoryPort, Note
from memlint.design.scope import Scope
from memlint.design.trace_clocks import ClockTracer
from memlint.design.values import Int, Text, Unknown, spell
from memlint.reading.facts.expressions import Expr
from memlint.reading.verilog.leaves import expression
from memlint.reading.verilog.lexer import lex
from memlint.text.source import SourceText, Span

_PORT = re.compile(r"(\d*)(rw|w|r)(?![a-z])")


@dataclass(frozen=True, slots=True)
class BlackBox:
    """A unit without source that is a memory.

    `depth` and `width` are expressions over its parameters, in words and bits. `ports` is written as in
    an intent (`1w 1r`, `2rw`, `rom`). `clocks` are its clock ports: one for all ports, or one for each
    in the order of `ports`. `tier` may be empty.
    """

    unit: str
    depth: str
    width: str
    ports: str = ""
    clocks: tuple[str, ...] = ()
    tier: str = ""


def described(boxes: Sequence[BlackBox], name: str, language: str) -> BlackBox | None:
    """The description of a unit; VHDL names match in any case."""
    for box in boxes:
        if box.unit == name or (language == "vhdl" and box.unit.lower() == name.lower()):
            return box
    return None


def black_box_memories(
    nodes: Sequence[Node],
    boxes: Sequence[BlackBox],
    library: Library,
    clocks: ClockTracer,
    intents: IntentBinder,
) -> Iterator[Memory]:
    """One memory for each instance of a described unit that has no source."""
    if not boxes:
        return
    for node in nodes:
        for child in node.body.children:
            if child.unit is not None:
                continue
            box = described(boxes, child.instance.unit, node.body.language)
            if box is not None:
                yield _memory(node, child, box, library, clocks, intents)


def _memory(
    node: Node,
    child: Child,
    box: BlackBox,
    library: Library,
    clocks: ClockTracer,
    intents: IntentBinder,
) -> Memory:
    scope = _parameters(node, child, box, library)
    depth, width = _size(box.depth, scope, child), _size(box.width, scope, child)
    unknown = next((one for one in (depth, width) if isinstance(one, Unknown)), None)
    nets = [_clock(node, child, name, clocks) for name in box.clocks]
    ports = tuple(_ports(box, nets, child.instance.span))
    path = f"{node.path}.{child.name}"
    used = {clock for clock in nets if clock is not None}
    notes = [Note("its shape and ports are those of its [[black_box]]", child.instance.span)]
    if not box.ports:
        notes.append(Note("its [[black_box]] does not say what ports it has", child.instance.span))
    return Memory(
        path=path,
        unit=box.unit,
        name=child.instance.name,
        language=node.body.language,
        span=child.instance.span,
        statement=child.instance.statement,
        depth=depth if isinstance(depth, int) else None,
        width=width if isinstance(width, int) else None,
        ports=ports,
        clocks=tuple(sorted(used, key=lambda clock: (clock.net, clock.edge))),
        clocks_known=bool(nets) and all(clock is not None for clock in nets),
        # How it reads is the unit's own affair, and nothing here tells.
        read=None if any(port.reads for port in ports) or not ports else "none",
        unresolved=unknown.reason if unknown is not None else None,
        unresolved_span=child.instance.span if unknown is not None else None,
        attribute=box.tier or None,
        attribute_span=child.instance.span if box.tier else None,
        intents=intents.bind_instance(node, child, path),
        decisions=tuple(notes),
        black_box=True,
    )


def _parameters(node: Node, child: Child, box: BlackBox, library: Library) -> Scope:
    """The parameters the instance sets, and those `[assume]` gives of the others."""
    scope = Scope("systemverilog", None, library.package, box.unit)
    given: Mapping[str, int | str] = library.assume
    for key, value in given.items():
        unit, _, name = key.rpartition(".")
        if unit in ("", box.unit):
            scope.set(name, Text(value) if isinstance(value, str) else Int(value, 32, True))
    for name, known in child.parameters:
        # The names of VHDL generics come in lower case; an expression may write them in either.
        for spelling in (name, name.upper()) if node.body.language == "vhdl" else (name,):
            scope.set(spelling, Int(known.value, 32, True) if isinstance(known, Int) else known)
    return scope


def _size(text: str, scope: Scope, child: Child) -> int | Unknown:
    value = scope.evaluate(_parsed(text))
    if isinstance(value, Int):
        shown = spell(value.value)
        return value.value if value.value > 0 else Unknown(f"`{text}` is {shown}, which is no size")
    if not isinstance(value, Unknown):
        return Unknown(f"`{text}` is no number")
    missing = [name for name in _names(text) if isinstance(scope.value(name), Unknown)]
    if not missing:
        return Unknown(f"`{text}` of its [[black_box]]: {value.reason}")
    wanted = f"{scope.name}.{missing[0]}"
    return Unknown(
        f"this instance does not set `{missing[0]}` by name (`{wanted}` under `[assume]` would settle it)"
    )


def _parsed(text: str) -> Expr:
    return expression(lex(SourceText("memlint.toml", text)).tokens[:-1])


def _names(text: str) -> list[str]:
    tokens = lex(SourceText("memlint.toml", text)).tokens
    return [token.text for token in tokens if token.kind == "id"]


def _clock(node: Node, child: Child, port: str, clocks: ClockTracer) -> Clock | None:
    connection = child.connections.get(port) or child.connections.get(port.lower())
    if connection is None or connection.value is None:
        return None
    return clocks.clock(node, ClockTerm(connection.value, "rising", child.scope, connection.span))


def _ports(box: BlackBox, nets: Sequence[Clock | None], span: Span) -> Iterator[MemoryPort]:
    kinds = ["r"] if box.ports.strip() == "rom" else []
    for count, kind in _PORT.findall(box.ports):
        kinds.extend([kind] * int(count or 1))
    for at, kind in enumerate(kinds):
        clock = nets[min(at, len(nets) - 1)] if nets else None
        accesses = tuple(
            Access(what, span, "", clock)
            for what, letter in (("write", "w"), ("read", "r"))
            if letter in kind
        )
        yield MemoryPort("w" in kind, "r" in kind, clock, accesses)
