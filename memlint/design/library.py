"""All units of a project by library and name, and the scopes of its packages, made on first use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import partial

from memlint.design.contexts import expanded
from memlint.design.scope import Packages, Scope
from memlint.design.values import Int, Text, Unknown
from memlint.reading.facts.items import FileFacts, Item, Parameter, Unit

_INSTANTIABLE = frozenset(("module", "interface", "program", "entity", "primitive"))
WORK = "work"
"""The library of files that `[libraries]` names in none, and what a unit calls its own library."""


@dataclass(slots=True)
class Library:
    """Units of all files. VHDL names are lower case; Verilog names keep theirs.

    `units` holds the first unit of each name; `every` all that can be instantiated, one a library and
    name; `kept` whatever was read. `homes` gives each unit's library by its `id`; `named` are the libraries
    that files were put in.
    `outside` are declarations outside units, which every Verilog unit sees (one compilation unit).
    `assume` settles parameters that HDL alone does not: `unit.NAME` or `NAME` to a value's text.
    """

    units: dict[str, Unit] = field(default_factory=dict)
    lowered: dict[str, Unit] = field(default_factory=dict)
    every: list[Unit] = field(default_factory=list)
    kept: list[Unit] = field(default_factory=list)
    homes: dict[int, str] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)
    architectures: dict[tuple[str, str], list[Unit]] = field(default_factory=dict)
    packages: dict[str, list[Unit]] = field(default_factory=dict)
    outside: list[Item] = field(default_factory=list)
    duplicates: list[tuple[Unit, Unit]] = field(default_factory=list)
    assume: Mapping[str, int | str] = field(default_factory=dict)
    interface_scopes: dict[object, Scope] = field(default_factory=dict)
    _placed: dict[tuple[str, str], Unit] = field(default_factory=dict)
    _scopes: dict[tuple[str, str], Scope | None] = field(default_factory=dict)
    _lookups: dict[str, Packages] = field(default_factory=dict)
    _root: Scope | None = None

    def home(self, unit: Unit) -> str:
        """The library a unit is in."""
        return self.homes.get(id(unit), WORK)

    def find(self, name: str, vhdl: bool, library: str = "", home: str = WORK) -> Unit | None:
        """A unit that can be instantiated; from VHDL a Verilog module matches in any case.

        `library` is the one written before the name; `work` and none mean `home` first. A library that no
        file was put in holds whatever has the name, so that projects without `[libraries]` work.
        """
        wanted = home if library in ("", WORK) else library
        if vhdl:
            unit = self._placed.get((wanted, name.lower()))
            if unit is not None:
                return unit
            if library and wanted in self.named:
                # Verilog modules are in no library; every one finds them.
                unit = self.lowered.get(name.lower())
                return unit if unit is not None and unit.language != "vhdl" else None
        unit = self.units.get(name)
        if unit is None:
            unit = self.lowered.get(name.lower())
            if unit is not None and not vhdl and unit.language != "vhdl":
                return None
        return unit

    def top(self, name: str) -> Unit | None:
        """The unit a top is named by: `name` or `library.name`."""
        library, _, simple = name.rpartition(".")
        return self.find(simple, True, library) if library else self.find(name, True)

    def architecture(self, entity: Unit, name: str = "") -> Unit | None:
        """The named architecture of an entity, else the one read last."""
        known = self.architectures.get((self.home(entity), entity.name), [])
        if name:
            return next((one for one in known if one.name == name), None)
        return known[-1] if known else None

    def lookup(self, home: str) -> Packages:
        """What finds packages for the units of a library, for which `work` is that library."""
        if home not in self._lookups:
            self._lookups[home] = partial(self.package_from, home)
        return self._lookups[home]

    def lookup_for(self, unit: Unit) -> Packages:
        """What finds packages for a unit."""
        return self.lookup(self.home(unit))

    def package(self, library: str, name: str) -> Scope | None:
        """The scope of a package, None where its source is not read."""
        return self.package_from(WORK, library, name)

    def package_from(self, home: str, library: str, name: str) -> Scope | None:
        """The same for a unit of library `home`."""
        wanted = home if library in ("", WORK) else library
        key = (wanted, name)
        if key in self._scopes:
            return self._scopes[key]
        units = self._package_units(wanted, name, bool(library))
        if not units:
            self._scopes[key] = None
            return None
        first = units[0]
        scope = Scope(first.language, self.root_scope(first.language), self.lookup_for(first), first.name)
        # Entered before its items are added: packages may import one another.
        self._scopes[key] = scope
        if first.of and first.kind == "package":
            from memlint.design.package_instances import instantiate

            instantiate(first, self._package_units(first.library or WORK, first.of, False), scope)
            return scope
        add_package(scope, units)
        assume_unknown(scope, (one for unit in units for one in unit.parameters), self.assume)
        return scope

    def _package_units(self, wanted: str, name: str, strict: bool) -> list[Unit]:
        units = self.packages.get(name) or self.packages.get(name.lower()) or []
        here = [one for one in units if one.language != "vhdl" or self.home(one) == wanted]
        if here or (strict and wanted in self.named):
            return here
        # One library's declaration and body belong together.
        return [one for one in units if self.home(one) == self.home(units[0])]

    def root_scope(self, language: str) -> Scope | None:
        """The compilation unit's own scope, which Verilog units see."""
        if language == "vhdl":
            return None
        if self._root is None:
            self._root = Scope("systemverilog", None, self.package, "$unit")
            self._root.add_all(self.outside)
        return self._root


def assume_unknown(
    scope: Scope, parameters: Iterable[Parameter], assume: Mapping[str, int | str]
) -> None:
    """Give parameters of a unit or package that cannot be evaluated what `[assume]` says of them."""
    if not assume:
        return
    for parameter in parameters:
        given = assume.get(f"{scope.name}.{parameter.name}", assume.get(parameter.name))
        if given is None or parameter.is_type:
            continue
        if isinstance(scope.own_value(parameter.name), Unknown):
            scope.set(parameter.name, Text(given) if isinstance(given, str) else Int(given, None, True))


def add_package(scope: Scope, units: Iterable[Unit]) -> None:
    """Declare what a package and its body declare, the body last."""
    for unit in sorted(units, key=lambda one: one.kind == "package_body"):
        for parameter in unit.parameters:
            scope.add(parameter)
        scope.add_all(unit.items)


def library_of(
    files: Iterable[FileFacts],
    assume: Mapping[str, int | str] | None = None,
    libraries: Mapping[str, str] | None = None,
) -> Library:
    """The library of a set of files, in the order given; of two units with one name the first counts.

    `libraries` gives files (by name) their VHDL library; other files are in `work`.
    """
    library = Library(assume=assume or {})
    placed = libraries or {}
    library.named.update(name.lower() for name in placed.values())
    homed: list[tuple[Unit, str]] = []
    for facts in files:
        library.outside.extend(facts.items)
        home = placed.get(facts.file, WORK).lower() if facts.language == "vhdl" else WORK
        homed.extend((unit, home) for unit in facts.units)
    contexts = {(home, unit.name): unit for unit, home in homed if unit.kind == "context"}
    for unit, home in homed:
        if contexts:
            unit = expanded(unit, home, contexts)
        # Kept in the library, so that no other object gets its `id`.
        library.kept.append(unit)
        library.homes[id(unit)] = home
        _add(library, unit, home)
    return library


def _add(library: Library, unit: Unit, home: str) -> None:
    match unit.kind:
        case "architecture":
            library.architectures.setdefault((home, unit.of), []).append(unit)
        case "package":
            known = library.packages.setdefault(unit.name, [])
            same = [one for one in known if one.kind == "package" and library.home(one) == home]
            if same:
                library.duplicates.append((same[0], unit))
            else:
                known.append(unit)
        case "package_body":
            library.packages.setdefault(unit.of or unit.name, []).append(unit)
        case kind if kind in _INSTANTIABLE:
            key = (home, unit.name.lower() if unit.language == "vhdl" else unit.name)
            if key in library._placed:
                library.duplicates.append((library._placed[key], unit))
                return
            library._placed[key] = unit
            library.every.append(unit)
            library.units.setdefault(unit.name, unit)
            library.lowered.setdefault(unit.name.lower(), unit)
