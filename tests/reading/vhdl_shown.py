"""Facts of VHDL sources in one line of text each, for tests to compare with."""

from collections.abc import Iterable
from typing import Any

from memlint.reading.facts import expressions as e
from memlint.reading.facts import items as i
from memlint.reading.facts import statements as s
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText


def read(text: str) -> i.FileFacts:
    return read_vhdl(SourceText("sorter.vhd", text))


def in_architecture(text: str) -> tuple[i.Item, ...]:
    """The items of an architecture that holds `text`."""
    (unit,) = read(f"architecture rtl of sorter is {text} end architecture;").units
    return unit.items


def in_process(text: str) -> tuple[s.Statement, ...]:
    """The statements of a process that holds `text`."""
    (process,) = in_architecture(f"begin process begin {text} end process;")
    assert isinstance(process, i.Process) and isinstance(process.body, s.Block)
    return process.body.statements


def of_expression(text: str) -> e.Expr:
    (item,) = in_architecture(f"begin x <= {text};")
    assert isinstance(item, i.ContinuousAssign)
    return item.value


def shown(node: Any) -> str:
    match node:
        case None:
            return "-"
        case e.Name(name):
            return name or "range"
        case e.Number(value, None):
            return str(value)
        case e.Number(value, width, signed):
            return f"{width}'{'s' if signed else ''}{value}"
        case e.Real(value):
            return repr(value)
        case e.String(value):
            return f"'{value}'" if node.character else f'"{value}"'
        case e.Member(base, name):
            return f"{shown(base)}.{name}"
        case e.Slice(base, left, right, kind):
            return f"{shown(base)}[{shown(left)} {kind} {shown(right)}]"
        case e.Unary(op, operand):
            return f"({op} {shown(operand)})"
        case e.Binary(op, left, right):
            return f"({shown(left)} {op} {shown(right)})"
        case e.Conditional(condition, then, otherwise):
            return f"({shown(condition)} ? {shown(then)} : {shown(otherwise)})"
        case e.Concat(parts):
            return f"{{{listed(parts)}}}"
        case e.Call(function, arguments):
            named = [f"{name} => {shown(value)}" for name, value in node.named]
            return f"{shown(function)}({', '.join([*map(shown, arguments), *named])})"
        case e.Attribute(prefix, name, arguments):
            return f"{shown(prefix)}'{name}" + (f"({listed(arguments)})" if arguments else "")
        case e.Cast(target, value):
            return f"{shown(target)}'({shown(value)})"
        case e.Pattern(items):
            return f"[{', '.join(shown(v) if k is None else f'{shown(k)} => {shown(v)}' for k, v in items)}]"
        case e.Inside(value, choices):
            return f"({shown(value)} in {listed(choices)})"
        case e.Open():
            return "open"
        case e.Unsupported(what, names):
            return f"<{what}: {' '.join(names)}>"
        case e.DataType():
            return _data_type(node)
        case _:
            return _statement_or_item(node)


def listed(nodes: Iterable[Any]) -> str:
    return ", ".join(map(shown, nodes))


def _data_type(node: e.DataType) -> str:
    text = {"named": "", "implicit": ""}.get(node.kind, f"{node.kind} ") + f"{node.scope}.{node.name}".lstrip(
        "."
    )
    for dimension in node.dimensions:
        right = "" if dimension.right is None else f" {shown(dimension.right)}"
        text += f"({shown(dimension.left)} {dimension.kind}{right})"
    text += "".join(f" {name} {shown(value)}" for name, value in node.parameters)
    if node.members:
        text += f"({', '.join(member.name for member in node.members)})"
    if node.fields:
        text += f"{{{'; '.join(f'{field.name}: {shown(field.type)}' for field in node.fields)}}}"
    return text.strip() + (f" of {shown(node.element)}" if node.element is not None else "")


def _statement_or_item(node: Any) -> str:
    match node:
        case s.Block(statements):
            return "{" + " ".join(map(shown, statements)) + "}"
        case s.If(condition, then, otherwise):
            rest = "" if otherwise is None else f" else {shown(otherwise)}"
            return f"if {shown(condition)} {shown(then)}{rest}"
        case s.Case(kind, subject, arms):
            inner = " ".join(f"{listed(arm.choices) or 'others'}: {shown(arm.body)}" for arm in arms)
            return f"{kind} {shown(subject)} {{{inner}}}"
        case s.For(variable, first, _, _, body):
            return f"for {variable} in {shown(first)} {shown(body)}"
        case s.Loop(kind, condition, body):
            return f"{kind} {shown(condition)} {shown(body)}"
        case s.Assign(target, value, blocking):
            return f"{shown(target)} {':=' if blocking else '<='} {shown(value)};"
        case s.CallStatement(call):
            return f"{shown(call)};"
        case s.Return(value):
            return f"return {shown(value)};"
        case s.Exit(kind, condition):
            return f"{kind} {shown(condition)};"
        case s.Timed(events, _, condition):
            given = " ".join(f"{event.edge} {shown(event.signal)}".strip() for event in events)
            return f"wait [{given}] {shown(condition)};"
        case s.SkippedStatement(what, names) | i.Skipped(what, names):
            return f"<{what}: {' '.join(names)}>"
        case i.Variable(name, kind, type, _, initial):
            return f"{kind} {name}: {shown(type)}" + ("" if initial is None else f" := {shown(initial)}")
        case i.ContinuousAssign(target, value):
            return f"assign {shown(target)} <= {shown(value)}"
        case i.Typedef(name, type):
            return f"{'subtype' if node.subtype else 'type'} {name}: {shown(type)}"
        case i.Process(_, events, star, body):
            given = "all" if star else listed(event.signal for event in events)
            return f"process {node.label}({given}) {shown(body)}"
        case i.Instance(name, unit, overrides, connections):
            maps = f"#({_connected(overrides)}) ({_connected(connections)})"
            return f"instance {name} of {node.library}.{unit}({node.architecture}) {maps}"
        case i.Import(package, name, library):
            return f"use {library}.{package}.{name}"
        case i.Alias(name, target):
            return f"alias {name}: {shown(target)}"
        case i.AttributeSpec(name, target, value):
            return f"attribute {name} of {target}: {shown(value)}"
        case i.Nested(name, kind, (), given, of, library) if of:
            shown_given = ", ".join(f"{one.name} => {shown(one.value)}" for one in given)
            return f"{kind} {name} of {library}.{of}({shown_given})"
        case i.Nested(name, kind, items):
            return f"{kind} {name} {{{'; '.join(shown(item) for item in items)}}}"
        case i.GenerateBlock(label, items):
            return f"{label}{{{'; '.join(map(shown, items))}}}"
        case i.GenerateFor(variable, first, _, _, body):
            return f"generate for {variable} in {shown(first)} {shown(body)}"
        case i.GenerateIf(condition, then, otherwise):
            rest = "" if otherwise is None else f" else {shown(otherwise)}"
            return f"generate if {shown(condition)} {shown(then)}{rest}"
        case i.GenerateCase(subject, arms):
            return f"generate case {shown(subject)} " + " ".join(
                f"{listed(choices) or 'others'}: {shown(block)}" for choices, block in arms
            )
        case i.Subprogram(name, result, arguments, items, body):
            inner = "" if body is None else f" {shown(body)}"
            local = f" [{'; '.join(map(shown, items))}]" if items else ""
            return f"subprogram {name}({_ports(arguments)}) -> {shown(result)}{local}{inner}"
        case i.Component(name, parameters, ports):
            return f"component {name} #({'; '.join(map(shown, parameters))}) ({_ports(ports)})"
        case i.Parameter(name, type, _, value):
            return f"{name}: {shown(type)}" + ("" if value is None else f" := {shown(value)}")
    raise AssertionError(f"no text for {node!r}")


def _ports(ports: Iterable[i.Port]) -> str:
    return "; ".join(
        f"{port.name}: {port.direction} {shown(port.type)}"
        + ("" if port.initial is None else f" := {shown(port.initial)}")
        for port in ports
    )


def _connected(connections: Iterable[i.Connection]) -> str:
    return ", ".join(
        shown(each.value) if each.name is None else f"{each.name} => {shown(each.value)}"
        for each in connections
    )
