"""The library of a set of files, and what of it changes with them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, fields, is_dataclass
from typing import Any

from memlint.design.contexts import Contexts, expanded
from memlint.design.library import WORK, Library
from memlint.design.shift import Shift
from memlint.reading.facts.items import FileFacts, Unit

_INSTANTIABLE = frozenset(("module", "interface", "program", "entity", "primitive"))


@dataclass(slots=True)
class Changes:
    """What is different since the last update. `names`, in lower case, no longer mean what they meant;
    `everything` stands for all of them. `outline`: units came, went or changed places. `shift` tells which
    units only moved; their names are among `names`."""

    names: set[str] = field(default_factory=set)
    everything: bool = False
    outline: bool = False
    shift: Shift = field(default_factory=Shift)


class LibraryKeeper:
    """Keeps one library up to date with the facts of a project's files.

    `placed` gives files (by name) their VHDL library; other files are in `work`.
    """

    def __init__(self, assume: Mapping[str, int | str], placed: Mapping[str, str]) -> None:
        self.library = Library(assume=assume)
        self.library.named.update(name.lower() for name in placed.values())
        self._placed = placed
        self._files: tuple[FileFacts, ...] = ()
        self._contexts: Contexts = {}
        self._expanded: dict[int, tuple[Unit, Unit]] = {}

    def update(self, files: Sequence[FileFacts]) -> Changes:
        """Takes the files as they are now, in compilation order. Of units with one name the first counts."""
        before, self._files = self._files, tuple(files)
        library = self.library
        changes = Changes()
        pairs = _changed(before, self._files)
        if pairs is None or self._contexts or any(_outline(old) != _outline(new) for old, new in pairs):
            changes.outline = True
            changes.everything = not before or not _same_outside(before, self._files)
            changes.names = self._read_all()
        else:
            changes.everything = not all(same_with_spans(old.items, new.items) for old, new in pairs)
            for old, new in pairs:
                for one, other in zip(old.units, new.units, strict=True):
                    if one is not other:
                        _replace(library, one, other)
                        changes.names.update(_names(other))
        for old, new in pairs or ():
            changes.shift.add(old, new)
        if changes.everything:
            library.outside[:] = [item for facts in self._files for item in facts.items]
            _forget_all(library)
        elif not _forget(library, changes.names):
            changes.everything = True
            _forget_all(library)
        return changes

    def _read_all(self) -> set[str]:
        """Fills the library anew; the names that do not mean the same units as before."""
        library = self.library
        tables: tuple[dict[Any, Any], ...] = (
            library.units,
            library.lowered,
            library.placed,
            library.architectures,
            library.packages,
        )
        before = [dict(table) for table in tables]
        kept = dict(library.kept)
        for table in (*tables, library.kept, library.homes):
            table.clear()
        library.every.clear()
        homed: list[tuple[Unit, str]] = []
        for facts in self._files:
            home = self._placed.get(facts.file, WORK).lower() if facts.language == "vhdl" else WORK
            homed.extend((unit, home) for unit in facts.units)
        contexts = {(home, unit.name): unit for unit, home in homed if unit.kind == "context"}
        if contexts or self._contexts:
            homed = self._with_contexts(homed, contexts)
        for unit, home in homed:
            library.kept[id(unit)] = unit
            library.homes[id(unit)] = home
            _add(library, unit, home)
        names: set[str] = set()
        for one in kept.keys() ^ library.kept.keys():
            names.update(_names(kept.get(one) or library.kept[one]))
        for old, new in zip(before, tables, strict=True):
            names.update(_different(old, new))
        return names

    def _with_contexts(self, homed: list[tuple[Unit, str]], contexts: Contexts) -> list[tuple[Unit, str]]:
        """The units with their context references expanded; the same objects while the contexts are."""
        if {key: id(unit) for key, unit in contexts.items()} != {
            key: id(unit) for key, unit in self._contexts.items()
        }:
            self._expanded = {}
        self._contexts = contexts
        known, self._expanded = self._expanded, {}
        found: list[tuple[Unit, str]] = []
        for unit, home in homed:
            pair = known.get(id(unit)) or (unit, expanded(unit, home, contexts))
            self._expanded[id(unit)] = pair
            found.append((pair[1], home))
        return found


def _changed(
    before: Sequence[FileFacts], now: Sequence[FileFacts]
) -> list[tuple[FileFacts, FileFacts]] | None:
    """The facts that are others than before, in pairs; None where the files are not the same."""
    if len(before) != len(now):
        return None
    pairs = [(old, new) for old, new in zip(before, now, strict=True) if old is not new]
    return pairs if all(old.file == new.file for old, new in pairs) else None


def _outline(facts: FileFacts) -> tuple[object, ...]:
    return facts.language, tuple(
        (unit.kind, unit.name, unit.language, unit.of, unit.library) for unit in facts.units
    )


def _same_outside(before: Sequence[FileFacts], now: Sequence[FileFacts]) -> bool:
    first = [facts.items for facts in before if facts.items]
    second = [facts.items for facts in now if facts.items]
    return len(first) == len(second) and all(map(same_with_spans, first, second))


def same_with_spans(first: object, second: object) -> bool:
    """Whether two facts are equal in all they say, places included."""
    if first is second:
        return True
    if type(first) is not type(second):
        return False
    if isinstance(first, tuple):
        assert isinstance(second, tuple)
        return len(first) == len(second) and all(map(same_with_spans, first, second))
    if is_dataclass(first):
        return all(
            same_with_spans(getattr(first, one.name), getattr(second, one.name)) for one in fields(first)
        )
    return first == second


def _names(unit: Unit) -> Iterable[str]:
    """What a unit is asked for by, in lower case."""
    yield unit.name.lower()
    if unit.of:
        yield unit.of.lower()


def _different(old: Mapping[Any, Any], new: Mapping[Any, Any]) -> Iterable[str]:
    for key in old.keys() | new.keys():
        one, other = old.get(key), new.get(key)
        if one is other:
            continue
        if isinstance(one, list) and isinstance(other, list) and list(map(id, one)) == list(map(id, other)):
            continue
        yield str(key[1] if isinstance(key, tuple) else key).lower()


def _add(library: Library, unit: Unit, home: str) -> None:
    match unit.kind:
        case "architecture":
            library.architectures.setdefault((home, unit.of), []).append(unit)
        case "package":
            known = library.packages.setdefault(unit.name, [])
            if not any(one.kind == "package" and library.home(one) == home for one in known):
                known.append(unit)
        case "package_body":
            library.packages.setdefault(unit.of or unit.name, []).append(unit)
        case kind if kind in _INSTANTIABLE:
            key = (home, unit.name.lower() if unit.language == "vhdl" else unit.name)
            if key in library.placed:
                return
            library.placed[key] = unit
            library.every.append(unit)
            library.units.setdefault(unit.name, unit)
            library.lowered.setdefault(unit.name.lower(), unit)


def _replace(library: Library, old: Unit, new: Unit) -> None:
    """Put a unit in the place of one of the same kind and name."""
    home = library.homes.pop(id(old))
    del library.kept[id(old)]
    library.kept[id(new)], library.homes[id(new)] = new, home
    match new.kind:
        case "architecture":
            _exchange(library.architectures[home, new.of], old, new)
        case "package":
            _exchange(library.packages[new.name], old, new)
        case "package_body":
            _exchange(library.packages[new.of or new.name], old, new)
        case kind if kind in _INSTANTIABLE:
            key = (home, new.name.lower() if new.language == "vhdl" else new.name)
            if library.placed[key] is not old:
                return
            library.placed[key] = new
            _exchange(library.every, old, new)
            if library.units[new.name] is old:
                library.units[new.name] = new
            if library.lowered[new.name.lower()] is old:
                library.lowered[new.name.lower()] = new


def _exchange(units: list[Unit], old: Unit, new: Unit) -> None:
    at = next((at for at, one in enumerate(units) if one is old), None)
    if at is not None:
        units[at] = new


def _forget(library: Library, names: set[str]) -> bool:
    """Give up the scopes that were made with what changed, and add their names to it.

    False where the compilation unit's own scope is concerned, and with it everything.
    """
    queue = list(names)
    while queue:
        name = queue.pop()
        gone = [questions for questions in library.askers.get(name, {}).values() if questions.name]
        if library.root is not None and library.root[1] in gone:
            return False
        for questions in gone:
            if (other := questions.name.lower()) not in names:
                names.add(other)
                queue.append(other)
    for key in [key for key in library.scopes if key[1].lower() in names]:
        questions_of = library.scopes.pop(key)[1]
        if questions_of is not None:
            questions_of.forget()
    for made in [made for made in library.interface_scopes if made[0].lower() in names]:
        library.interface_scopes.pop(made)[1].forget()
    return True


def _forget_all(library: Library) -> None:
    library.root = None
    library.scopes.clear()
    library.interface_scopes.clear()
    for askers in list(library.askers.values()):
        for questions in list(askers.values()):
            questions.forget()
