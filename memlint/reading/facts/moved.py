"""Nodes at another place of their file: what an edit before them does to them."""

from __future__ import annotations

import sys
from dataclasses import fields, is_dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, ClassVar

from memlint.text.source import Span

# Room on Python's stack for the longest chain of generate branches.
_DEEP = 10_000
_SPANS = frozenset(("Span", "Span | None"))
_PLAIN = frozenset(("str", "bool", "int", "float", "int | None", "tuple[str, ...]", "tuple[int, ...]"))
_new = object.__new__
_set = object.__setattr__


class Later:
    """Base of a node whose fields in `later` may be left unset, to be made when somebody asks for them.

    What a node was moved from is no field: it takes part in nothing but that.
    """

    __slots__ = ("_moved",)
    later: ClassVar[frozenset[str]] = frozenset()
    _moved: tuple[Any, str, int]

    if not TYPE_CHECKING:

        def __getattr__(self, name: str) -> Any:
            # Python comes here only for what is not set.
            if name not in type(self).later:
                raise AttributeError(f"{type(self).__name__!r} object has no attribute {name!r}")
            base, file, by = self._moved
            value = moved(getattr(base, name), file, by)
            _set(self, name, value)
            return value


def same_but_for_place(one: Later, other: object) -> bool:
    """Equality as any dataclass has it; quick where both were moved from one node."""
    if type(other) is not type(one):
        return False
    first, second = unmoved(one), unmoved(other)
    if first is second:
        return True
    return all(
        getattr(first, field.name) == getattr(second, field.name) for field in fields(first) if field.compare
    )


def moved(node: Any, file: str, by: int) -> Any:
    """A node, or a tuple of nodes, with every span in `file` moved by so many code points."""
    limit = sys.getrecursionlimit()
    sys.setrecursionlimit(max(limit, _DEEP))
    try:
        return _moved(node, file, by)
    finally:
        sys.setrecursionlimit(limit)


def moved_later(node: Any, file: str, by: int) -> Any:
    """As `moved`, of a `Later` node; its later fields are made when somebody asks for them."""
    base, _file, before = origin(node) or (node, file, 0)
    if before + by == 0:
        return base
    kind: Any = type(node)
    made = _new(kind)
    for name in _at_once(kind):
        held = getattr(node, name)
        _set(made, name, held if type(held) is str else _moved(held, file, by))
    _set(made, "_moved", (base, file, before + by))
    return made


def origin(node: Later) -> tuple[Any, str, int] | None:
    """The node this one was moved from, the file, and how far; None where it was read at its place."""
    try:
        return object.__getattribute__(node, "_moved")  # type: ignore[no-any-return]
    except AttributeError:
        return None


def unmoved(node: Any) -> Any:
    """The node as it was first read, at the place it had then."""
    found = origin(node)
    return found[0] if found else node


def span_moved(span: Span, file: str, by: int) -> Span:
    """A span moved, if it lies in the file."""
    return Span(file, span.start + by, span.end + by) if span.file == file else span


def _moved(node: Any, file: str, by: int) -> Any:
    kind: Any = type(node)
    if kind is tuple:
        return tuple([_moved(one, file, by) for one in node])
    plan = _plan(kind)
    if plan is None:
        return span_moved(node, file, by) if kind is Span else node
    plain, spans, others = plan
    made = _new(kind)
    for name in plain:
        _set(made, name, getattr(node, name))
    for name in spans:
        span = getattr(node, name)
        if span is not None and span.file == file:
            span = Span(file, span.start + by, span.end + by)
        _set(made, name, span)
    for name in others:
        held = getattr(node, name)
        _set(made, name, held if held is None else _moved(held, file, by))
    return made


@cache
def _at_once(kind: Any) -> tuple[str, ...]:
    return tuple(one.name for one in fields(kind) if one.name not in kind.later)


@cache
def _plan(kind: Any) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]] | None:
    """The fields to copy, those that are spans, and the others; None for what is no node."""
    if not is_dataclass(kind) or kind is Span:
        return None
    annotations = [(one.name, str(one.type)) for one in fields(kind)]
    return (
        tuple(name for name, annotation in annotations if annotation in _PLAIN),
        tuple(name for name, annotation in annotations if annotation in _SPANS),
        tuple(name for name, annotation in annotations if annotation not in _PLAIN | _SPANS),
    )
