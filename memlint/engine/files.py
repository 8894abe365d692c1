"""Which files a project consists of, and their texts."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatch
from pathlib import Path

from memlint.engine.settings import ProjectError, Settings
from memlint.reading.facts.items import Problem
from memlint.reading.file_lists import read_file_list
from memlint.text.source import SourceText, decode

VERILOG = (".v", ".sv")
VHDL = (".vhd", ".vhdl")
_DEFAULT_SOURCES = tuple(f"**/*{ending}" for ending in (*VERILOG, *VHDL))
_NEVER = frozenset((".git", ".hg", ".svn", "node_modules", "__pycache__"))


@dataclass(frozen=True, slots=True)
class FileSet:
    """The sources in compilation order, relative to the root with `/`; what file lists add to settings."""

    files: tuple[str, ...]
    include_dirs: tuple[str, ...]
    defines: Mapping[str, str]
    problems: tuple[Problem, ...] = ()


@dataclass(slots=True)
class Texts:
    """Texts by file name: unsaved ones first, then the disk, each read once while it is unchanged."""

    root: Path
    overlay: dict[str, str] = field(default_factory=dict)
    _read: dict[str, tuple[tuple[int, int], SourceText]] = field(default_factory=dict)
    _shown: dict[str, SourceText] = field(default_factory=dict)

    def get(self, file: str) -> SourceText | None:
        """The text of a file, None where it cannot be read."""
        unsaved = self.overlay.get(file)
        if unsaved is not None:
            shown = self._shown.get(file)
            if shown is None or shown.text != unsaved:
                shown = SourceText(file, unsaved)
                self._shown[file] = shown
            return shown
        path = self.root / file
        try:
            status = path.stat()
            stamp = (status.st_mtime_ns, status.st_size)
            known = self._read.get(file)
            if known is not None and known[0] == stamp:
                return known[1]
            source = SourceText(file, decode(path.read_bytes()))
        except OSError:
            self._read.pop(file, None)
            return None
        self._read[file] = (stamp, source)
        return source


def file_set(settings: Settings, texts: Texts, extra: Sequence[str] = ()) -> FileSet:
    """The files of a project: those of file lists first, then those of `sources`, then `extra` ones."""
    files: dict[str, None] = {}
    include_dirs = list(settings.include_dirs)
    defines = dict(settings.defines)
    problems: list[Problem] = []
    for name in settings.file_lists:
        listed = read_file_list(
            name, lambda path: _text_of(texts, path), os.environ, lambda path: (texts.root / path).is_file()
        )
        for one in listed.files:
            files[one.text] = None
        include_dirs.extend(listed.include_dirs)
        defines = {**listed.defines, **defines}
        problems.extend(listed.problems)
        for folder in listed.libraries:
            for found in _folder(texts.root, folder, listed.extensions or VERILOG):
                files[found] = None
        for one in listed.library_files:
            files[one.text] = None
    patterns = settings.sources or (() if settings.file_lists or extra else _DEFAULT_SOURCES)
    for found in _matching(texts.root, patterns, settings.exclude):
        files[found] = None
    # Sorted, so that the order on a command line changes nothing.
    for found in sorted(extra):
        files[found] = None
    for found in texts.overlay:
        # A file that exists only in the editor belongs to the project if a saved one would.
        if found not in files and any(_matches(found, pattern) for pattern in patterns):
            files[found] = None
    kept = [file for file in files if not any(_matches(file, pattern) for pattern in settings.exclude)]
    return FileSet(tuple(kept), tuple(include_dirs), defines, tuple(problems))


def _text_of(texts: Texts, path: str) -> str | None:
    source = texts.get(path)
    return source.text if source is not None else None


def _folder(root: Path, folder: str, endings: Iterable[str]) -> Iterator[str]:
    base = root / folder
    if base.is_dir():
        for path in sorted(base.iterdir()):
            if path.suffix in tuple(endings):
                yield relative(path, root)


def _matching(root: Path, patterns: Sequence[str], exclude: Sequence[str]) -> list[str]:
    found: set[str] = set()
    for pattern in patterns:
        if not any(mark in pattern for mark in "*?["):
            path = root / pattern
            if path.is_dir():
                found.update(files_below(path, root))
            else:
                found.add(relative(path, root))
            continue
        try:
            paths = list(root.glob(pattern))
        except (ValueError, NotImplementedError) as error:
            raise ProjectError(
                f"the pattern `{pattern}` in `sources` cannot be used: {error}. "
                "Write it relative to memlint.toml, like `rtl/**/*.sv`."
            ) from None
        for path in paths:
            name = relative(path, root)
            if path.is_file() and not _hidden(name):
                found.add(name)
    return sorted(found)


def files_below(folder: Path, root: Path) -> list[str]:
    """All HDL files below a folder, sorted, relative to the root."""
    found = []
    for path in folder.rglob("*"):
        name = relative(path, root)
        if path.suffix in (*VERILOG, *VHDL) and path.is_file() and not _hidden(name):
            found.append(name)
    return sorted(found)


def _hidden(name: str) -> bool:
    return any(part in _NEVER for part in name.split("/"))


def _matches(file: str, pattern: str) -> bool:
    if fnmatch(file, pattern) or file.startswith(pattern.rstrip("/") + "/"):
        return True
    return pattern.startswith("**/") and fnmatch(file, pattern[3:])


def relative(path: Path, root: Path) -> str:
    """A path as findings name it: relative to the root where it lies below it, with `/`."""
    absolute = Path(os.path.normpath(path if path.is_absolute() else Path.cwd() / path))
    try:
        return absolute.relative_to(os.path.normpath(root)).as_posix()
    except ValueError:
        return absolute.as_posix()
