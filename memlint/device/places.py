"""From a mistake's path to the file and line a person must open."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path as FilePath
from typing import Any

from memlint.device.errors import Mistake, Path, Problem, ProfileError, dotted
from memlint.device.lines import line_map, line_of
from memlint.device.merge import NAMED, Table


@dataclass(frozen=True, slots=True)
class Layer:
    """One profile file as read. `shown` is the name messages use."""

    file: FilePath
    shown: str
    text: str
    data: Table
    is_builtin: bool


def problems(mistakes: Iterable[Mistake], layers: Sequence[Layer], data: Table) -> ProfileError:
    """The mistakes of the merged `data` as one error, each with its file and line.

    Of the layers (the file itself first, then what it extends) the one that states most of the path is
    meant: that is where the offending key was written last. `mistakes` must not be empty.
    """
    maps = [line_map(layer.text) for layer in layers]
    found = []
    for mistake in mistakes:
        path = _named(mistake.path, data)
        best, file, line = 0, layers[0].shown, None
        for layer, lines in zip(layers, maps, strict=True):
            length, at = line_of(lines, _indexed(path, layer.data, data))
            if length > best:
                best, file, line = length, layer.shown, at
        found.append(Problem(file, line, dotted(path), mistake.message, mistake.remedy))
    return ProfileError(*found)


def _named(path: Path, data: Table) -> Path:
    """The path with the name of its tier, member or source where that name is there and unique."""
    match path:
        case (str() as kind, int() as index, *rest) if kind in NAMED:
            names = [_name(kind, element) for element in data[kind]]
            if isinstance(names[index], str) and names.count(names[index]) == 1:
                return (kind, names[index], *rest)
    return path


def _indexed(path: Path, own: Table, data: Table) -> Path:
    """The path as the scanner of one layer's text knows it; empty when the layer has no such element."""
    match path:
        case (str() as kind, step, *rest) if kind in NAMED:
            elements = own.get(kind)
            for index, element in enumerate(elements if isinstance(elements, list) else []):
                # Merging keeps an element it cannot match by name, so an index leads back by identity.
                if element is data[kind][step] if isinstance(step, int) else _name(kind, element) == step:
                    return (kind, index, *rest)
            return ()
    return path


def _name(kind: str, element: Any) -> Any:
    return element.get(NAMED[kind]) if isinstance(element, dict) else None
