"""Facts of every file, read again only when the file, an included one or the macros before it changed."""

from __future__ import annotations

import posixpath
from collections.abc import Callable
from dataclasses import dataclass, field

from memlint.engine.files import VHDL, FileSet, Texts
from memlint.reading.facts.items import FileFacts
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import VerilogReading, read_verilog
from memlint.text.source import SourceText


@dataclass(frozen=True, slots=True)
class _Remembered:
    text: str
    macros: MacroTable
    included: tuple[tuple[str, str | None], ...]
    reading: VerilogReading


def _nothing(number: int, of: int) -> None:
    """Nobody wants to know how far the reading is."""


@dataclass(slots=True)
class FactStore:
    """Remembers each file's facts with all they were made from."""

    texts: Texts
    on_file: Callable[[int, int], None] = _nothing
    _verilog: dict[str, _Remembered] = field(default_factory=dict)
    _vhdl: dict[str, tuple[str, FileFacts]] = field(default_factory=dict)

    def read(self, files: FileSet) -> tuple[list[FileFacts], dict[str, SourceText]]:
        """Facts in compilation order and the texts they came from; unreadable files are left out."""
        facts: list[FileFacts] = []
        sources: dict[str, SourceText] = {}
        macros = initial_macros(files)
        for number, file in enumerate(files.files, start=1):
            self.on_file(number, len(files.files))
            source = self.texts.get(file)
            if source is None:
                continue
            sources[file] = source
            if file.endswith(VHDL):
                facts.append(self._read_vhdl(source))
                continue
            reading = self._read_verilog(source, macros, files)
            macros = reading.macros
            facts.append(reading.facts)
            for _, included in reading.facts.includes:
                text = self.texts.get(included) if included is not None else None
                if text is not None and included is not None:
                    sources[included] = text
        return facts, sources

    def _read_vhdl(self, source: SourceText) -> FileFacts:
        from memlint.reading.vhdl.read import read_vhdl

        known = self._vhdl.get(source.file)
        if known is not None and known[0] == source.text:
            return known[1]
        facts = read_vhdl(source)
        self._vhdl[source.file] = (source.text, facts)
        return facts

    def _read_verilog(self, source: SourceText, macros: MacroTable, files: FileSet) -> VerilogReading:
        known = self._verilog.get(source.file)
        if (
            known is not None
            and known.text == source.text
            and known.macros == macros
            and all(self._text(file) == text for file, text in known.included)
        ):
            return known.reading
        included: list[tuple[str, str | None]] = []

        def find(name: str, including: str) -> SourceText | None:
            found = self._included(name, including, files)
            if found is not None:
                included.append((found.file, found.text))
            return found

        reading = read_verilog(source, macros, find)
        self._verilog[source.file] = _Remembered(source.text, macros, tuple(included), reading)
        return reading

    def _text(self, file: str) -> str | None:
        source = self.texts.get(file)
        return source.text if source is not None else None

    def _included(self, name: str, including: str, files: FileSet) -> SourceText | None:
        """An included file: beside the including one, in the include folders, from the root, or as the
        only source file of that name."""
        folder = posixpath.dirname(including)
        for base in (folder, *files.include_dirs, ""):
            found = self.texts.get(posixpath.normpath(posixpath.join(base, name)))
            if found is not None:
                return found
        return None


def initial_macros(files: FileSet) -> MacroTable:
    """The macros a project defines before its first file."""
    return MacroTable.of(files.defines)
