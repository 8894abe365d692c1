"""The files that the editor tells of when they change on the disk."""

from __future__ import annotations

import os
from collections.abc import Collection
from pathlib import Path

from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings

_HDL = ("v", "sv", "vh", "svh", "vhd", "vhdl")
_LISTS = ("f", "vf", "fl")

PATTERNS = (f"**/*.{{{','.join(_HDL)}}}", "**/*.toml", f"**/*.{{{','.join(_LISTS)}}}")
"""What it is asked to watch, in each folder that it shows."""

_ENDINGS = tuple(f".{one}" for one in (*_HDL, "toml"))


def all_watched(settings: Settings, judgement: Judgement, folders: Collection[Path]) -> bool:
    """Whether the editor tells of each change in what a judgement was made from.

    Not so with files outside the folders, through links too, and with included ones of other names; a file
    list may name other lists and folders that no judgement tells of.
    """
    if settings.file_lists or not _within(Path(settings.root), folders):
        return False
    names = (*judgement.sources, *judgement.missing_includes)
    if not all(name.endswith(_ENDINGS) and not name.startswith(("/", "..")) for name in names):
        return False
    root = os.path.realpath(settings.root)
    below = {os.path.normpath(os.path.join(root, os.path.dirname(name))) for name in names}
    return all(os.path.realpath(folder) == folder for folder in below)


def _within(path: Path, folders: Collection[Path]) -> bool:
    return any(path.is_relative_to(folder) for folder in folders)
