"""What memlint.toml names and the design does not have: memories of `[[intent]]`, nets of `[clocks] same`."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from memlint.design.design import Design
from memlint.design.intents import ConfiguredIntent
from memlint.reading.facts.items import FileFacts, Problem
from memlint.rules.near import by_likeness, close_name
from memlint.rules.wording import listed, quoted
from memlint.text.source import SourceText, Span

_MOST_NEAR = 3
_INDEX = re.compile(r"\[-?\d+\]")


def unmatched_intents(
    intents: Sequence[ConfiguredIntent], design: Design, files: Iterable[FileFacts], source: SourceText
) -> Iterator[Problem]:
    """A problem for each entry whose path matches no memory; `source` is memlint.toml.

    An entry for a unit that this run's top leaves out is for another run.
    """
    used = {id(bound.intent) for memory in design.memories for bound in memory.intents}
    left_out = _left_out(design, files)
    for one in intents:
        if id(one.intent) in used or one.paths.partition(".")[0] in left_out:
            continue
        arrays = [array for array in design.not_memories if one.speaks_for(array.path)]
        span = _path_span(one, source)
        if arrays:
            yield Problem(
                "intent-unattached",
                f"the memory `{one.paths}` of this `[[intent]]` is none: {arrays[0].reason}",
                span,
                (
                    "take the entry out, if the array is meant to be no memory",
                    "else write the array word by word under a clock edge and index it by a signal",
                ),
            )
            continue
        yield Problem(
            "intent-unattached",
            f"no memory of the design matches `{one.paths}`, which this `[[intent]]` speaks for",
            span,
            (
                _nearest(one.paths, [memory.path for memory in design.memories]),
                "write a path as `memlint list` shows it; `[*]` stands for any index, `*` for any names",
            ),
        )


def unknown_clock_nets(design: Design, files: Iterable[FileFacts], source: SourceText) -> Iterator[Problem]:
    """A problem for each name of `[clocks] same` that is no net of the design."""
    left_out = _left_out(design, files)
    for name, nets in design.unknown_same:
        if name.partition(".")[0] in left_out:
            continue
        at = max(0, source.text.find(name))
        near = [quoted(one) for one in by_likeness(name, nets)[:_MOST_NEAR] if close_name(name, [one])]
        yield Problem(
            "clock-drift",
            f"`same` names `{name}`, which is no net of the design, so it makes no two clocks one",
            Span(source.file, at, at + len(name) if source.text else at),
            (
                *([f"the nearest {'are' if len(near) > 1 else 'is'} {listed(near)}"] if near else []),
                "write a net's path from the root, instance by instance, as `memlint explain` shows clocks",
            ),
        )


def _left_out(design: Design, files: Iterable[FileFacts]) -> set[str]:
    """Units that are no root in this run: what is said of them is for another."""
    return {unit.name for file in files for unit in file.units} - set(design.roots)


def _nearest(paths: str, known: Sequence[str]) -> str:
    if not known:
        return "the design has no memories"
    shown = [_INDEX.sub("[*]", one) for one in known] if "*" in paths else list(known)
    first, *others = by_likeness(paths, dict.fromkeys(shown))
    near = [first, *(one for one in others[: _MOST_NEAR - 1] if close_name(paths, [one]))]
    return f"the nearest {'are' if len(near) > 1 else 'is'} {listed(map(quoted, near))}"


def _path_span(one: ConfiguredIntent, source: SourceText) -> Span:
    """Where the entry's path stands; its intent, where the path is not found as it is written."""
    at = one.intent.span.start
    table = re.compile(r"^\s*\[\[?", re.MULTILINE)
    heads = [found.start() for found in table.finditer(source.text)]
    first = max((head for head in heads if head <= at), default=0)
    last = min((head for head in heads if head > at), default=len(source.text))
    place = source.text.find(one.paths, first, last)
    if place < 0:
        return one.intent.span
    return Span(source.file, place, place + len(one.paths))
