"""Put actual arguments in the place of formal names, to look inside a task or function where it is called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields, is_dataclass
from typing import Any, TypeVar

from memlint.reading.facts.children import children
from memlint.reading.facts.expressions import Expr, Name
from memlint.text.source import Span

Node = TypeVar("Node")


def substitute(node: Node, actuals: Mapping[str, Expr]) -> Node:
    """A copy of a statement or expression in which each named formal stands for its actual."""
    return _substitute(node, actuals)  # type: ignore[no-any-return]


def _substitute(node: Any, actuals: Mapping[str, Expr]) -> Any:
    if isinstance(node, Name):
        return actuals.get(node.name, node)
    if isinstance(node, tuple):
        changed = [_substitute(one, actuals) for one in node]
        return tuple(changed) if any(a is not b for a, b in zip(changed, node, strict=True)) else node
    if isinstance(node, Span | type) or not is_dataclass(node):
        return node
    values = {}
    different = False
    for one in fields(node):
        before = getattr(node, one.name)
        after = _substitute(before, actuals)
        different = different or after is not before
        values[one.name] = after
    made: Any = type(node)
    return made(**values) if different else node


def simple_names(expr: object) -> list[str]:
    """All simple names in an expression, fields and functions included."""
    found: list[str] = []
    stack: list[object] = [expr]
    while stack:
        node = stack.pop()
        if isinstance(node, Name):
            found.append(node.name)
        elif isinstance(node, tuple):
            stack.extend(node)
        else:
            inner = children(node)
            if inner is not None:
                stack.extend(inner(node))
    return found
