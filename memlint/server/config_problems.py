"""What is wrong with memlint.toml or a profile, as diagnostics in that very file."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from lsprotocol import types

from memlint.device.errors import ProfileError
from memlint.engine.settings import ProjectError
from memlint.server.diagnostics import SOURCE
from memlint.server.places import line_range
from memlint.text.encodings import Encoding
from memlint.text.source import SourceText, decode

_PLACE = re.compile(r"(?P<file>(?:[A-Za-z]:)?[^:\n]+)(?::(?P<line>\d+))?: (?P<message>.+)", re.DOTALL)


@dataclass(frozen=True, slots=True)
class ConfigProblem:
    """A mistake in a file of the configuration; `line` counts from 1, None where there is none."""

    path: Path
    line: int | None
    message: str


def config_problems(error: ProjectError | ProfileError, config: Path) -> tuple[ConfigProblem, ...]:
    """Each mistake with its place; one that names no file we can find belongs to the configuration."""
    return tuple(_placed(said, config) for said in _sayings(error))


def _sayings(error: ProjectError | ProfileError) -> Iterator[tuple[str, int | None, str]]:
    """File as the message names it, line, message."""
    if isinstance(error, ProfileError):
        for one in error.problems:
            said = f"{one.message} {one.remedy}".strip()
            yield one.file, one.line, f"{one.key}: {said}" if one.key else said
        return
    for text in str(error).splitlines():
        found = _PLACE.fullmatch(text)
        if found is None:
            yield "", None, text
        else:
            yield found["file"], int(found["line"]) if found["line"] else None, found["message"]


def _placed(said: tuple[str, int | None, str], config: Path) -> ConfigProblem:
    file, line, message = said
    for path in (Path(file).absolute(), config.parent / file):
        if file and path.is_file():
            return ConfigProblem(path, line, message)
    return ConfigProblem(config, None, f"{file}: {message}" if file else message)


def config_diagnostics(
    problems: Iterable[ConfigProblem], texts: dict[Path, SourceText], encoding: Encoding
) -> dict[Path, list[types.Diagnostic]]:
    """The diagnostics by file. `texts` are those open in the editor; others are read from the disk."""
    found: dict[Path, list[types.Diagnostic]] = {}
    for one in problems:
        source = texts.get(one.path) or _read(one.path)
        diagnostic = types.Diagnostic(
            range=line_range(source, one.line or 1, encoding),
            message=one.message,
            severity=types.DiagnosticSeverity.Error,
            source=SOURCE,
        )
        found.setdefault(one.path, []).append(diagnostic)
    return found


def _read(path: Path) -> SourceText:
    try:
        return SourceText(path.name, decode(path.read_bytes()))
    except OSError:
        return SourceText(path.name, "")
