"""Whether the files that a project names are there and can be read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from memlint.engine import Engine
from memlint.engine.config import place_of, shown_path
from memlint.engine.settings import ProjectError, Settings


def check_files(engine: Engine) -> None:
    """Raises ProjectError, a line for each file that is missing or unreadable, or if there is none at all."""
    missing = missing_files(engine)
    if missing:
        raise ProjectError("\n".join(missing))
    if not engine.files().files:
        raise ProjectError(_no_sources(engine.settings))


def missing_files(engine: Engine) -> list[str]:
    """A line for each file the project names that is not there or cannot be read."""
    settings = engine.settings
    missing = [*_missing(engine, "file_lists", settings.file_lists)]
    missing += _missing(engine, "sources", settings.sources)
    if missing:
        return missing
    return [_unread(settings, file) for file in engine.files().files if engine.texts.get(file) is None]


def _missing(engine: Engine, key: str, names: Sequence[str]) -> Iterator[str]:
    """The names without a wildcard that nothing has."""
    settings, tree = engine.settings, engine.texts.tree
    for index, name in enumerate(names):
        is_pattern = key == "sources" and any(mark in name for mark in "*?[")
        if not is_pattern and not (tree.is_file(name) or tree.is_folder(name)):
            place = place_of(settings, key, index)
            yield f"{place}: {key}: There is no file `{name}`. Correct the path, or take it out."


def _no_sources(settings: Settings) -> str:
    if not settings.file:
        return (
            f"{shown_path(Path(settings.root))}: There is no Verilog, SystemVerilog or VHDL file here. "
            "Name files or folders, or write a memlint.toml that says where they are."
        )
    place = place_of(settings, "sources" if settings.sources else "file_lists")
    return f"{place}: The project has no source file. Correct `sources`, `exclude` or `file_lists`."


def _unread(settings: Settings, file: str) -> str:
    place = shown_path(Path(settings.root, file))
    return f"{place}: The file cannot be read. Make it readable, or take it out of the project by `exclude`."
