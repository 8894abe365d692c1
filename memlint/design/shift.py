"""What an edit moved in its file: results that tell places in the text before it, told for the text after."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Hashable
from dataclasses import dataclass, field, fields, is_dataclass
from functools import cache
from operator import is_
from typing import Any, TypeVar

from memlint.reading.facts.items import FileFacts, Unit
from memlint.reading.facts.moved import unmoved
from memlint.text.source import Span

Result = TypeVar("Result")
# Fields that hold no place, whatever is in them.
_PLAIN = frozenset(
    ("str", "bool", "int", "float", "int | None", "str | None", "tuple[str, ...]", "tuple[int, ...]", "Scope")
)
_new = object.__new__
_set = object.__setattr__


@dataclass(slots=True)
class Shift:
    """The units that moved, by their `id` before, and how far the text around each unit of a file did.

    For each file the offsets at which its units ended, in order, and how far each moved. What stands
    between two units moves with the second: an edit there has the whole file read again.
    """

    units: dict[int, tuple[Unit, Unit]] = field(default_factory=dict)
    _files: dict[str, tuple[list[int], list[int]]] = field(default_factory=dict)
    _known: dict[int, tuple[object, Any]] = field(default_factory=dict)

    def add(self, old: FileFacts, new: FileFacts) -> None:
        """Take note of the units of a file that are equal but for their place."""
        now = {id(unmoved(unit)): unit for unit in new.units}
        units: dict[int, tuple[Unit, Unit]] = {}
        ends: list[int] = []
        by: list[int] = []
        for unit in old.units:
            if unit.whole.file != old.file or (ends and unit.whole.start < ends[-1]):
                return
            other = now.get(id(unmoved(unit)), unit)
            ends.append(unit.whole.end)
            by.append(other.whole.start - unit.whole.start)
            if other is not unit and unit.kind == "module":
                units[id(unit)] = unit, other
        if units:
            self.units.update(units)
            self._files[old.file] = ends, by

    def span(self, span: Span) -> Span:
        """A place, after the edit."""
        moves = self._files.get(span.file)
        if moves is None:
            return span
        ends, by = moves
        at = bisect_right(ends, span.start)
        if at == len(by) or not by[at]:
            return span
        return Span(span.file, span.start + by[at], span.end + by[at])

    def of(self, value: Result) -> Result:
        """A result with all its places, itself if none of them moved. What is shared stays shared."""
        return self._of(value)  # type: ignore[no-any-return]

    def _of(self, value: Any) -> Any:
        kind: Any = type(value)
        if kind is Span:
            return self.span(value)
        if kind is tuple:
            if not value:
                return value
            parts = [self._of(one) for one in value]
            return value if all(map(is_, value, parts)) else tuple(parts)
        if kind is frozenset:
            return self._of_set(value)
        names = _places(kind)
        if not names:
            return value
        known = self._known.get(id(value))
        if known is not None:
            return known[1]
        made = value
        for name in names:
            held = getattr(value, name)
            if held is None or (other := self._of(held)) is held:
                continue
            if made is value:
                made = _copy(value, kind)
            _set(made, name, other)
        self._known[id(value)] = value, made
        return made

    def _of_set(self, value: frozenset[Any]) -> frozenset[Any]:
        parts = [(one, self._of(one)) for one in value]
        return value if all(one is other for one, other in parts) else frozenset(other for _, other in parts)


def _copy(value: Any, kind: Any) -> Any:
    made = _new(kind)
    for name in _every(kind):
        _set(made, name, getattr(value, name))
    return made


@cache
def _every(kind: Any) -> tuple[str, ...]:
    return tuple(one.name for one in fields(kind))


@cache
def _places(kind: Hashable) -> tuple[str, ...]:
    """The fields that may hold places; none for what is no plain data."""
    if not is_dataclass(kind):
        return ()
    return tuple(one.name for one in fields(kind) if str(one.type) not in _PLAIN)


def tells_a_place(value: object) -> bool:
    """Whether a value holds any place, as what is not known may."""
    if isinstance(value, Span):
        return True
    if isinstance(value, tuple | list):
        return any(map(tells_a_place, value))
    kind: Any = type(value)
    return any(tells_a_place(getattr(value, one)) for one in _places(kind))

