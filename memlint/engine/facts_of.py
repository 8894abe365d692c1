"""Facts of every file, read again only when the file, an included one or the macros before it changed."""

from __future__ import annotations

import posixpath
from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

from memlint.engine.files import VHDL, FileSet, Texts
from memlint.reading.facts.items import FileFacts
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import VerilogReading, read_verilog
from memlint.reading.verilog.reread import reread_verilog
from memlint.text.source import SourceText


@dataclass(frozen=True, slots=True)
class _Remembered:
    """A file's reading and what it was made from: `included` has what each include led to."""

    text: str
    macros: MacroTable
    included: Mapping[tuple[str, str], SourceText | None]
    reading: VerilogReading


@dataclass(slots=True)
class _Pass:
    """All facts of one state of the project, with the macros before each Verilog file, by its place."""

    files: FileSet
    state: int
    overlay: dict[str, str]
    facts: dict[int, FileFacts] = field(default_factory=dict)
    before: dict[int, MacroTable] = field(default_factory=dict)
    sources: dict[str, SourceText] = field(default_factory=dict)


def _nothing(number: int, of: int) -> None:
    """Nobody wants to know how far the reading is."""


@dataclass(slots=True)
class FactStore:
    """Remembers each file's facts with all they were made from."""

    texts: Texts
    on_file: Callable[[int, int], None] = _nothing
    _verilog: dict[str, _Remembered] = field(default_factory=dict)
    _vhdl: dict[str, tuple[str, FileFacts]] = field(default_factory=dict)
    _last: _Pass | None = None

    def read(self, files: FileSet) -> tuple[list[FileFacts], dict[str, SourceText]]:
        """Facts in compilation order and the texts they came from; unreadable files are left out."""
        last = self._last
        if last is None or not self._in_place(last, files):
            last = self._last = self._all(files)
        return list(last.facts.values()), dict(last.sources)

    def _all(self, files: FileSet) -> _Pass:
        self._last = None
        made = _Pass(files, self.texts.state, dict(self.texts.overlay))
        macros = initial_macros(files)
        for at in range(len(files.files)):
            self.on_file(at + 1, len(files.files))
            macros = self._one(made, at, macros)
        return made

    def _one(self, made: _Pass, at: int, macros: MacroTable) -> MacroTable:
        """Read one file; the macros after it."""
        source = self.texts.get(made.files.files[at])
        if source is None:
            return macros
        made.sources[source.file] = source
        if source.file.endswith(VHDL):
            made.facts[at] = self._read_vhdl(source)
            return macros
        made.before[at] = macros
        reading = self._read_verilog(source, macros, made.files)
        made.facts[at] = reading.facts
        for _, included in reading.facts.includes:
            text = self.texts.get(included) if included is not None else None
            if text is not None and included is not None:
                made.sources[included] = text
        return reading.macros

    def _in_place(self, last: _Pass, files: FileSet) -> bool:
        """Read again what unsaved texts change; False where more may be different than that."""
        texts, overlay = self.texts, self.texts.overlay
        if not texts.kept or texts.state != last.state or files is not last.files:
            return False
        if overlay.keys() != last.overlay.keys():
            return False
        changed = {file for file, text in overlay.items() if text != last.overlay[file]}
        if not changed:
            return True
        stale = [
            at
            for at, file in enumerate(files.files)
            if file in changed or (at in last.before and self._includes(file, changed))
        ]
        self._last = None
        while stale:
            at = stale.pop(0)
            self.on_file(at + 1, len(files.files))
            if at not in last.facts:
                return False
            was = last.facts[at].includes
            macros = self._one(last, at, last.before.get(at, initial_macros(files)))
            if last.facts[at].includes != was:
                return False
            following = next((one for one in range(at + 1, len(files.files)) if one in last.before), None)
            if at in last.before and following is not None and last.before[following] != macros:
                last.before[following] = macros
                if following not in stale:
                    stale.insert(0, following)
                    stale.sort()
        last.overlay = dict(overlay)
        self._last = last
        return True

    def _includes(self, file: str, changed: Collection[str]) -> bool:
        included = self._verilog[file].included
        return bool(included) and any(one.file in changed for one in included.values() if one is not None)

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
        if known is not None and known.macros == macros and self._still(known, files):
            if known.text == source.text:
                return known.reading
            included = dict(known.included)
        else:
            known, included = None, {}

        def find(name: str, including: str) -> SourceText | None:
            found = included[name, including] = self._included(name, including, files)
            return found

        if known is not None:
            reading = reread_verilog(known.text, known.reading, source, macros, find)
        else:
            reading = read_verilog(source, macros, find)
        self._verilog[source.file] = _Remembered(source.text, macros, included, reading)
        return reading

    def _still(self, known: _Remembered, files: FileSet) -> bool:
        """Whether every include of a file leads to the text it led to."""
        return all(
            (found.text if (found := self._included(name, including, files)) is not None else None)
            == (was.text if was is not None else None)
            for (name, including), was in known.included.items()
        )

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
