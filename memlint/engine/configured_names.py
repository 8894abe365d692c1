"""Names under `[parameters]` and `[assume]` that nothing has: the design is then judged without them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from memlint.design.design import Design
from memlint.device.errors import Path
from memlint.device.lines import line_map
from memlint.engine.settings import Settings
from memlint.reading.facts.items import FileFacts, Problem, Unit
from memlint.reading.facts.moved import unmoved
from memlint.rules.near import by_likeness, close_name
from memlint.rules.wording import listed, quoted
from memlint.text.source import SourceText, Span

_RULE = "shape-unresolved"
_MOST_NEAR = 3
_NAME = re.compile(r"[A-Za-z_][\w$]*")


def unknown_parameters(
    settings: Settings, design: Design, files: Iterable[FileFacts], source: SourceText
) -> Iterator[Problem]:
    """A problem for each name of `[parameters]` that no top unit has; `source` is memlint.toml.

    With a top from the command line, names of units it leaves out are for another run.
    """
    if not design.roots:
        return
    tops = [node.unit for node in design.nodes if node.parent is None]
    known = [name for unit in tops for name in _parameters(unit, local=False)]
    lowered = {name.lower() for name in known}
    left = [name for name in settings.parameters if name.lower() not in lowered]
    if left and settings.top_given:
        others = {name.lower() for file in files for unit in file.units for name in _parameters(unit, False)}
        left = [name for name in left if name.lower() not in others]
    whose = f"the top `{tops[0].name}`" if len(tops) == 1 else "any top unit"
    for name in left:
        yield Problem(
            _RULE,
            f"`{name}` under `[parameters]` is no parameter of {whose}, so the design is judged without it",
            _key_span(("parameters", name), name, source),
            (
                _nearest(name, known, "a top unit has no parameters"),
                "write a parameter that can be set from outside, or take the line out",
            ),
        )


def unmatched_assumptions(
    settings: Settings, files: Sequence[FileFacts], source: SourceText
) -> Iterator[Problem]:
    """A problem for each key of `[assume]` that is no parameter of any unit, package or black box."""
    left = set(settings.assume) - _of_black_boxes(settings)
    for file in files:
        for unit in file.units:
            if not left:
                return
            left.difference_update(_matched(left, unit))
    for key in settings.assume:
        if key in left:
            yield _unmatched(key, files, source)


def _unmatched(key: str, files: Sequence[FileFacts], source: SourceText) -> Problem:
    unit, _, name = key.rpartition(".")
    units = [one for file in files for one in file.units]
    there = [one for one in units if one.name == unit]
    if unit and not there:
        message = f"`{key}` under `[assume]` is for a unit `{unit}`, which is in none of the files read"
        near = _nearest(unit, [one.name for one in units], "no file read has a unit")
    else:
        whose = f"of `{unit}`" if unit else "of any unit or package"
        message = f"`{key}` under `[assume]` is no parameter {whose}"
        known = [one for other in there or units for one in _parameters(other, local=True)]
        near = _nearest(name, known, f"there are no parameters {whose}")
    path: Path = ("assume", unit, name) if unit else ("assume", key)
    return Problem(
        _RULE,
        f"{message}, so it settles nothing",
        _key_span(path, name, source, ("assume", key)),
        (near, "write `NAME`, or `unit.NAME` for one unit, as the sources spell it (VHDL in lower case)"),
    )


def _matched(keys: set[str], unit: Unit) -> set[str]:
    """Those of the keys that name a parameter of the unit."""
    before = f"{unit.name}."
    wanted = {key for key in keys if "." not in key or key.startswith(before)}
    if not wanted:
        return wanted
    names = set(_parameters(unit, local=True))
    return {key for key in wanted if key.removeprefix(before) in names}


def _of_black_boxes(settings: Settings) -> set[str]:
    """What may be assumed of units without source: the names their sizes are worked out from."""
    names: set[str] = set()
    for box in settings.black_boxes:
        for name in _NAME.findall(f"{box.depth} {box.width}"):
            names.update((name, f"{box.unit}.{name}"))
    return names


def _parameters(unit: Unit, local: bool) -> list[str]:
    every = unmoved(unit).parameters
    return [one.name for one in every if not one.is_type and (local or not one.local)]


def _nearest(name: str, known: Iterable[str], none: str) -> str:
    choices = list(dict.fromkeys(known))
    if not choices:
        return none
    near = [quoted(one) for one in by_likeness(name, choices)[:_MOST_NEAR] if close_name(name, [one])]
    if near:
        return f"the nearest {'are' if len(near) > 1 else 'is'} {listed(near)}"
    shown = by_likeness(name, choices)[:_MOST_NEAR]
    return f"no name is like it; there {'are' if len(shown) > 1 else 'is'} {listed(map(quoted, shown))}"


def _key_span(path: Path, name: str, source: SourceText, other: Path = ()) -> Span:
    """Where the key stands, by the line it is on."""
    lines = line_map(source.text) if source.text else {}
    line = lines.get(path, lines.get(other)) if other else lines.get(path)
    if line is None:
        return Span(source.file, 0, 0)
    start = source.line_starts[line - 1]
    at = max(start, source.text.find(name, start))
    return Span(source.file, at, at + len(name))
