"""Values as they are made, for telling whether one may stand for another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass

from memlint.design.values import Int


def exact(value: object) -> object:
    """A value with all that does not take part in its comparison: types of numbers, places of unknowns.

    The value itself where there is nothing of the kind.
    """
    if isinstance(value, Int) and value.type is None:
        return value
    if isinstance(value, Sequence) and not isinstance(value, str):
        given, hidden = tuple(value), False
    elif is_dataclass(value):
        given = tuple(getattr(value, one.name) for one in fields(value))
        hidden = any(not one.compare and getattr(value, one.name) is not None for one in fields(value))
    else:
        return value
    parts = tuple(map(exact, given))
    if not hidden and all(one is other for one, other in zip(given, parts, strict=True)):
        return value
    return type(value), *parts
