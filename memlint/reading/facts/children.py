"""The nodes a node holds, for walks over whole files: which fields can hold any is looked up once a type."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass
from functools import cache
from operator import attrgetter
from typing import Any

# Annotations of fields that hold no node.
_PLAIN = frozenset(
    (
        *("str", "bool", "int", "float", "int | None", "Span", "Span | None"),
        *("tuple[str, ...]", "tuple[tuple[str, str], ...]", "tuple[tuple[str, str | None], ...]"),
    )
)
# Names in the annotations of fields that hold declarations, or statements that hold some.
_HOLDERS = ("Item", "Statement", "GenerateBlock", "CaseArm", "Unit")
Children = Callable[[Any], tuple[Any, ...]]


def children(node: object) -> Children | None:
    """What gives the nodes and tuples of nodes in this one; None where its type has no fields for any."""
    kind: Any = type(node)
    return _children(kind)


def item_fields(node: object) -> tuple[str, ...]:
    """The fields of a node in which declarations may stand, at any depth."""
    kind: Any = type(node)
    return _item_fields(kind)


def items_within(node: object) -> Children | None:
    """What gives those fields; None where the node's type has none."""
    kind: Any = type(node)
    return _items_within(kind)


@cache
def _children(kind: Any) -> Children | None:
    return _getter([name for name, annotation in _annotations(kind) if annotation not in _PLAIN])


@cache
def _item_fields(kind: Any) -> tuple[str, ...]:
    return tuple(
        name for name, annotation in _annotations(kind) if any(word in annotation for word in _HOLDERS)
    )


@cache
def _items_within(kind: Any) -> Children | None:
    return _getter(list(_item_fields(kind)))


def _annotations(kind: Any) -> list[tuple[str, str]]:
    return [(one.name, str(one.type)) for one in fields(kind)] if is_dataclass(kind) else []


def _getter(names: list[str]) -> Children | None:
    if not names:
        return None
    getter: Any = attrgetter(*names)
    return getter if len(names) > 1 else lambda node: (getter(node),)
