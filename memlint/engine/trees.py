"""Where a project's files lie: the working folder, or a revision of it."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from fnmatch import fnmatch
from pathlib import Path, PurePath
from typing import Protocol

from memlint.text.files import read_file

_WILD = "*?["


class Tree(Protocol):
    """Files by name: relative to `root`, with `/`, or absolute. Links are followed."""

    @property
    def root(self) -> Path:
        """The folder that names are relative to."""

    def load(self, file: str | Path) -> bytes:
        """The bytes of a file; raises OSError where it cannot be read."""

    def stamp(self, file: str) -> object | None:
        """What changes when a file's bytes do; None where there is no such file."""

    def is_file(self, file: str | Path) -> bool:
        """Whether there is a file of that name."""

    def is_folder(self, file: str | Path) -> bool:
        """Whether there is a folder of that name."""

    def names(self, folder: str) -> list[str]:
        """What lies in a folder; nothing where it cannot be read."""

    def own_folders(self, folder: str) -> list[str]:
        """The folders in a folder that are no links to others."""


class Disk:
    """The files as they are on the disk."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def load(self, file: str | Path) -> bytes:
        """The bytes of a file; raises OSError where it cannot be read."""
        return read_file(self.root / file)

    def stamp(self, file: str) -> object | None:
        """Time and size of a file."""
        try:
            status = os.stat(self.root / file)
        except (OSError, ValueError):
            # ValueError: a NUL in the name, which a half-typed `include may hold.
            return None
        return (status.st_mtime_ns, status.st_size) if stat.S_ISREG(status.st_mode) else None

    def is_file(self, file: str | Path) -> bool:
        """Whether there is a file of that name."""
        return os.path.isfile(self.root / file)

    def is_folder(self, file: str | Path) -> bool:
        """Whether there is a folder of that name."""
        return os.path.isdir(self.root / file)

    def names(self, folder: str) -> list[str]:
        """What lies in a folder; nothing where it cannot be read."""
        try:
            return os.listdir(self.root / folder)
        except OSError:
            return []

    def own_folders(self, folder: str) -> list[str]:
        """The folders in a folder that are no links to others."""
        try:
            with os.scandir(self.root / folder) as entries:
                return [entry.name for entry in entries if entry.is_dir(follow_symlinks=False)]
        except OSError:
            return []


def matching(tree: Tree, pattern: str) -> list[str]:
    """The files that a glob finds, relative to the root or absolute where they lie outside it.

    `**` stands for any number of folders and does not enter links. Raises ValueError for a pattern that
    cannot be used.
    """
    path = PurePath(pattern)
    if path.is_absolute():
        raise ValueError("it is absolute")
    if any("**" in part and part != "**" for part in path.parts):
        raise ValueError("`**` must stand alone between slashes")
    found = {
        relative(tree.root / name, tree.root) for name in _select(tree, "", path.parts) if tree.is_file(name)
    }
    return sorted(found)


def below(tree: Tree, folder: str) -> Iterator[str]:
    """The names of everything in a folder and the folders in it, which need not be files."""
    for inner in _with_own_folders(tree, folder):
        yield from (_joined(inner, name) for name in tree.names(inner))


def relative(path: Path, root: Path) -> str:
    """A path as findings name it: relative to the root where it lies below it, with `/`."""
    absolute = Path(os.path.normpath(path if path.is_absolute() else Path.cwd() / path))
    try:
        return absolute.relative_to(os.path.normpath(root)).as_posix()
    except ValueError:
        return absolute.as_posix()


def _select(tree: Tree, folder: str, parts: tuple[str, ...]) -> Iterator[str]:
    if not parts:
        yield folder
        return
    part, rest = parts[0], parts[1:]
    if part == "**":
        for inner in _with_own_folders(tree, folder):
            yield from _select(tree, inner, rest)
    elif any(mark in part for mark in _WILD):
        for name in tree.names(folder):
            if fnmatch(name, part) and (not rest or tree.is_folder(_joined(folder, name))):
                yield from _select(tree, _joined(folder, name), rest)
    else:
        yield from _select(tree, _joined(folder, part), rest)


def _with_own_folders(tree: Tree, folder: str) -> Iterator[str]:
    waiting = [folder]
    while waiting:
        one = waiting.pop()
        yield one
        waiting.extend(_joined(one, name) for name in tree.own_folders(one))


def _joined(folder: str, name: str) -> str:
    return f"{folder.rstrip('/')}/{name}" if folder else name
