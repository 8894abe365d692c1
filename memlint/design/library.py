"""All units of a project by library and name, and the scopes of its packages, made on first use."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from memlint.design.scope import Scope
from memlint.design.values import Int, Text, Unknown, Value
from memlint.reading.facts.items import Item, Parameter, Unit

Parameters = tuple[tuple[str, Value], ...]
WORK = "work"
"""The library of files that `[libraries]` names in none, and what a unit calls its own library."""


@dataclass(eq=False, slots=True)
class Questions:
    """What a body or a scope asked of the library: it is as good as the answers still are.

    `packages` are the scopes found, by the library and name asked for; `kinds` whether a name was an
    interface's; `names` all that was asked for, in lower case. `name` is what others ask for to get what
    was made here; nobody asks for a body.
    """

    library: Library
    home: str
    name: str = ""
    packages: dict[tuple[str, str], Scope | None] = field(default_factory=dict)
    kinds: dict[str, bool] = field(default_factory=dict)
    names: set[str] = field(default_factory=set)

    def package(self, library: str, name: str) -> Scope | None:
        """The scope of a package, None where its source is not read."""
        key = (library, name)
        if key in self.packages:
            return self.packages[key]
        self.note(name)
        found = self.packages[key] = self.library.package_from(self.home, library, name)
        return found

    def note(self, name: str) -> None:
        """Remember that what stands under a name matters here."""
        lowered = name.lower()
        if lowered not in self.names:
            self.names.add(lowered)
            self.library.askers.setdefault(lowered, {})[id(self)] = self

    def forget(self) -> None:
        """What was made with these answers is given up."""
        for name in self.names:
            self.library.askers[name].pop(id(self), None)
        self.names.clear()


@dataclass(eq=False, slots=True)
class Library:
    """Units of all files. VHDL names are lower case; Verilog names keep theirs.

    `units` holds the first unit of each name; `every` all that can be instantiated, one a library and
    name; `kept` whatever was read, by its `id`. `homes` gives each unit's library likewise; `named` are the
    libraries that files were put in.
    `outside` are declarations outside units, which every Verilog unit sees (one compilation unit).
    `assume` settles parameters that HDL alone does not: `unit.NAME` or `NAME` to a value's text.
    `askers` asked for what stands under a name in lower case; `asking` is who asks just now.
    """

    units: dict[str, Unit] = field(default_factory=dict)
    lowered: dict[str, Unit] = field(default_factory=dict)
    every: list[Unit] = field(default_factory=list)
    kept: dict[int, Unit] = field(default_factory=dict)
    homes: dict[int, str] = field(default_factory=dict)
    named: set[str] = field(default_factory=set)
    placed: dict[tuple[str, str], Unit] = field(default_factory=dict)
    architectures: dict[tuple[str, str], list[Unit]] = field(default_factory=dict)
    packages: dict[str, list[Unit]] = field(default_factory=dict)
    outside: list[Item] = field(default_factory=list)
    assume: Mapping[str, int | str] = field(default_factory=dict)
    interface_scopes: dict[tuple[str, object], tuple[Scope, Questions]] = field(default_factory=dict)
    askers: dict[str, dict[int, Questions]] = field(default_factory=dict)
    asking: Questions | None = None
    scopes: dict[tuple[str, str], tuple[Scope | None, Questions | None]] = field(default_factory=dict)
    root: tuple[Scope, Questions] | None = None

    def home(self, unit: Unit) -> str:
        """The library a unit is in."""
        return self.homes.get(id(unit), WORK)

    def find(self, name: str, vhdl: bool, library: str = "", home: str = WORK) -> Unit | None:
        """A unit that can be instantiated; from VHDL a Verilog module matches in any case.

        `library` is the one written before the name; `work` and none mean `home` first. A library that no
        file was put in holds whatever has the name, so that projects without `[libraries]` work.
        """
        if self.asking is not None:
            self.asking.note(name)
        wanted = home if library in ("", WORK) else library
        if vhdl:
            unit = self.placed.get((wanted, name.lower()))
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

    def is_interface(self, name: str) -> bool:
        """Whether the unit that a Verilog name means is an interface."""
        unit = self.units.get(name)
        found = unit is not None and unit.kind == "interface"
        if self.asking is not None:
            self.asking.note(name)
            self.asking.kinds[name] = found
        return found

    def package(self, library: str, name: str) -> Scope | None:
        """The scope of a package, None where its source is not read."""
        return self.package_from(WORK, library, name)

    def package_from(self, home: str, library: str, name: str) -> Scope | None:
        """The same for a unit of library `home`."""
        wanted = home if library in ("", WORK) else library
        key = (wanted, name)
        if key in self.scopes:
            return self.scopes[key][0]
        units = self._package_units(wanted, name, bool(library))
        if not units:
            self.scopes[key] = None, None
            return None
        first = units[0]
        questions = Questions(self, self.home(first), first.name)
        scope = Scope(first.language, self.root_scope(first.language), questions.package, first.name)
        # Entered before its items are added: packages may import one another.
        self.scopes[key] = scope, questions
        if first.of and first.kind == "package":
            from memlint.design.package_instances import instantiate

            questions.note(first.of)
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
        if self.root is None:
            questions = Questions(self, WORK, "$unit")
            self.root = Scope("systemverilog", None, questions.package, "$unit"), questions
            self.root[0].add_all(self.outside)
        return self.root[0]


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
