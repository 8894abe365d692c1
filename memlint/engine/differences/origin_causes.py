"""Of all that a shape or an instance follows from: what was changed, and made the difference."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from memlint.design.origins import Origin
from memlint.engine.differences.changes import Cause
from memlint.engine.sides import Side
from memlint.rules.wording import quoted
from memlint.text.source import SourceText, Span

_MACRO = re.compile(r"`([A-Za-z_][A-Za-z0-9_$]*)")
_DEFINE = r"^[ \t]*`define[ \t]+{name}\b(?![(])(?P<text>(?:\\\r?\n|[^\r\n])*)"
_COMMENT = re.compile(r"/\*.*?\*/|//[^\r\n]*", re.DOTALL)
_LONGEST = 80


@dataclass(frozen=True, slots=True)
class _Named:
    """A constant or type, and what the instance writes for it."""

    origin: Origin
    override: Origin | None


def changed_origins(old: Sequence[Origin], new: Sequence[Origin], before: Side, after: Side) -> list[Cause]:
    """What was written anew and has another value; else the last values that changed without that."""
    causes = [*_written_anew(old, new, before, after)]
    carried: list[tuple[_Named, _Named]] = []
    known = _named(old)
    for key, now in _named(new).items():
        was = known.get(key)
        if was is None or was.origin.value == now.origin.value:
            continue
        found = _written(was, now)
        if found is None:
            carried.append((was, now))
            causes += _in_settings(now.origin.name, before, after)
            continue
        macros = _macros(was, now, before, after)
        causes += macros or [found]
    if not causes and carried:
        was, now = carried[-1]
        causes.append(Cause(_values(was.origin, now.origin), now.origin.span))
    return list(dict.fromkeys(causes))


def _named(origins: Iterable[Origin]) -> dict[tuple[str, int], _Named]:
    """Constants and types by name, and by how many of that name came before."""
    found: dict[tuple[str, int], _Named] = {}
    last: tuple[str, int] | None = None
    for one in origins:
        if one.kind in ("constant", "type"):
            last = (one.name, sum(name == one.name for name, _ in found))
            found[last] = _Named(one, None)
        elif one.kind == "override" and last is not None:
            found[last] = _Named(found[last].origin, one)
    return found


def _written(was: _Named, now: _Named) -> Cause | None:
    """The cause, where what is written for a name changed; None where the value only follows others."""
    values = _values(was.origin, now.origin)
    match was.override, now.override:
        case None, None:
            differs = was.origin.definition != now.origin.definition
            return Cause(values, now.origin.span) if differs else None
        case None, Origin() as added:
            return Cause(f"{values}, now set by the instance", added.span)
        case Origin(), None:
            return Cause(f"{values}, no longer set by the instance", now.origin.span)
        case Origin() as before, Origin() as after:
            return Cause(values, after.span) if before.definition != after.definition else None
    return None


def _values(was: Origin, now: Origin) -> str:
    unit = " bits" if now.kind == "type" else ""
    return f"{quoted(now.name)} {_number(was.value)} → {_number(now.value)}{unit}"


def _number(value: int | None) -> str:
    return "not known" if value is None else f"{value:,}"


def _written_anew(old: Sequence[Origin], new: Sequence[Origin], before: Side, after: Side) -> Iterator[Cause]:
    """Declarations and generate constructs that say something else."""
    for kind in ("declaration", "generate"):
        was = [one for one in old if one.kind == kind]
        now = [one for one in new if one.kind == kind]
        for one, other in zip(was, now, strict=False):
            if one.definition == other.definition:
                continue
            texts = _line(one.span, before), _line(other.span, after)
            macros = [*_macro_causes(texts, before, after)] if texts[0] == texts[1] else []
            if macros:
                yield from macros
            elif kind == "declaration":
                yield Cause(f"the declaration {_code(texts[0])} → {_code(texts[1])}", other.span)
            else:
                yield Cause(f"the generate construct {_code(texts[0])} → {_code(texts[1])}", other.span)


def _in_settings(name: str, before: Side, after: Side) -> Iterator[Cause]:
    for key, was, now in (
        ("parameters", before.settings.parameters, after.settings.parameters),
        ("assume", before.settings.assume, after.settings.assume),
    ):
        for one in sorted({*was, *now}):
            if one.rpartition(".")[2].lower() == name.lower() and was.get(one) != now.get(one):
                yield Cause(f"{quoted(one)} {_given(was, one)} → {_given(now, one)} under `[{key}]`")


def _given(settings: Mapping[str, int | str], name: str) -> str:
    value = settings.get(name)
    return "not given" if value is None else f"{value:,}" if isinstance(value, int) else f'"{value}"'


def _macros(was: _Named, now: _Named, before: Side, after: Side) -> list[Cause]:
    """Macros that changed in what is otherwise written as it was."""
    spans = (was.override or was.origin).span, (now.override or now.origin).span
    texts = _line(spans[0], before), _line(spans[1], after)
    return [*_macro_causes(texts, before, after)] if texts[0] == texts[1] else []


def _macro_causes(texts: tuple[str, str], before: Side, after: Side) -> Iterator[Cause]:
    waiting = _MACRO.findall(texts[0])
    seen: set[str] = set()
    while waiting:
        name = waiting.pop(0)
        if name in seen:
            continue
        seen.add(name)
        was, now = _definition(name, before), _definition(name, after)
        if was[0] != now[0]:
            span, side = (now[1], "new") if now[1] is not None else (was[1], "old")
            yield Cause(f"macro {quoted(name)} {_text(was[0])} → {_text(now[0])}", span, side)
        elif was[0] is not None:
            waiting += _MACRO.findall(was[0])


def _definition(name: str, side: Side) -> tuple[str | None, Span | None]:
    """A macro's last text in the sources or the settings, and where it is defined."""
    pattern = re.compile(_DEFINE.format(name=re.escape(name)), re.MULTILINE)
    found: tuple[str | None, Span | None] = (side.settings.defines.get(name), None)
    for source in side.judgement.sources.values():
        for match in pattern.finditer(source.text):
            found = _plain(match["text"]), Span(source.file, match.start(), match.end())
    return found


def _text(macro: str | None) -> str:
    return "not defined" if macro is None else _code(macro)


def _line(span: Span, side: Side) -> str:
    source: SourceText | None = side.judgement.sources.get(span.file)
    if source is None:
        return ""
    return _plain(source.line_text(source.position(span.start).line))


def _plain(text: str) -> str:
    return " ".join(_COMMENT.sub(" ", text.replace("\\\n", " ")).split())


def _code(text: str) -> str:
    """A piece of source in a sentence; one that names a macro has a backtick of its own."""
    shown = text if len(text) <= _LONGEST else f"{text[: _LONGEST - 3]}..."
    return f'"{shown}"' if "`" in shown else f"`{shown}`"
