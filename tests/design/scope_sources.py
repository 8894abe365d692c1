"""Scopes for tests, read from source text as a user writes it."""

from __future__ import annotations

from memlint.design.scope import Scope
from memlint.reading.facts.items import Unit
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText


class Sources:
    """The units of some text, and a scope for each package and for the unit asked for."""

    def __init__(self, text: str, file: str) -> None:
        source = SourceText(file, text)
        if file.endswith(".vhd"):
            facts = read_vhdl(source)
        else:
            facts = read_verilog(source, MacroTable(), lambda name, including: None).facts
        self.language = facts.language
        self.units: tuple[Unit, ...] = facts.units
        self._packages: dict[str, Scope | None] = {}
        self._outside = Scope(self.language, None, self.package)
        self._outside.add_all(facts.items)

    def package(self, library: str, name: str) -> Scope | None:
        if name not in self._packages:
            units = [unit for unit in self.units if unit.name == name or unit.of == name]
            packages = [unit for unit in units if unit.kind in ("package", "package_body")]
            packages.sort(key=lambda unit: unit.kind == "package_body")
            self._packages[name] = self._scope(packages) if packages else None
        return self._packages[name]

    def unit(self, name: str = "") -> Scope:
        """The scope of a module, or of an entity with its architecture; the last one if not named."""
        kinds = ("module", "entity", "interface")
        wanted = [unit for unit in self.units if unit.kind in kinds and name in ("", unit.name)][-1]
        bodies = [unit for unit in self.units if unit.kind == "architecture" and unit.of == wanted.name]
        return self._scope([wanted, *bodies])

    def _scope(self, units: list[Unit]) -> Scope:
        scope = Scope(self.language, self._outside, self.package, units[0].name)
        for unit in units:
            scope.add_all(unit.parameters)
            scope.add_all(unit.ports)
            scope.add_all(unit.items)
        return scope


def systemverilog(text: str) -> Scope:
    """The scope of the last module in the text."""
    return Sources(text, "test.sv").unit()


def vhdl(text: str) -> Scope:
    """The scope of the last entity in the text and its architecture."""
    return Sources(text, "test.vhd").unit()
