"""Which files a project consists of, and their texts."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fnmatch import fnmatch
from pathlib import Path, PurePath

from memlint.engine.libraries import library_globs
from memlint.engine.settings import ProjectError, Settings
from memlint.engine.trees import Disk, Tree, below, matching, relative
from memlint.reading.facts.items import Problem
from memlint.reading.file_lists import read_file_list
from memlint.text.files import FileTooLargeError
from memlint.text.source import SourceText, Span, decode

__all__ = ["VERILOG", "VHDL", "FileSet", "Texts", "file_set", "files_below", "relative"]

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
    """Texts by file name: unsaved ones first, then the tree's, each read once while it is unchanged.

    `state` counts how often the tree was to be looked at again.
    """

    tree: Tree
    overlay: dict[str, str] = field(default_factory=dict)
    environ: Mapping[str, str] = field(default_factory=lambda: os.environ)
    _read: dict[str, tuple[object, SourceText]] = field(default_factory=dict)
    _shown: dict[str, SourceText] = field(default_factory=dict)
    _too_large: dict[str, str] = field(default_factory=dict)
    _seen: dict[str, SourceText | None] | None = None
    state: int = 0

    def keep(self) -> None:
        """From now on the tree is taken to be as it was seen last, until `look_again`."""
        self._seen = {}

    def look_again(self) -> None:
        """Something in the tree may be different."""
        self.state += 1
        if self._seen is not None:
            self._seen = {}

    @property
    def kept(self) -> bool:
        """Whether nothing but `overlay` changes while `state` stays the same."""
        return self._seen is not None

    def get(self, file: str) -> SourceText | None:
        """The text of a file, None where it cannot be read."""
        unsaved = self.overlay.get(file)
        if unsaved is not None:
            shown = self._shown.get(file)
            if shown is None or shown.text != unsaved:
                shown = SourceText(file, unsaved)
                self._shown[file] = shown
            return shown
        if self._seen is None:
            return self._of_tree(file)
        if file not in self._seen:
            self._seen[file] = self._of_tree(file)
        return self._seen[file]

    def _of_tree(self, file: str) -> SourceText | None:
        stamp = self.tree.stamp(file)
        known = self._read.get(file)
        if known is not None and stamp is not None and known[0] == stamp:
            return known[1]
        self._too_large.pop(file, None)
        try:
            source = SourceText(file, decode(self.tree.load(file))) if stamp is not None else None
        except FileTooLargeError as wrong:
            # It is there, so it counts as read; what it is not read for is among the problems.
            self._too_large[file] = str(wrong.strerror)
            source = SourceText(file, "")
        except OSError:
            source = None
        if source is None:
            self._read.pop(file, None)
            return None
        self._read[file] = (stamp, source)
        return source

    def problems(self) -> Iterator[Problem]:
        """A finding for each file that was not read since it is too large."""
        for file, reason in self._too_large.items():
            yield Problem(
                "source-not-read",
                f"the file was not read: {reason}",
                Span(file, 0, 0),
                ("take it out of the project by `exclude`", "or cut it in parts"),
            )


def file_set(settings: Settings, texts: Texts, extra: Sequence[str] = ()) -> FileSet:
    """The files of a project: those of file lists first, then those of `sources`, then `extra` ones."""
    files: dict[str, None] = {}
    include_dirs = list(settings.include_dirs)
    defines = dict(settings.defines)
    problems: list[Problem] = []
    for name in settings.file_lists:
        listed = read_file_list(name, lambda path: _text_of(texts, path), texts.environ, texts.tree.is_file)
        for one in listed.files:
            files[one.text] = None
        include_dirs.extend(listed.include_dirs)
        defines = {**listed.defines, **defines}
        problems.extend(listed.problems)
        for folder in listed.libraries:
            for found in _folder(texts.tree, folder, listed.extensions or VERILOG):
                files[found] = None
        for one in listed.library_files:
            files[one.text] = None
    patterns = settings.sources or (() if settings.file_lists or extra else _DEFAULT_SOURCES)
    patterns = (*patterns, *library_globs(settings))
    for found in _matching(texts.tree, patterns):
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


def _folder(tree: Tree, folder: str, endings: Iterable[str]) -> Iterator[str]:
    for name in sorted(tree.names(folder)):
        if PurePath(name).suffix in tuple(endings):
            yield relative(tree.root / folder / name, tree.root)


def _matching(tree: Tree, patterns: Sequence[str]) -> list[str]:
    found: set[str] = set()
    for pattern in patterns:
        if not any(mark in pattern for mark in "*?["):
            if tree.is_folder(pattern):
                found.update(sources_below(tree, pattern))
            else:
                found.add(relative(tree.root / pattern, tree.root))
            continue
        try:
            found.update(name for name in matching(tree, pattern) if not _hidden(name))
        except ValueError as error:
            raise ProjectError(
                f"the pattern `{pattern}` in `sources` cannot be used: {error}. "
                "Write it relative to memlint.toml, like `rtl/**/*.sv`."
            ) from None
    return sorted(found)


def sources_below(tree: Tree, folder: str) -> list[str]:
    """All HDL files of a tree below a folder, sorted, relative to the tree's root."""
    found = []
    for name in below(tree, folder):
        shown = relative(tree.root / name, tree.root)
        if PurePath(name).suffix in (*VERILOG, *VHDL) and not _hidden(shown) and tree.is_file(name):
            found.append(shown)
    return sorted(found)


def files_below(folder: Path, root: Path) -> list[str]:
    """All HDL files below a folder of the disk, sorted, relative to the root."""
    return sources_below(Disk(root), os.path.abspath(folder))


def _hidden(name: str) -> bool:
    return any(part in _NEVER for part in name.split("/"))


def _matches(file: str, pattern: str) -> bool:
    if fnmatch(file, pattern) or file.startswith(pattern.rstrip("/") + "/"):
        return True
    return pattern.startswith("**/") and fnmatch(file, pattern[3:])
