"""Which VHDL library each file is in: `[libraries]` of memlint.toml."""

from __future__ import annotations

from collections.abc import Iterable
from fnmatch import fnmatchcase

from memlint.engine.settings import Settings


def library_globs(settings: Settings) -> list[str]:
    """The globs of all libraries: their files belong to the project, whatever `sources` says."""
    return [pattern for patterns in settings.libraries.values() for pattern in patterns]


def library_of_files(files: Iterable[str], settings: Settings) -> dict[str, str]:
    """Each file's library; of several that name a file the first counts."""
    found: dict[str, str] = {}
    for file in files:
        for library, patterns in settings.libraries.items():
            if any(_names(pattern, file) for pattern in patterns):
                found.setdefault(file, library)
    return found


def _names(pattern: str, file: str) -> bool:
    """Whether a glob or a folder names a file. `**` stands for any folders, none included."""
    plain = pattern.removeprefix("./").rstrip("/")
    shorter = plain.replace("/**/", "/").removeprefix("**/")
    return fnmatchcase(file, plain) or fnmatchcase(file, shorter) or file.startswith(f"{plain}/")
