"""All units of a project by name, and the scopes of its packages, made on first use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from memlint.design.scope import Scope
from memlint.design.values import Int, Text, Unknown
from memlint.reading.facts.items import FileFacts, Item, Parameter, Unit

_INSTANTIABLE = frozenset(("module", "interface", "program", "entity", "primitive"))


@dataclass(slots=True)
class Library:
    """Units of all files. VHDL names are lower case; Verilog names keep theirs.

    `outside` are declarations outside units, which every Verilog unit sees (one compilation unit).
    `assume` settles parameters that HDL alone does not: `unit.NAME` or `NAME` to a value's text.
    """

    units: dict[str, Unit] = field(default_factory=dict)
    lowered: dict[str, Unit] = field(default_factory=dict)
    architectures: dict[str, list[Unit]] = field(default_factory=dict)
    packages: dict[str, list[Unit]] = field(default_factory=dict)
    outside: list[Item] = field(default_factory=list)
    duplicates: list[tuple[Unit, Unit]] = field(default_factory=list)
    assume: Mapping[str, int | str] = field(default_factory=dict)
    interface_scopes: dict[object, Scope] = field(default_factory=dict)
    _scopes: dict[str, Scope | None] = field(default_factory=dict)
    _root: Scope | None = None

    def find(self, name: str, vhdl: bool) -> Unit | None:
        """A unit that can be instantiated; from VHDL a Verilog module matches in any case."""
        unit = self.units.get(name)
        if unit is None:
            unit = self.lowered.get(name.lower())
            if unit is not None and not vhdl and unit.language != "vhdl":
                return None
        return unit

    def architecture(self, entity: Unit, name: str = "") -> Unit | None:
        """The named architecture of an entity, else the one read last."""
        known = self.architectures.get(entity.name, [])
        if name:
            return next((one for one in known if one.name == name), None)
        return known[-1] if known else None

    def package(self, library: str, name: str) -> Scope | None:
        """The scope of a package, None where its source is not read."""
        if name in self._scopes:
            return self._scopes[name]
        units = self.packages.get(name)
        if units is None:
            lowered = name.lower()
            units = self.packages.get(lowered)
        if not units:
            self._scopes[name] = None
            return None
        scope = Scope(units[0].language, self.root_scope(units[0].language), self.package, units[0].name)
        # Entered before its items are added: packages may import one another.
        self._scopes[name] = scope
        for unit in sorted(units, key=lambda one: one.kind == "package_body"):
            for parameter in unit.parameters:
                scope.add(parameter)
            scope.add_all(unit.items)
        assume_unknown(scope, (one for unit in units for one in unit.parameters), self.assume)
        return scope

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


def library_of(files: Iterable[FileFacts], assume: Mapping[str, int | str] | None = None) -> Library:
    """The library of a set of files, in the order given; of two units with one name the first counts."""
    library = Library(assume=assume or {})
    for facts in files:
        library.outside.extend(facts.items)
        for unit in facts.units:
            _add(library, unit)
    return library


def _add(library: Library, unit: Unit) -> None:
    match unit.kind:
        case "architecture":
            library.architectures.setdefault(unit.of, []).append(unit)
        case "package":
            known = library.packages.setdefault(unit.name, [])
            if any(one.kind == "package" for one in known):
                library.duplicates.append((known[0], unit))
            else:
                known.append(unit)
        case "package_body":
            library.packages.setdefault(unit.of or unit.name, []).append(unit)
        case kind if kind in _INSTANTIABLE:
            if unit.name in library.units:
                library.duplicates.append((library.units[unit.name], unit))
            else:
                library.units[unit.name] = unit
                library.lowered.setdefault(unit.name.lower(), unit)
