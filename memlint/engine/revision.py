"""The files of a project as a git revision has them, read without touching the working tree.

What git does not version is the same at every revision: files outside the repository, and those it is
told to ignore (generated sources), are taken from the disk. Other files a revision lacks are missing.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from memlint.engine.git import Entry, Objects, commit_of, files_of, ignored_by, top_of
from memlint.engine.trees import Disk

_MOST_LINKS = 40


class Revision:
    """The tree of one commit. `name` is what the user calls it; `from_disk` are files read from the disk."""

    def __init__(self, root: Path, name: str, objects: Objects) -> None:
        self.root = Path(os.path.abspath(root))
        self.name = name
        self.from_disk: set[str] = set()
        top, prefix = top_of(self.root)
        self.commit = commit_of(self.root, name)
        self._tops = _ways_to(top, prefix, self.root)
        self._ignored = ignored_by(top)
        self._disk = Disk(self.root)
        self._objects = objects
        self._files: dict[str, Entry] = {}
        self._folders: dict[str, set[str]] = {"": set()}
        for path, entry in files_of(top, self.commit):
            if entry is None:
                self._folder(path)
            else:
                self._files[path] = entry
                folder, _, base = path.rpartition("/")
                self._folder(folder).add(base)
        self._has_links = any(entry.is_link for entry in self._files.values())

    def load(self, file: str | Path) -> bytes:
        """The bytes of a file; raises OSError where the revision does not have it."""
        match self._place(file):
            case Path() as path:
                data = path.read_bytes()
                self.from_disk.add(os.fspath(file))
                return data
            case str() as path if path in self._files:
                return self._objects.read(self._files[path])
            case _:
                raise FileNotFoundError(2, f"it is not in {self.name}", os.fspath(file))

    def stamp(self, file: str) -> object | None:
        """The object that holds a file."""
        match self._place(file):
            case Path() as path:
                return self._disk.stamp(str(path))
            case str() as path if path in self._files:
                return self._files[path].object
            case _:
                return None

    def is_file(self, file: str | Path) -> bool:
        """Whether there is a file of that name."""
        place = self._place(file)
        return self._disk.is_file(place) if isinstance(place, Path) else place in self._files

    def is_folder(self, file: str | Path) -> bool:
        """Whether there is a folder of that name."""
        place = self._place(file)
        return self._disk.is_folder(place) if isinstance(place, Path) else place in self._folders

    def names(self, folder: str) -> list[str]:
        """What lies in a folder; nothing where there is none."""
        place = self._place(folder)
        if isinstance(place, Path):
            return self._disk.names(str(place))
        if place is None or place not in self._folders:
            return []
        return sorted(self._folders[place].union(self._ignored_in(place)))

    def own_folders(self, folder: str) -> list[str]:
        """The folders in a folder that are no links to others."""
        place = self._place(folder)
        if isinstance(place, Path):
            return self._disk.own_folders(str(place))
        if place is None or place not in self._folders:
            return []
        before = f"{place}/" if place else ""
        own = {name for name in self._folders[place] if before + name in self._folders}
        on_disk = self._ignored_in(place).intersection(self._disk.own_folders(str(self._tops[0] / place)))
        return sorted(own | on_disk)

    def _folder(self, folder: str) -> set[str]:
        if folder not in self._folders:
            self._folders[folder] = set()
            above, _, base = folder.rpartition("/")
            self._folder(above).add(base)
        return self._folders[folder]

    def _ignored_in(self, folder: str) -> set[str]:
        before = f"{folder}/" if folder else ""
        inside = (name.removeprefix(before) for name in self._ignored if name.startswith(before))
        return {name for name in inside if "/" not in name}

    def _place(self, file: str | Path) -> Path | str | None:
        """A path on the disk, or from the top of the revision; None for what is in neither."""
        path: Path | str | None = self._inside(os.path.normpath(self.root / file))
        if isinstance(path, str) and self._has_links:
            path = self._without_links(path)
        if path is None or isinstance(path, Path) or path in self._files or path in self._folders:
            return path
        parts = path.split("/")
        if any("/".join(parts[:end]) in self._ignored for end in range(1, len(parts) + 1)):
            return self._tops[0] / path
        return None

    def _inside(self, absolute: str) -> Path | str:
        for top in self._tops:
            try:
                inside = Path(absolute).relative_to(top).as_posix()
            except ValueError:
                continue
            return "" if inside == "." else inside
        return Path(absolute)

    def _without_links(self, path: str) -> Path | str | None:
        for _ in range(_MOST_LINKS):
            parts = path.split("/")
            ends = (end for end in range(1, len(parts) + 1) if self._is_link("/".join(parts[:end])))
            end = next(ends, None)
            if end is None:
                return path
            link = "/".join(parts[:end])
            target = os.fsdecode(self._objects.read(self._files[link]))
            folder = self._tops[0] / os.path.dirname(link)
            followed = self._inside(os.path.normpath(folder.joinpath(target, *parts[end:])))
            if isinstance(followed, Path):
                return followed
            path = followed
        return None

    def _is_link(self, path: str) -> bool:
        entry = self._files.get(path)
        return entry is not None and entry.is_link


@contextmanager
def open_revision(root: Path, name: str) -> Iterator[Revision]:
    """The revision of that name in the repository that `root` lies in.

    Raises ProjectError: no git, no repository, no such revision.
    """
    objects = Objects()
    try:
        yield Revision(root, name, objects)
    finally:
        objects.close()


def _ways_to(top: Path, prefix: str, root: Path) -> tuple[Path, ...]:
    """The top as git names it, and as it is seen from the root, which links may lead to."""
    parts = tuple(prefix.split("/")) if prefix else ()
    seen = root.parents[len(parts) - 1] if parts else root
    return (top, seen) if root.parts[len(root.parts) - len(parts) :] == parts and seen != top else (top,)
