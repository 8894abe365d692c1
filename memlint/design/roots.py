"""Which units are roots: those nobody instantiates."""

from __future__ import annotations

from memlint.design.elaborate import inner_items
from memlint.design.library import Library
from memlint.reading.facts.items import Component, Instance, Unit
from memlint.reading.facts.moved import unmoved

_Reference = tuple[str, str]


class Roots:
    """Finds the roots of a library; what each unit refers to is worked out once, wherever it moves."""

    def __init__(self) -> None:
        self._references: dict[int, tuple[Unit, frozenset[_Reference]]] = {}
        self._known: tuple[str, ...] | None = None

    def of(self, library: Library, outline: bool) -> tuple[str, ...]:
        """The roots, in the order they were read. `outline` tells whether units came, went or moved since
        the last question."""
        before, same = self._references, not outline and self._known is not None
        now: dict[int, tuple[Unit, frozenset[_Reference]]] = {}
        kept = {id(base): base for unit in library.kept.values() for base in (unmoved(unit),)}
        if same and before.keys() == kept.keys():
            assert self._known is not None
            return self._known
        gone = [references for at, (_, references) in before.items() if at not in kept]
        came: list[frozenset[_Reference]] = []
        for at, unit in kept.items():
            known = before.get(at)
            if known is None:
                known = unit, frozenset(_references(unit))
                came.append(known[1])
            now[at] = known
        self._references = now
        if not same or sorted(map(sorted, gone)) != sorted(map(sorted, came)):
            self._known = _roots(library, now)
        assert self._known is not None
        return self._known


def _references(unit: Unit) -> set[_Reference]:
    """The units that a unit names, each with the library written before it."""
    found: set[_Reference] = set()
    for item in unit.items:
        for one in (item, *inner_items(item)):
            if isinstance(one, Instance):
                found.add((one.unit, one.library))
            elif isinstance(one, Component):
                found.add((one.name, ""))
    return found


def _roots(library: Library, references: dict[int, tuple[Unit, frozenset[_Reference]]]) -> tuple[str, ...]:
    used: set[int] = set()
    architectures = (one for many in library.architectures.values() for one in many)
    for unit in (*library.every, *architectures):
        vhdl, home = unit.language == "vhdl", library.home(unit)
        for name, written in references[id(unmoved(unit))][1]:
            found = library.find(name, vhdl, written, home)
            # A unit may hold itself, with other parameters, and be a root all the same.
            if found is not None and found is not unit and found.name != (unit.of or unit.name):
                used.add(id(found))
    names = []
    for unit in library.every:
        if unit.kind not in ("module", "entity", "program") or id(unit) in used:
            continue
        plain = library.find(unit.name, vhdl=True) is unit
        names.append(unit.name if plain else f"{library.home(unit)}.{unit.name}")
    return tuple(names)
